package ramp_test

import (
	"slices"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

func stop(first, last load.Day) []ramp.Stop {
	return []ramp.Stop{{DaySpan: load.DaySpan{First: first, Last: last}, Rule: "red-flag", Why: "a sign: see a doctor"}}
}

// verified plans, and fails unless the checker agrees.
func verified(t *testing.T, in *ramp.Inputs) ramp.Plan {
	t.Helper()
	p := make_(t, in)
	if err := ramp.Verify(&p); err != nil {
		t.Errorf("the checker: %v", err)
	}
	return p
}

// TestStops: nothing is run while something stands against it, and what was due is missed:
// on the all-settled course stage 5 on 1 April, so that 5 April, 4 days late, begins the
// stage of the last run anew, which is 4 (rehab reference 5.5). A run done all the same is
// none of the plan.
func TestStops(t *testing.T) {
	in := runner()
	in.Stops = stop(date(4, 1), date(4, 4))
	p := verified(t, in)
	for d := date(4, 1); d <= date(4, 4); d++ {
		if got := on(t, p, d); got.Kind != ramp.Rest || got.Reason != "rest: a sign: see a doctor" {
			t.Errorf("%v: %s, %q", d, got.Kind, got.Reason)
		}
	}
	if d := on(t, p, date(4, 5)); d.Stage != 4 || !strings.Contains(d.Reason, "due 4 days before, > 3: the stage anew") {
		t.Errorf("5 April: %+v", d)
	}
	if !says(p.Reasons, "nothing is run from 2026-04-01 to 2026-04-04: a sign: see a doctor") {
		t.Errorf("reasons %q", p.Reasons)
	}
	in.Past = append(in.Past, ramp.Past{Day: date(4, 2), Run: 8})
	if d := on(t, verified(t, in), date(4, 2)); d.Over != "on a rest day of the plan (rest: a sign: see a doctor)" || d.Verdict != load.Unsettled {
		t.Errorf("a run on 2 April: %+v", d)
	}
	in = runner()
	in.Stops = stop(in.Start, in.Start+1000)
	if p = verified(t, in); len(runDays(p, 1)) > 0 || len(p.Reasons) != 1 {
		t.Errorf("runs on %v, %q", runDays(p, 9), p.Reasons)
	}
	in.Stops[0].Last = in.Start - 1
	if in.Check() == nil {
		t.Error("an end before the beginning is taken")
	}
}

// TestFrozen: from 24 March to 10 April nothing grows. The best week until then is 39 min, of
// 18, 21 and 23 March: a third run of 15 min within seven days is over it. Stage 3 has settled
// twice on 29 March and goes on only with the morning of 12 April.
func TestFrozen(t *testing.T) {
	in := runner()
	in.Frozen = stop(date(3, 24), date(4, 10))
	p := verified(t, in)
	var got []load.Day
	for _, d := range p.Days {
		if d.Day < date(3, 24) || d.Day > date(4, 13) || d.Kind == ramp.Rest {
			continue
		}
		got = append(got, d.Day)
		if want := map[load.Day]int{date(4, 13): 4}[d.Day]; d.Stage != max(3, want) || d.Day <= date(4, 10) && (d.WeekCap != 39 || !strings.Contains(d.Reason, "nothing grows: a sign")) {
			t.Errorf("%+v", d)
		}
	}
	if want := []load.Day{date(3, 28), date(3, 30), date(4, 4), date(4, 6), date(4, 11), date(4, 13)}; !slices.Equal(got, want) {
		t.Errorf("runs on %v, want %v", got, want)
	}
	if d := on(t, p, date(3, 26)); d.Reason != "rest: weekly cap, 42 min > 39 min" {
		t.Errorf("26 March: %q", d.Reason)
	}
	// A stage that was not run yet is none: from 27 March on stage 4 would begin. The best week
	// is 42 min, of 21, 23 and 25 March, so that 28 March would be too much.
	in.Frozen = stop(date(3, 27), date(4, 10))
	p = verified(t, in)
	if d := on(t, p, date(3, 30)); d.Stage != 3 || on(t, p, date(3, 28)).Reason != "rest: weekly cap, 45 min > 42 min" {
		t.Errorf("30 March: %+v", d)
	}
	// No rest day less either: the fourth settled morning is that of 12 March.
	in.Frozen = stop(date(3, 12), date(3, 12))
	if d := on(t, verified(t, in), date(3, 11)); d.Action != ramp.Hold {
		t.Errorf("11 March: %+v", d)
	}
}

// TestLifts: an order up to stage 3 that ends on 28 March leaves stage 3, which was reached on
// 23 March, and nothing goes up after it. One up to stage 4 that is given on 6 April, the day
// of a run, lets stage 4 begin with it, and no earlier.
func TestLifts(t *testing.T) {
	in := runner()
	in.Confirm, in.Lifts = true, []ramp.Lift{{Day: in.Start, Roof: 3}, {Day: date(3, 29), Roof: 0}}
	p := verified(t, in)
	if d := on(t, p, date(3, 25)); d.Stage != 3 || d.Waits != 4 || d.Action != ramp.Hold {
		t.Errorf("25 March: %+v", d)
	}
	for _, d := range p.Days {
		if d.Day >= date(3, 29) && d.Kind == ramp.Run && d.Stage != 3 {
			t.Errorf("after its end: %+v", d)
		}
	}
	in.Lifts = append(in.Lifts, ramp.Lift{Day: date(4, 6), Roof: 4})
	p = verified(t, in)
	before, after := 0, 0
	for _, d := range p.Days {
		switch {
		case d.Kind == ramp.Rest:
		case d.Day < date(4, 6):
			before = max(before, d.Stage)
		case after == 0:
			if after = d.Stage; !strings.Contains(d.Reason, "allowed since it was last run") {
				t.Errorf("%+v", d)
			}
		case d.Stage > 4:
			t.Errorf("above what is allowed: %+v", d)
		}
	}
	if before != 3 || after != 4 {
		t.Errorf("stage %d before 6 April and %d with the next run, want 3 and 4", before, after)
	}
}

// TestAsked: where mornings are asked for, one that nobody gave ends no flare. That of 3 March
// flares; no run before a morning says as usual, on 9 March.
func TestAsked(t *testing.T) {
	in := answered(runner(), ofRun(date(3, 2), flared))
	in.Asked = true
	if got := runDays(verified(t, in), 3); !slices.Equal(got, []load.Day{date(3, 2)}) {
		t.Errorf("runs on %v, and nobody has said that it is as usual", got)
	}
	late := quiet(date(3, 8), 1, 5)
	late.Late = true
	in.Resting = []rehab.Morning{quiet(date(3, 7), 2, 5), late, quiet(date(3, 9), 1, 10)}
	if got := runDays(verified(t, in), 2); !slices.Equal(got, []load.Day{date(3, 2), date(3, 9)}) {
		t.Errorf("runs on %v, want the next on 9 March", got)
	}
	in.Resting = append(in.Resting, quiet(date(3, 6), 1, 5)) // as usual, and on the next not
	if got := runDays(verified(t, in), 2); !slices.Equal(got, []load.Day{date(3, 2), date(3, 9)}) {
		t.Errorf("runs on %v; want none on 7 March, a morning that is not as usual", got)
	}
}

// TestAskedMedian: of the mornings of 9 to 15 March five are said, each 1; of 16 to 22 March
// four, of which three say 2: the middle is 2 and holds. With the days that nobody spoke of
// taken as usual, which is 1, it would be 1 of seven.
func TestAskedMedian(t *testing.T) {
	in := runner()
	in.Asked = true
	// Runs are on 8, 11, 14, 16, 18, 21 March; these are mornings after rest days.
	for day, next := range map[int]int{10: 1, 11: 1, 13: 1, 14: 1, 16: 1, 18: 2, 20: 2, 21: 2} {
		in.Resting = append(in.Resting, quiet(date(3, day), next, 5))
	}
	held := func() bool {
		for _, d := range verified(t, in).Days {
			if d.Day < date(3, 23) && strings.Contains(d.Reason, "the middle score of the last 7 mornings is 2, before 1") {
				return true
			}
		}
		return false
	}
	if !held() {
		t.Error("not held by what was said")
	}
	in.Asked = false
	if held() {
		t.Error("held though most days count as usual")
	}
}

// TestSameFlare: a second morning that flares, at rest and with none as usual between, is the
// same flare and no pause; with one as usual between it is the second in 14 days.
func TestSameFlare(t *testing.T) {
	in := answered(runner(), ofRun(date(3, 2), flared))
	in.Free = allDays
	in.Resting = []rehab.Morning{quiet(date(3, 4), 6, 5), quiet(date(3, 5), 1, 5)}
	if got := runDays(verified(t, in), 2); !slices.Equal(got, []load.Day{date(3, 2), date(3, 7)}) { // three rest days from the 4th on
		t.Errorf("one flare: runs on %v", got)
	}
	in.Resting = []rehab.Morning{quiet(date(3, 4), 1, 5), quiet(date(3, 5), 6, 5), quiet(date(3, 6), 1, 5)}
	p := verified(t, in)
	if got := runDays(p, 2); !slices.Equal(got, []load.Day{date(3, 2), date(3, 12)}) || !says(p.Reasons, "no running from 2026-03-05 to 2026-03-11") {
		t.Errorf("two flares: runs on %v, %q", got, p.Reasons)
	}
}

// TestReviewed: three flares in 28 days before the start end a plan before it begins, unless
// whoever is in charge has set it since: it begins at the first stage, and a flare after the
// start is the first again.
func TestReviewed(t *testing.T) {
	in := runner()
	in.Past = append(in.Past, ramp.Past{Day: date(2, 7), Run: 24}, ramp.Past{Day: date(2, 13), Run: 24}, ramp.Past{Day: date(2, 20), Run: 24})
	for _, d := range []load.Day{date(2, 7), date(2, 13), date(2, 20)} {
		in.Mornings = append(in.Mornings, ofRun(d, flared))
	}
	in.Past[0].Run = 15 // stage 3 by what was run
	p := verified(t, in)
	if len(runDays(p, 1)) > 0 || !says(p.Reasons, "3 flared mornings in 28 days: a review comes first") {
		t.Errorf("without a review: %v, %q", runDays(p, 3), p.Reasons)
	}
	in.Reviewed = true
	p = verified(t, in)
	if d := on(t, p, in.Start); d.Stage != 1 || !says(p.Reasons, "it begins at the first stage unless a person says otherwise") {
		t.Errorf("%+v, %q", d, p.Reasons)
	}
	in.First = 3
	if d := on(t, verified(t, in), in.Start); d.Stage != 3 {
		t.Errorf("%+v, want what a person has said", d)
	}
	answered(in, ofRun(in.Start, flared))
	if d := on(t, verified(t, in), in.Start); d.Action != ramp.Back {
		t.Errorf("%+v, want one flare and no pause", d)
	}
}
