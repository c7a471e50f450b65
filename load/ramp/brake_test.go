package ramp_test

import (
	"testing"

	"tidemark/load/ramp"
)

// TestBrakes: downwards acts at once, more waits for whoever is in charge (model 7). Each
// case changes one thing of the same terms.
func TestBrakes(t *testing.T) {
	before := ramp.Terms{
		Start: 100, Weeks: 12, Free: [7]bool{1: true, 3: true, 5: true}, Goal: ramp.Goal{Km: 10, Pace: 6, By: 200, IsBy: true},
		Confirm: true, Roof: 6, First: 3, State: ramp.Held, Until: 110,
	}
	cases := []struct {
		name   string
		change func(*ramp.Terms)
		want   bool
	}{
		{"nothing", func(*ramp.Terms) {}, true},
		{"ended", func(t *ramp.Terms) { t.State, t.Until = ramp.Ended, 0 }, true},
		{"held longer", func(t *ramp.Terms) { t.Until = 120 }, true},
		{"held until lifted", func(t *ramp.Terms) { t.Until = 0 }, true},
		{"held shorter", func(t *ramp.Terms) { t.Until = 109 }, false},
		{"running again", func(t *ramp.Terms) { t.State, t.Until = ramp.Running, 0 }, false},
		{"a day less", func(t *ramp.Terms) { t.Free[5] = false }, true},
		{"a day more", func(t *ramp.Terms) { t.Free[6] = true }, false},
		{"a lower roof", func(t *ramp.Terms) { t.Roof = 5 }, true},
		{"a higher roof", func(t *ramp.Terms) { t.Roof = 7 }, false},
		{"no roof", func(t *ramp.Terms) { t.Confirm = false }, false},
		{"a lower first stage", func(t *ramp.Terms) { t.First = 2 }, true},
		{"a higher first stage", func(t *ramp.Terms) { t.First = 4 }, false},
		{"the first stage left to the rules", func(t *ramp.Terms) { t.First = 0 }, false},
		{"another ladder", func(t *ramp.Terms) { t.Table = "two-by-two" }, false},
		{"a later start", func(t *ramp.Terms) { t.Start = 107 }, true},
		{"an earlier start", func(t *ramp.Terms) { t.Start = 93 }, false},
		{"a shorter goal", func(t *ramp.Terms) { t.Goal.Km = 8 }, true},
		{"a longer goal", func(t *ramp.Terms) { t.Goal.Km = 12 }, false},
		{"no goal, so no end of growth", func(t *ramp.Terms) { t.Goal = ramp.Goal{} }, false},
		{"the goal later", func(t *ramp.Terms) { t.Goal.By = 220 }, true},
		{"the goal sooner", func(t *ramp.Terms) { t.Goal.By = 190 }, false},
		{"said to be a novice", func(t *ramp.Terms) { t.Novice = true }, true},
		{"more weeks", func(t *ramp.Terms) { t.Weeks = 13 }, false},
	}
	for _, c := range cases {
		after := before
		c.change(&after)
		if got := after.Brakes(&before); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
