package rehab_test

import (
	"slices"
	"testing"

	"tidemark/load"
	"tidemark/load/rehab"
)

// TestFlares: what is one flare and what are two, by hand (rehab reference 5.5 counts runs; the
// rest a project default). Mornings are of the days 1, 2, 3 and so on.
func TestFlares(t *testing.T) {
	run, rest := rehab.Woke{Ran: true, Flared: true}, rehab.Woke{Flared: true}
	back, bad := rehab.Woke{Back: true}, rehab.Woke{}
	for name, test := range map[string]struct {
		mornings []rehab.Woke
		want     []rehab.Flare
	}{
		"none":                             {[]rehab.Woke{back, bad}, nil},
		"one over two mornings":            {[]rehab.Woke{run, rest}, []rehab.Flare{{First: 1, Last: 2}}},
		"one, with a bad morning within":   {[]rehab.Woke{run, bad, rest}, []rehab.Flare{{First: 1, Last: 3}}},
		"two, as usual between":            {[]rehab.Woke{run, back, rest}, []rehab.Flare{{First: 1, Last: 1}, {First: 3, Last: 3}}},
		"two runs, nothing usual between":  {[]rehab.Woke{run, bad, run}, []rehab.Flare{{First: 1, Last: 1}, {First: 3, Last: 3}}},
		"at rest first, then after a run":  {[]rehab.Woke{rest, run}, []rehab.Flare{{First: 1, Last: 1}, {First: 2, Last: 2}}},
		"three mornings of one, and again": {[]rehab.Woke{rest, rest, rest, back, back, rest}, []rehab.Flare{{First: 1, Last: 3}, {First: 6, Last: 6}}},
	} {
		for i := range test.mornings {
			test.mornings[i].Day = load.Day(i + 1)
		}
		if got := rehab.Flares(test.mornings); !slices.Equal(got, test.want) {
			t.Errorf("%s: %v, want %v", name, got, test.want)
		}
	}
}

// TestFlaresIn: of flares that began on the days 1, 10 and 15 the first is 14 days before the
// last and no more within 14, but within 15.
func TestFlaresIn(t *testing.T) {
	flares := []rehab.Flare{{First: 1, Last: 9}, {First: 10, Last: 10}, {First: 15, Last: 30}}
	for days, want := range map[load.Day]int{5: 1, 6: 2, 14: 2, 15: 3} {
		if got := rehab.FlaresIn(flares, days); got != want {
			t.Errorf("%d within %d days, want %d", got, days, want)
		}
	}
}
