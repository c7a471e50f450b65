package main

import (
	"testing"

	"tidemark/load"
)

func TestWrap(t *testing.T) {
	tests := []struct {
		text  string
		width int
		want  string
	}{
		{"one two three", 20, "  one two three"},
		{"one two three", 10, "  one two\n  three"},
		{"run of the month (9.4 km).", 22, "  run of the month\n  (9.4 km)."}, // not "(9.4" and "km)."
		{"unbreakableword here", 8, "  unbreakableword\n  here"},
		{"", 20, ""},
	}
	for _, tt := range tests {
		if got := wrap(tt.text, tt.width, "  "); got != tt.want {
			t.Errorf("wrap(%q, %d) = %q, want %q", tt.text, tt.width, got, tt.want)
		}
	}
}

// What is left is never said to be more than it is.
func TestAmountsAreRoundedDown(t *testing.T) {
	tests := []struct {
		m    load.Measure
		a    load.Amount
		want string
	}{
		{load.Distance, 9_199_999, "9.1 km"},
		{load.Distance, 10_000_000, "10.0 km"},
		{load.Distance, 99_999, "0.0 km"},
		{load.Time, 59_999, "0 min"},
		{load.Time, 92 * 60_000, "92 min"},
	}
	for _, tt := range tests {
		if got := amount(tt.m, tt.a); got != tt.want {
			t.Errorf("%v of %d: %q, want %q", tt.m, tt.a, got, tt.want)
		}
	}
}
