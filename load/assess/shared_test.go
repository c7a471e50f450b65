package assess_test

import (
	"testing"

	"tidemark/load"
	"tidemark/load/assess"
)

// TestHeldAfterARace: with nothing followed, a race over the limits holds for three days
// (project default), from whichever of them it is looked at.
func TestHeldAfterARace(t *testing.T) {
	in := season()
	last := &in.Sessions[len(in.Sessions)-1]
	last.Race = true
	var care assess.Care
	for days := load.Day(1); days <= 3; days++ {
		in.Today = last.Day + days
		room := assess.Shared(in, &care, assess.Query{Measure: load.Distance, From: in.Today, To: in.Today}).Headroom
		until, told := care.HeldUntil(in, load.Distance)
		if room.State != load.HeldBack || !told || until != last.Day+4 {
			t.Errorf("%d days after: %s until %v (%v), want held until the fourth", days, room.State, until, told)
		}
	}
}
