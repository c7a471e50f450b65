package assess_test

import (
	"math"
	"testing"

	"tidemark/load/assess"
)

// TestPool: two logbooks by hand, one of whose complaints are not known: 3 of 10 days with a
// run of no class and 1 of 5 are 4 of 15; one complaint on the 10 days of the first.
func TestPool(t *testing.T) {
	a := assess.Evidence{First: 10, Last: 40, PersonDays: 10, LeftOut: 2}
	a.BySpike = []assess.Count{{Class: "none", Days: 3}, {Class: "no run", Days: 7}}
	a.ByRatio = []assess.Count{{Class: "not defined", Days: 10}}
	a.OnsetsBySpike = []assess.Onsets{{Class: "none", Days: 3, Complaints: 1}, {Class: "no run", Days: 7}}
	a.OnsetsByRatio = []assess.Onsets{{Class: "not defined", Days: 10, Complaints: 1}}
	b := assess.Evidence{First: 5, Last: 30, PersonDays: 5, LeftOut: 1}
	b.BySpike = []assess.Count{{Class: "none", Days: 1}, {Class: "no run", Days: 4}}
	b.ByRatio = []assess.Count{{Class: "not defined", Days: 5}}
	got := assess.Pool([]assess.Evidence{a, {}, b})
	if got.First != 5 || got.Last != 40 || got.PersonDays != 15 || got.LeftOut != 3 {
		t.Errorf("%+v", got)
	}
	if c := got.BySpike[0]; c.Days != 4 || math.Abs(c.Rate-400.0/15) > 1e-9 {
		t.Errorf("days with a run: %+v, want 4 of 15", c)
	}
	// Garwood's interval of a count of 1 is 0.0253 to 5.572 (Ulm 1990, Am J Epidemiol
	// 131:373, value from memory), here of 3 days and per 1000.
	if o := got.OnsetsBySpike[0]; o.Days != 3 || o.Complaints != 1 || math.Abs(o.Low-1000*0.0253178/3) > 1e-3 || math.Abs(o.High-1000*5.571643/3) > 1e-3 {
		t.Errorf("complaints: %+v, want 1 of 3 days", o)
	}
	if got := assess.Pool(nil); got.BySpike != nil || got.OnsetsBySpike != nil {
		t.Errorf("nobody: %+v", got)
	}
}
