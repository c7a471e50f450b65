package ingest

import (
	"strings"
	"unicode"
)

// mostText is how many characters of a name are kept. Project default.
const mostText = 200

// Printable returns text from a file without what a terminal or a page would
// obey: control characters, marks that turn the direction of writing, and bytes
// that are no text. What was there shows as U+FFFD.
func Printable(text string) string {
	const replacement = "\ufffd"
	text = strings.ToValidUTF8(text, replacement)
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == '\u2028' || r == '\u2029' {
			return unicode.ReplacementChar
		}
		return r
	}, text)
	if runes := []rune(text); len(runes) > mostText {
		return string(runes[:mostText-1]) + "…"
	}
	return text
}
