package xmlscan

import (
	"bytes"
	"fmt"
	"strings"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// prologue is how far the end of the XML declaration is looked for.
const prologue = 1 << 10

// decode returns data as UTF-8, without byte-order mark and leading blanks, and
// the offset at which it starts, or -1 where offsets do not survive. The remark
// is empty where there is nothing to say. What needs no change is not copied.
func decode(data []byte) (text []byte, base int64, remark string) {
	switch {
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}):
		return transcode(unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), data), -1, ""
	case bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		return transcode(unicode.UTF16(unicode.BigEndian, unicode.UseBOM), data), -1, ""
	}
	text = trimStart(bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF")))
	switch label := encodingLabel(text); label {
	case "", "utf-8", "utf8", "us-ascii", "ascii":
	case "iso-8859-1", "iso8859-1", "latin1", "latin-1", "windows-1252", "cp1252":
		// What claims to be Latin-1 is Windows-1252 in practice, and the two
		// differ only where Latin-1 has control characters.
		return transcode(charmap.Windows1252, text), -1, ""
	default:
		remark = fmt.Sprintf("the encoding %q was read as UTF-8", label)
	}
	return text, int64(len(data) - len(text)), remark
}

// transcode returns data as UTF-8. The decoders replace what they cannot read
// and have no errors, so a cut last character is all that can be missing.
func transcode(from encoding.Encoding, data []byte) []byte {
	text, _, _ := transform.Bytes(from.NewDecoder(), data)
	return trimStart(text)
}

func trimStart(b []byte) []byte {
	for len(b) > 0 && isBlank(rune(b[0])) {
		b = b[1:]
	}
	return b
}

// encodingLabel returns the encoding that the XML declaration names, in lower
// case, or nothing.
func encodingLabel(b []byte) string {
	b = b[:min(len(b), prologue)]
	if !bytes.HasPrefix(b, []byte("<?xml")) {
		return ""
	}
	declaration, _, ok := bytes.Cut(b, []byte("?>"))
	if !ok {
		return ""
	}
	_, after, ok := bytes.Cut(declaration, []byte("encoding"))
	if !ok {
		return ""
	}
	after = trimStart(bytes.TrimPrefix(trimStart(after), []byte("=")))
	if len(after) == 0 || (after[0] != '"' && after[0] != '\'') {
		return ""
	}
	label, _, _ := bytes.Cut(after[1:], after[:1])
	text, _ := CleanText(label)
	return strings.ToLower(text)
}
