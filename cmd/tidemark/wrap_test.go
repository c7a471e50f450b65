package main

import "testing"

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
