package xmlscan

import "bytes"

// HasRoot reports whether the first element of data, which may be only the
// start of a document, has the given local name. It looks past a byte-order
// mark, blanks, comments, processing instructions and a DOCTYPE.
func HasRoot(data []byte, local string) bool {
	text, _, _ := decode(data[:min(len(data), sniffed)])
	return string(rootName(text)) == local
}

// sniffed is how many bytes are looked at, a project default.
const sniffed = 64 << 10

// rootName returns the local name of the first element, or nil.
func rootName(b []byte) []byte {
	for {
		b = trimStart(b)
		if len(b) < 2 || b[0] != '<' {
			return nil
		}
		var ok bool
		switch {
		case b[1] == '?':
			_, b, ok = bytes.Cut(b, []byte("?>"))
		case bytes.HasPrefix(b, []byte("<!--")):
			_, b, ok = bytes.Cut(b[4:], []byte("-->"))
		case b[1] == '!':
			b, ok = skipDeclaration(b)
		default:
			end := bytes.IndexByte(b, '>')
			if end < 0 {
				end = len(b)
			}
			name, at := tagName(b[1:end])
			return name[at:]
		}
		if !ok {
			return nil
		}
	}
}

// skipDeclaration returns what follows the declaration at the start of b, with
// all that is declared inside it.
func skipDeclaration(b []byte) (rest []byte, ok bool) {
	depth := 0
	for i, c := range b {
		switch c {
		case '<':
			depth++
		case '>':
			if depth--; depth == 0 {
				return b[i+1:], true
			}
		}
	}
	return nil, false
}
