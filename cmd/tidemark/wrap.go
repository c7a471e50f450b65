package main

import "strings"

// wrap breaks text at blanks so that no line is longer than width, each after
// the indent, and no number is parted from its unit. A word that is longer
// stands on a line of its own.
func wrap(text string, width int, indent string) string {
	var b strings.Builder
	at := 0
	for _, word := range unbroken(text) {
		length := len([]rune(word))
		switch {
		case at == 0:
			b.WriteString(indent)
			at = len(indent)
		case at+1+length > width:
			b.WriteString("\n" + indent)
			at = len(indent)
		default:
			b.WriteByte(' ')
			at++
		}
		b.WriteString(word)
		at += length
	}
	return b.String()
}

// unbroken splits text at blanks, but not between a number and its unit.
func unbroken(text string) (out []string) {
	for word := range strings.FieldsSeq(text) {
		switch strings.TrimRight(word, ".,:;)") {
		case "km", "min", "%", "AU", "days":
			if n := len(out); n > 0 {
				out[n-1] += " " + word
				continue
			}
		}
		out = append(out, word)
	}
	return out
}
