package xmlscan

import (
	"bytes"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// appendRaw appends b as far as the limit of texts allows.
func (s *scanner) appendRaw(dst, b []byte) []byte {
	if room := s.doc.Limits.Text - len(dst); len(b) > room {
		s.odd.texts = true
		b = b[:max(room, 0)]
	}
	return append(dst, b...)
}

// appendText is appendRaw with references resolved.
func (s *scanner) appendText(dst, b []byte) []byte {
	for {
		i := bytes.IndexByte(b, '&')
		if i < 0 || len(dst) >= s.doc.Limits.Text {
			return s.appendRaw(dst, b)
		}
		dst = s.appendRaw(dst, b[:i])
		r, size := reference(b[i:])
		if size == 0 {
			s.odd.references = true
			r, size = '&', 1
		}
		dst = s.appendRaw(dst, utf8.AppendRune(nil, r))
		b = b[i+size:]
	}
}

// longestReference is that of &#x10FFFF; with a few leading zeros.
const longestReference = 16

// reference resolves the reference at the start of b and returns its length; 0
// means that there is none, or one beyond the five of XML.
func reference(b []byte) (r rune, size int) {
	end := bytes.IndexByte(b[:min(len(b), longestReference)], ';')
	if end < 2 {
		return 0, 0
	}
	switch name := string(b[1:end]); name {
	case "lt":
		r = '<'
	case "gt":
		r = '>'
	case "amp":
		r = '&'
	case "apos":
		r = '\''
	case "quot":
		r = '"'
	default:
		var ok bool
		if r, ok = characterReference(name); !ok {
			return 0, 0
		}
	}
	return r, end + 1
}

func characterReference(name string) (rune, bool) {
	digits, ok := strings.CutPrefix(name, "#")
	if !ok {
		return 0, false
	}
	base := 10
	if hex, ok := strings.CutPrefix(digits, "x"); ok {
		digits, base = hex, 16
	}
	v, err := strconv.ParseUint(digits, base, 32)
	if err != nil {
		return 0, false
	}
	if v > unicode.MaxRune {
		v = unicode.ReplacementChar
	}
	return rune(v), true
}

// CleanText returns b as one line of valid UTF-8 without blanks around it.
// Invalid bytes become U+FFFD and control characters are dropped, which odd
// reports; runs of blanks become one space.
func CleanText(b []byte) (text string, odd bool) {
	var out strings.Builder
	blank := false
	for len(b) > 0 {
		r, size := utf8.DecodeRune(b)
		b = b[size:]
		if isBlank(r) {
			blank = out.Len() > 0
			continue
		}
		if unicode.IsControl(r) {
			odd = true
			continue
		}
		odd = odd || (r == utf8.RuneError && size == 1)
		if blank {
			out.WriteByte(' ')
			blank = false
		}
		out.WriteRune(r)
	}
	return out.String(), odd
}

func isBlank(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\r' }

// trim cuts the blanks of XML off both ends of b.
func trim(b []byte) []byte {
	b = trimStart(b)
	for len(b) > 0 && isBlank(rune(b[len(b)-1])) {
		b = b[:len(b)-1]
	}
	return b
}
