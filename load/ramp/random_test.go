package ramp_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// course is a random runner: any site, days, runs before, mornings after runs and rest days,
// with baselines of their own, missed days and runs that nobody planned; and whatever a
// person in charge may set: ladder, first stage, stages that wait, days without running or
// growth.
func course(rnd *rand.Rand) *ramp.Inputs {
	in := &ramp.Inputs{
		Site: rehab.Sites[rnd.IntN(len(rehab.Sites))].Site, Start: date(3, 2), Weeks: 4 + rnd.IntN(17),
		Base:   rehab.Baseline{Pain: float64(rnd.IntN(6)) / 2, Stiffness: 5, HasStiffness: true},
		Novice: rnd.IntN(4) == 0, BMI: 24 + float64(rnd.IntN(12)),
	}
	for i := range in.Free {
		in.Free[i] = rnd.IntN(3) > 0
	}
	in.Free[rnd.IntN(7)] = true
	for range rnd.IntN(5) {
		day := in.Start - 1 - load.Day(rnd.IntN(40))
		if !slices.ContainsFunc(in.Past, func(r ramp.Past) bool { return r.Day == day }) {
			in.Past = append(in.Past, ramp.Past{Day: day, Run: ramp.Minutes(1 + rnd.IntN(50))})
		}
	}
	if rnd.IntN(3) == 0 {
		in.Weeks += rnd.IntN(30)
		in.Goal = ramp.Goal{Km: 2 + float64(rnd.IntN(16))/2, Pace: 5 + float64(rnd.IntN(4))/2}
		in.Also = []rehab.Site{rehab.Sites[rnd.IntN(len(rehab.Sites))].Site}
	}
	if rnd.IntN(8) == 0 {
		in.Confirm, in.Roof = true, 14+rnd.IntN(5)
		in.Lifts = []ramp.Lift{{Day: in.Start, Roof: 14}, {Day: in.Start + load.Day(60+rnd.IntN(100)), Roof: 14 + rnd.IntN(5)}}
	}
	end := in.Start + load.Day(7*in.Weeks)
	bad := rnd.IntN(25) // percent; as often missing
	for d := in.Start - 10; d < end; d++ {
		switch n := rnd.IntN(100); {
		case n < bad/3:
			in.Mornings = append(in.Mornings, ofRun(d, scores{rnd.IntN(8), 4, 2 + rnd.IntN(5), rnd.IntN(40)}))
		case n < bad:
			in.Mornings = append(in.Mornings, ofRun(d, scores{rnd.IntN(4), rnd.IntN(3), rnd.IntN(4), rnd.IntN(12)}))
		case n < 2*bad:
			in.Mornings = append(in.Mornings, ofRun(d, scores{2, 2, -1, -1}))
		case n < 2*bad+20:
			in.Resting = append(in.Resting, restDay(rnd, d, bad))
		}
		if d >= in.Start && rnd.IntN(60) == 0 {
			in.Past = append(in.Past, ramp.Past{Day: d, Run: ramp.Minutes(5 + rnd.IntN(40))})
		}
	}
	for d := in.Start - 10; d < end; d++ {
		if rnd.IntN(4*(100-3*bad)) == 0 {
			in.Resting = append(in.Resting, flaredAtRest(in, d+1)...)
		}
	}
	for range rnd.IntN(3) {
		first := in.Start + load.Day(rnd.IntN(7*in.Weeks))
		in.Missed = append(in.Missed, load.DaySpan{First: first, Last: first + load.Day(rnd.IntN(20))})
	}
	in.Bases = map[load.Day]rehab.Baseline{}
	for range rnd.IntN(20) {
		in.Bases[in.Start+load.Day(rnd.IntN(7*in.Weeks))] = rehab.Baseline{Pain: float64(rnd.IntN(7)) / 2, Stiffness: float64(rnd.IntN(15)), HasStiffness: rnd.IntN(3) > 0}
	}
	if rnd.IntN(2) == 0 {
		set(rnd, in)
	}
	return in
}

// restDay is what was said of a morning after a day without a run, sometimes too late.
func restDay(rnd *rand.Rand, day load.Day, bad int) rehab.Morning {
	s := scores{-1, -1, rnd.IntN(2), rnd.IntN(12)}
	if rnd.IntN(100) < bad {
		s = scores{-1, -1, rnd.IntN(8), rnd.IntN(40)}
	}
	m := ofRun(day, s)
	m.Late = rnd.IntN(10) == 0
	return m
}

// set is what a person in charge may say of a course.
func set(rnd *rand.Rand, in *ramp.Inputs) {
	if rnd.IntN(2) == 0 {
		in.Ladder = ramp.Tables[rnd.IntN(len(ramp.Tables))].Ladder()
	}
	stages := len(ramp.Ladder)
	if in.Ladder != nil {
		stages = len(in.Ladder)
	}
	if rnd.IntN(3) == 0 {
		in.First = 1 + rnd.IntN(3)
	}
	if rnd.IntN(2) == 0 {
		in.Confirm, in.Roof, in.Lifts = true, rnd.IntN(stages+6), nil
		for day := in.Start; rnd.IntN(3) > 0 && day < in.Start+100; day += load.Day(rnd.IntN(30)) {
			in.Lifts = append(in.Lifts, ramp.Lift{Day: day, Roof: rnd.IntN(stages + 6)})
		}
	}
	span := func(days int) []ramp.Stop {
		first := in.Start + load.Day(rnd.IntN(7*in.Weeks))
		return []ramp.Stop{{DaySpan: load.DaySpan{First: first, Last: first + load.Day(rnd.IntN(days))}, Why: "a sign"}}
	}
	if rnd.IntN(3) == 0 {
		in.Stops = span(20)
	}
	if rnd.IntN(3) == 0 {
		in.Frozen = span(60)
	}
	in.Asked, in.Reviewed = rnd.IntN(3) == 0, rnd.IntN(3) == 0
}

// flaredAtRest is a morning that flares after no run, and the next one, back as usual, if
// nothing else was said of them.
func flaredAtRest(in *ramp.Inputs, day load.Day) []rehab.Morning {
	for _, m := range slices.Concat(in.Mornings, in.Resting) {
		if m.Day >= day && m.Day <= day+1 {
			return nil
		}
	}
	return []rehab.Morning{ofRun(day-1, scores{-1, -1, 6, 5}), ofRun(day, scores{-1, -1, 0, 5})}
}

// told adds up what was run, from what the plan and the inputs say and nothing else.
type told struct{ run map[load.Day]ramp.Minutes }

func (c told) week(d load.Day) (sum ramp.Minutes) {
	for e := d - 6; e <= d; e++ {
		sum += c.run[e]
	}
	return sum
}

// caps are C4 and C5 of a day as the rehab reference 5.2 has them.
func (c told) caps(d, start load.Day) (session, week ramp.Minutes) {
	var longest ramp.Minutes
	best := c.week(start - 1)
	for e := d - 30; e < d; e++ {
		longest = max(longest, c.run[e])
	}
	for e := d - 28; e < d; e++ {
		best = max(best, c.week(e))
	}
	return max(longest+3, longest*1.1), max(best*1.3, best+10)
}

// check returns what is wrong with a course.
func (c told) check(in *ramp.Inputs, p ramp.Plan) error {
	done, test := map[load.Day]bool{}, true
	for _, r := range in.Past {
		if r.Day < in.Start {
			c.run[r.Day] = r.Run
			test = test && !(r.Run >= 10 && r.Day >= in.Start-14)
		}
		done[r.Day] = true
	}
	site, err := rehab.FindSite(in.Site)
	if err != nil {
		return err
	}
	gap, inARow, wide := site.Gap, 0, 0
	last, ran, idle := load.Day(0), false, 0
	stage, settledAt := 0, map[int]int{}
	adds, more := 0, additions{in: in, c: c}
	ended := slices.ContainsFunc(p.Reasons, func(s string) bool { return strings.Contains(s, "the plan ends on") })
	for _, d := range p.Days {
		session, week := c.caps(d.Day, in.Start)
		if !near(session, d.Session) || d.WeekCap > week+1e-9 || d.Reason == "" {
			return fmt.Errorf("%v: caps %v and %v, shown %v and %v, %q", d.Day, session, week, d.Session, d.WeekCap, d.Reason)
		}
		if (d.Action == ramp.End || strings.Contains(d.Reason, "has ended")) && !ended {
			return fmt.Errorf("%v: an end without a reason", d.Day)
		}
		if d.Kind == ramp.Rest {
			if idle++; idle > 35 && !ended && len(in.Missed)+len(in.Stops)+len(in.Resting) == 0 && !in.Asked {
				return fmt.Errorf("%v: nothing for %d days", d.Day, idle)
			}
			continue
		}
		idle = 0
		if err := more.run(d, done[d.Day]); err != nil {
			return err
		}
		c.run[d.Day] = d.Total
		if !near(c.week(d.Day), d.Week) {
			return fmt.Errorf("%v: seven days %v, shown %v", d.Day, c.week(d.Day), d.Week)
		}
		if !done[d.Day] {
			if !test && (d.Total > session+1e-9 || d.Week > d.WeekCap+1e-9) {
				return fmt.Errorf("%v: %v of %v, week %v of %v", d.Day, d.Total, session, d.Week, d.WeekCap)
			}
			want := gap
			if adds > 0 {
				want = max(0, gap-1)
			}
			if wide > 0 {
				want = 3
			}
			if ran && int(d.Day-last)-1 < want {
				return fmt.Errorf("%v: %d days after %v, want %d of rest", d.Day, d.Day-last, last, want)
			}
			if stage > 0 && d.Stage > stage && (d.Stage > stage+1 || settledAt[stage] < 2) {
				return fmt.Errorf("%v: stage %d after %d, settled %d", d.Day, d.Stage, stage, settledAt[stage])
			}
		}
		test, last, ran, wide = false, d.Day, true, max(0, wide-1)
		if d.Stage > 0 && d.Stage != stage {
			stage = d.Stage
			clear(settledAt)
		}
		if !done[d.Day] || d.Adds != "" {
			adds = more.at
		}
		switch d.Verdict {
		case load.Settled:
			settledAt[d.Stage]++
			inARow++
		case load.Flared:
			inARow, wide = 0, 2
			clear(settledAt)
		case load.Unsettled:
			inARow = 0
			clear(settledAt)
		}
		if d.Action == ramp.GapDown {
			if inARow < 4 {
				return fmt.Errorf("%v: the gap came down after %d", d.Day, inARow)
			}
			gap = site.Settled
			clear(settledAt)
		}
	}
	return nil
}

// additions follows what is added, from the runs and their verdicts alone (model 9).
type additions struct {
	in      *ramp.Inputs
	c       told
	at      int
	from    load.Day
	settled int
	goal    int // settled runs of the goal's length
	longest ramp.Minutes
	again   bool // the addition begins anew with the next run, a flare was in the one after it
}

var late = []rehab.Site{rehab.AchillesIns, rehab.Patellar}

// run takes a run, and returns what is wrong with what it adds.
func (a *additions) run(d ramp.Day, done bool) error {
	order := []ramp.Addition{"", ramp.RunDays, ramp.Strides, ramp.Hills, ramp.Speed}
	if slices.Contains(late, a.in.Site) || len(a.in.Also) > 0 && slices.Contains(late, a.in.Also[0]) {
		order[3], order[4] = order[4], order[3]
	}
	n := slices.Index(order, d.Adds)
	if done && n == 0 {
		if d.Verdict.Bad() {
			a.settled, a.goal = 0, 0
		} else if d.Verdict == load.Settled && d.Stage == 0 && float64(d.Run) >= 0.9*max(30, a.in.Goal.Km*a.in.Goal.Pace) {
			a.goal++
		}
		return nil
	}
	switch {
	case n < 0 || n > a.at+1 || n > 0 && (a.in.Goal.Km == 0 || d.Stage > 0):
		return fmt.Errorf("%v: %q after addition %d", d.Day, d.Adds, a.at)
	case n == 1 && a.at == 0 && a.goal < 2:
		return fmt.Errorf("%v: %s after %d settled runs of the goal", d.Day, d.Adds, a.goal)
	case n > 1 && n > a.at && (d.Day < a.from+14 || a.settled < 2):
		return fmt.Errorf("%v: %s after %d days and %d settled runs", d.Day, d.Adds, d.Day-a.from, a.settled)
	case n > a.at && a.in.Confirm && a.roof(d.Day) < a.stages()+1+n:
		return fmt.Errorf("%v: %s, and nobody said so", d.Day, d.Adds)
	case n > 0 && a.at > 0 && !done && d.Total > a.longest+1e-9:
		return fmt.Errorf("%v: %v min with %s, %v before", d.Day, d.Total, d.Adds, a.longest)
	}
	if n != a.at || a.again {
		a.from, a.settled = d.Day, 0
	}
	if n == 0 || a.at == 0 { // the longest of the last 30 days, and of this one
		a.longest = d.Total
		for e := d.Day - 30; e < d.Day; e++ {
			a.longest = max(a.longest, a.c.run[e])
		}
	}
	a.at, a.again = n, false
	switch {
	case d.Verdict.Bad():
		a.settled, a.goal = 0, 0
		if d.Verdict == load.Flared && n > 0 {
			a.at, a.again = n-1, true
		}
	case d.Verdict != load.Settled:
	case n > 0:
		a.settled++
	case d.Stage == 0 && float64(d.Run) >= max(30, a.in.Goal.Km*a.in.Goal.Pace)-1e-9:
		a.goal++
	}
	return nil
}

func (a *additions) stages() int {
	if a.in.Ladder == nil {
		return len(ramp.Ladder)
	}
	return len(a.in.Ladder)
}

// roof is what had been said by a day.
func (a *additions) roof(day load.Day) int {
	if len(a.in.Lifts) == 0 {
		return a.in.Roof
	}
	said := 0
	for _, l := range a.in.Lifts {
		if l.Day <= day {
			said = l.Roof
		}
	}
	return said
}

// TestRandomCourses holds ten thousand courses against the caps and the spacing, worked
// out from the runs alone.
func TestRandomCourses(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 2026))
	runs, ends, grew := 0, 0, 0
	reached := map[ramp.Addition]int{}
	for i := range 10_000 {
		in := course(rnd)
		if err := in.Check(); err != nil {
			t.Fatal(err)
		}
		p := ramp.Make(in)
		if err := (told{map[load.Day]ramp.Minutes{}}).check(in, p); err != nil {
			t.Fatalf("course %d: %v\n%s", i, err, strings.Join(p.Reasons, "\n"))
		}
		if err := ramp.Verify(&p); err != nil {
			t.Fatalf("course %d: the checker refuses it: %v\n%s", i, err, strings.Join(p.Reasons, "\n"))
		}
		for _, d := range p.Days {
			if d.Kind == ramp.Run {
				runs++
				if d.Adds != "" {
					reached[d.Adds]++
				}
				if d.Stage == 0 && d.Total > 42 {
					grew++
				}
			}
			if d.Action == ramp.End {
				ends++
			}
		}
	}
	if runs < 100_000 || ends < 100 || grew < 100 {
		t.Errorf("%d runs, %d ends, %d of them over the ladder: the courses try too little", runs, ends, grew)
	}
	for _, a := range []ramp.Addition{ramp.RunDays, ramp.Strides, ramp.Hills, ramp.Speed} {
		if reached[a] < 100 {
			t.Errorf("%d runs with %s: the courses try too little", reached[a], a)
		}
	}
	t.Logf("%d runs, %d ends, %d over the ladder, with %v", runs, ends, grew, reached)
}

// BenchmarkReplan plans the eight weeks of the worked plan again after a morning.
func BenchmarkReplan(b *testing.B) {
	in := runner()
	in.Mornings = []rehab.Morning{ofRun(date(3, 14), unsettled), ofRun(date(3, 28), missing), ofRun(date(4, 11), flared)}
	b.ReportAllocs()
	for b.Loop() {
		ramp.Make(in)
	}
}

// BenchmarkGoal plans on to a goal that is months away.
func BenchmarkGoal(b *testing.B) {
	in := runner()
	in.Goal = ramp.Goal{Km: 15, Pace: 6, IsBy: true, By: date(time.December, 1)}
	for b.Loop() {
		ramp.Make(in)
	}
}
