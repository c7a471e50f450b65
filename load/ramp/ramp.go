// Package ramp plans the return to running: walking and running in turns, day by day, and
// bends with each morning that answers.
//
// It is pure: data in, data out; the day from which a plan is made is an argument. The
// planner and the checker share nothing but the words of this file and the tables of stages
// and constraints: a plan that the checker refuses is never shown.
package ramp

import (
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// Minutes is a time of running or walking.
type Minutes float64

// Stage is one rung of a ladder: so many times running and walking.
type Stage struct {
	Stage int // from 1
	Reps  int
	Run   Minutes // of each
	Walk  Minutes // after each but the last
}

// Total returns the running minutes of the stage.
func (s Stage) Total() Minutes { return Minutes(s.Reps) * s.Run }

// Ladder is the default ladder (rehab reference 5.3, project default: its running minutes
// obey the session cap from 10 min on).
var Ladder = []Stage{
	{1, 10, 1, 1},
	{2, 6, 2, 1},
	{3, 5, 3, 1},
	{4, 6, 3, 1},
	{5, 3, 7, 1},
	{6, 3, 8, 1},
	{7, 3, 9, 1},
	{8, 2, 15, 1},
	{9, 1, 30, 0},
	{10, 1, 33, 0},
	{11, 1, 36, 0},
	{12, 1, 39, 0},
	{13, 1, 42, 0},
}

// Past is a run that was already done.
type Past struct {
	Day load.Day
	Run Minutes
}

// Goal is the longest single run that is wanted.
type Goal struct {
	Km   float64  // 0: none
	Pace float64  // easy, min per km
	By   load.Day // the day it is wanted on
	IsBy bool
}

// Inputs is all that a plan is made of.
type Inputs struct {
	Site   rehab.Site
	Bone   bool // refused: no plan is made of it
	Start  load.Day
	Weeks  int
	Free   [7]bool // by time.Weekday, Sunday first
	Past   []Past
	Base   rehab.Baseline // usual in the morning
	Goal   Goal
	BMI    float64 // 0: not said
	Novice bool
	Ladder []Stage // nil: the default
	First  int     // stage to begin at, where a person says so; 0: by what was run before
	// Also are the other sites that are followed: what their ground asks counts too.
	Also []rehab.Site
	// Confirm says that stages go up only as far as somebody has said, and never above where
	// the plan began; one above the ladder is the growth after it, and each addition is one
	// more. Roof holds throughout, or instead of it Lifts, in order of day, each from its day
	// on. What was reached before a lower one stays.
	Confirm bool
	Roof    int
	Lifts   []Lift
	// Mornings answer the runs: Day is the waking date, the day after the run. A run
	// without one is taken as settled.
	Mornings []rehab.Morning
	// Bases are what was usual on a waking date, where that differs from Base.
	Bases map[load.Day]rehab.Baseline
	// Resting are mornings after days without a run. A day without one counts as back to
	// the baseline, unless mornings are Asked for: then it says nothing.
	Resting []rehab.Morning
	Asked   bool
	// Missed are days on which nothing is run but what is in Past: days away, and all that
	// have gone by.
	Missed []load.DaySpan
	// Stops are days on which nothing may be run, and Frozen those on which nothing grows:
	// neither stage nor week.
	Stops, Frozen []Stop
	// Reviewed says that whoever is in charge knows of the flares before the start: they
	// neither pause the plan nor end it.
	Reviewed bool
}

// Stop is days on which something stands against running, or against growth.
type Stop struct {
	load.DaySpan
	Rule string // which limit of a day it is
	Why  string
}

// StopOn returns the first of stops that stands on a day; ok is false where none does.
func StopOn(stops []Stop, day load.Day) (s Stop, ok bool) {
	i := slices.IndexFunc(stops, func(s Stop) bool { return s.Holds(day) })
	if i < 0 {
		return s, false
	}
	return stops[i], true
}

// RoofOn returns the highest stage that somebody has allowed on a day.
func (in *Inputs) RoofOn(day load.Day) (roof int) {
	if len(in.Lifts) == 0 {
		return in.Roof
	}
	for _, l := range in.Lifts {
		if l.Day <= day {
			roof = l.Roof
		}
	}
	return roof
}

// Lift is a roof that somebody said on a day.
type Lift struct {
	Day  load.Day
	Roof int
}

// stages returns the ladder that is climbed.
func (in *Inputs) stages() []Stage {
	if in.Ladder == nil {
		return Ladder
	}
	return in.Ladder
}

// baseOn returns what is usual on a waking date.
func (in *Inputs) baseOn(date load.Day) rehab.Baseline {
	if base, ok := in.Bases[date]; ok {
		return base
	}
	return in.Base
}

// DoneOn reports whether something was run on a day of the plan already.
func (in *Inputs) DoneOn(day load.Day) bool {
	return day >= in.Start && slices.ContainsFunc(in.Past, func(r Past) bool { return r.Day == day })
}

// Kind is what a day holds.
type Kind string

// The kinds.
const (
	Run  Kind = "run"
	Rest Kind = "rest"
)

// Action is what a morning, or what is missing, does to the plan.
type Action string

// The actions.
const (
	Go      Action = "go"      // on with the same stage, the count goes on
	Repeat  Action = "repeat"  // the same stage, the count begins anew
	Advance Action = "advance" // the next stage
	Back    Action = "back"    // a stage back
	Hold    Action = "hold"    // no stage up for now
	GapDown Action = "gap"     // a rest day less between runs from now on
	Pause   Action = "pause"   // no running for seven days, and a review
	End     Action = "end"     // the plan ends, and a review
)

// Addition is what comes to the runs after the growth, one at a time (model 9).
type Addition string

// The additions.
const (
	RunDays Addition = "run-days" // a rest day less between runs
	Strides Addition = "strides"
	Hills   Addition = "hills"
	Speed   Addition = "speed"
)

// Day is one day of a plan.
type Day struct {
	Day     load.Day
	Kind    Kind
	Stage   int // 0 on a rest day and in the growth after the ladder
	Reps    int
	Run     Minutes // of each repetition
	Walk    Minutes
	Total   Minutes // of running
	Session Minutes // the session cap of the day
	Week    Minutes // the sum of seven days, this one included
	WeekCap Minutes
	Verdict load.Verdict // on a run, by the next morning
	Action  Action       // what followed from the verdict; empty on most rest days
	Reason  string       // why the day is as it is, in words
	Waits   int          // the stage that waits for somebody in charge, counted as Roof is; 0: none does
	Adds    Addition     // of a run: what was added last; empty: nothing yet, or the run was not planned
	Over    string       // of a run that was done: why the plan did not have it; empty: it had
}

// Plan is the answer to inputs.
type Plan struct {
	Inputs   Inputs
	Feasible bool
	Earliest load.Day // on which the goal would be reached; zero without one or out of sight
	Days     []Day
	Ladder   []Stage
	Reasons  []string
	Checked  bool // the checker found nothing
}
