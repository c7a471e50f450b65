package paper

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// marksAtMost is how many marks a letter may carry: no script of those that have a
// font here needs more, and a pile of them would run into other lines. Project default.
const marksAtMost = 4

// The marks around what may run another way than the text around it (Unicode Standard
// Annex 9, isolates), and joiners.
const (
	firstStrong = '\u2068'
	endIsolate  = '\u2069'
	nonJoiner   = '\u200C'
	joiner      = '\u200D'
	replacement = '\uFFFD'
)

// Apart sets a name apart from the sentence that it stands in, so that one that is
// written from right to left does not turn what is beside it.
func Apart(name string) string {
	inner := strings.Map(func(r rune) rune {
		if r >= '\u2066' && r <= endIsolate {
			return -1
		}
		return r
	}, name)
	return string(firstStrong) + inner + string(endIsolate)
}

// clean returns the characters of one line as they are shaped: composed, without what
// cannot be seen or turns the order of others, controls as spaces, and what no font
// has by its number.
func (d *Document) clean(text, first string) []rune {
	var out []rune
	marks := 0
	for _, r := range norm.NFC.String(strings.ToValidUTF8(text, string(replacement))) {
		switch {
		case r == firstStrong || r == endIsolate || r == nonJoiner || r == joiner:
			out = append(out, r)
			continue
		case unseen(r):
			continue
		case unicode.IsControl(r) || unicode.IsSpace(r) && r != '\u00A0' || unicode.In(r, unicode.Zl, unicode.Zp):
			r = ' '
		}
		if marks++; !unicode.In(r, unicode.Mn, unicode.Me) {
			marks = 0
		} else if marks > marksAtMost {
			continue
		}
		if _, ok := d.faces.find(first, r); ok {
			out = append(out, r)
			continue
		}
		if n := number(r); !slices.Contains(d.numbered, n) {
			d.numbered = append(d.numbered, n)
		}
		out = append(out, []rune(number(r))...)
	}
	return out
}

// unseen tells of characters that are nothing on paper: fillers, variation selectors,
// tags, and what would turn the order of others (DerivedCoreProperties.txt,
// Default_Ignorable_Code_Point, without joiners).
func unseen(r rune) bool {
	return unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r) || unicode.Is(unicode.Variation_Selector, r) ||
		r == '\u00AD' || r == '\u061C' || r == '\u180E' || r >= '\u200B' && r <= '\u200F' || r >= '\u202A' && r <= '\u202E' ||
		r >= '\u2060' && r <= '\u206F' || r == '\uFEFF' || r >= 0x1BCA0 && r <= 0x1BCA3 || r >= 0x1D173 && r <= 0x1D17A ||
		r >= 0xE0000 && r <= 0xE0FFF
}
