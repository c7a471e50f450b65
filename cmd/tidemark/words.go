package main

import (
	"fmt"
	"strings"

	"tidemark/load"
)

// dayWords writes a date as people say it: 2 March 2026.
func dayWords(d load.Day) string { return d.Noon().Format("2 January 2006") }

// shortDay writes a date in a narrow column: 2 Mar.
func shortDay(d load.Day) string { return d.Noon().Format("2 Jan") }

// wrap breaks text at blanks so that no line is longer than width, each after
// the indent, and no number is parted from its unit. A word that is longer
// stands on a line of its own.
func wrap(text string, width int, indent string) string {
	var b strings.Builder
	at := 0
	for _, word := range words(text) {
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

// words splits text at blanks, but not between a number and its unit.
func words(text string) (out []string) {
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

// amount writes an amount of a measure: km to a tenth rounded down, so that
// what is said to be left never is more than what is; minutes whole.
func amount(m load.Measure, a load.Amount) string {
	switch m {
	case load.Distance:
		tenths := a / (m.Of(1) / 10)
		return fmt.Sprintf("%d.%d km", tenths/10, tenths%10)
	case load.Time:
		return fmt.Sprintf("%d min", a/m.Of(1))
	}
	return fmt.Sprintf("%.0f %s", m.In(a), m.Unit())
}

// value writes a number in the measure's unit.
func value(m load.Measure, v float64) string {
	if m == load.Distance {
		return fmt.Sprintf("%.1f km", v)
	}
	return fmt.Sprintf("%.0f %s", v, m.Unit())
}

// plural writes a count with its noun.
func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
