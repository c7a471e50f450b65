package gpx

import (
	"slices"
	"strings"

	"tidemark/load"
)

// sportWords tell a sport by a part of the word that the file uses for it. The
// words are common practice, GPX defines none. The first that fits wins.
var sportWords = []struct {
	sport load.Sport
	parts []string
}{
	{load.Running, []string{"run", "jog"}},
	{load.Walking, []string{"walk", "hik"}},
	{load.Cycling, []string{"bik", "cycl", "ride"}},
	{load.Swimming, []string{"swim"}},
}

// plainWords say no more than our own word for the sport does.
var plainWords = []string{
	"run", "running", "9", "walk", "walking", "bike", "biking", "cycling", "ride", "swim", "swimming",
}

// runNumber is the number that some exporters write for running (common
// practice, no source).
const runNumber = "9"

// sport judges the word of a file. The detail is the word itself where it says
// more than the sport; the empty word is an unknown sport without detail.
func sport(word string) (s load.Sport, detail string, surface load.Surface) {
	lower := strings.ToLower(word)
	has := func(part string) bool { return strings.Contains(lower, part) }
	for _, w := range sportWords {
		if slices.ContainsFunc(w.parts, has) {
			s = w.sport
			break
		}
	}
	if lower == runNumber {
		s = load.Running
	}
	if !slices.Contains(plainWords, lower) {
		detail = word
	}
	switch {
	case has("treadmill") || (s == load.Running && has("indoor")):
		surface = load.Treadmill
	case has("trail"):
		surface = load.Trail
	}
	return s, detail, surface
}
