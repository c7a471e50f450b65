package wire

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// Ramp is a plan of the way back to running.
type Ramp struct {
	Inputs   RampInputs  `json:"inputs"`
	Feasible bool        `json:"feasible"`
	Earliest *load.Day   `json:"earliest"` // null without a goal, and where it is out of sight
	Days     []RampDay   `json:"days"`
	Stages   []RampStage `json:"stages"`
	Checked  bool        `json:"checked"`
	Reasons  []string    `json:"reasons"`
}

// RampInputs is all that a plan was made of, so that it can be checked again.
type RampInputs struct {
	Site          rehab.Site    `json:"site"`
	Bone          bool          `json:"bone"`
	Start         load.Day      `json:"start"`
	Weeks         int           `json:"weeks"`
	Days          []string      `json:"days"` // free ones: mon, tue
	Past          []RampPast    `json:"past"`
	BasePain      float64       `json:"base_pain"`
	BaseStiffness *float64      `json:"base_stiffness"`
	GoalKM        *float64      `json:"goal_km"`
	Pace          *float64      `json:"pace_min_per_km"`
	By            *load.Day     `json:"by"`
	BMI           *float64      `json:"bmi"`
	Novice        bool          `json:"novice"`
	First         int           `json:"first_stage,omitempty"`
	Confirm       bool          `json:"confirm,omitempty"` // stages up wait for a person,
	Roof          int           `json:"roof,omitempty"`    // beyond this one
	Lifts         []RampLift    `json:"roofs,omitempty"`   // and since when it stands
	Also          []rehab.Site  `json:"also,omitempty"`    // other sites that are followed
	Mornings      []RampMorning `json:"mornings"`
	Resting       []RampMorning `json:"resting,omitempty"`
	Asked         bool          `json:"asked,omitempty"` // a day without a morning says nothing
	Stops         []RampStop    `json:"stops,omitempty"`
	Frozen        []RampStop    `json:"frozen,omitempty"`   // days on which nothing grows
	Reviewed      bool          `json:"reviewed,omitempty"` // flares before the start are known
	Missed        []RampSpan    `json:"missed,omitempty"`
}

// RampPast is a run that was done.
type RampPast struct {
	Date load.Day `json:"date"`
	Run  float64  `json:"run_min"`
}

// RampLift is a roof that was said on a day.
type RampLift struct {
	Date load.Day `json:"date"`
	Roof int      `json:"roof"`
}

// RampSpan is days on which nothing more is run.
type RampSpan struct {
	First load.Day `json:"first"`
	Last  load.Day `json:"last"`
}

// RampStop is days on which something stands against running, or against growth.
type RampStop struct {
	First load.Day `json:"first"`
	Last  load.Day `json:"last"`
	Rule  string   `json:"rule,omitempty"`
	Why   string   `json:"why"`
}

// RampMorning answers the day before: Date is the day of the run.
type RampMorning struct {
	Date          load.Day     `json:"date"`
	During        *rehab.Score `json:"during"`
	After         *rehab.Score `json:"after"`
	Next          *rehab.Score `json:"next"`
	Stiffness     *int         `json:"stiffness"`
	Limp          *bool        `json:"limp,omitempty"`
	Late          bool         `json:"late,omitempty"`
	LateRun       bool         `json:"late_run,omitempty"`
	LateStiffness bool         `json:"late_stiffness,omitempty"`
	BasePain      *float64     `json:"base_pain,omitempty"` // where it is not that of the inputs
	BaseStiffness *float64     `json:"base_stiffness,omitempty"`
}

// RampStage is one rung of the ladder.
type RampStage struct {
	Stage int     `json:"stage"`
	Reps  int     `json:"reps"`
	Run   float64 `json:"run_min"`
	Walk  float64 `json:"walk_min"`
	Total float64 `json:"total_run_min"`
}

// RampDay is one day of a plan.
type RampDay struct {
	Date    load.Day `json:"date"`
	Kind    string   `json:"kind"`
	Stage   *int     `json:"stage"` // null on rest days and in the growth phase
	Reps    int      `json:"reps"`
	Run     float64  `json:"run_min"`
	Walk    float64  `json:"walk_min"`
	Total   float64  `json:"total_run_min"`
	Session float64  `json:"session_cap_min"`
	Week    float64  `json:"week_sum_min"`
	WeekCap float64  `json:"week_cap_min"`
	Verdict *string  `json:"verdict"`
	Action  *string  `json:"action"`
	Reason  string   `json:"reason"`
	Over    string   `json:"over,omitempty"` // why the plan did not have what was run
	Adds    string   `json:"adds,omitempty"` // run-days, strides, hills or speed: what was added last after the ladder
}

var weekdays = [7]string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}

// Weekday returns the day of the week of a name, as mon or monday; ok is false for none.
func Weekday(name string) (d time.Weekday, ok bool) {
	name = strings.ToLower(strings.TrimSpace(name))
	if len(name) < 3 || !strings.HasPrefix(strings.ToLower(time.Weekday(max(0, slices.Index(weekdays[:], name[:3]))).String()), name) {
		return 0, false
	}
	i := slices.Index(weekdays[:], name[:3])
	return time.Weekday(i), i >= 0
}

var verdictIDs = map[load.Verdict]string{load.Settled: "settled", load.Unsettled: "unsettled", load.Flared: "flared", load.Missing: "missing"}

// RampOf writes a plan.
func RampOf(p *ramp.Plan) Ramp {
	out := Ramp{Inputs: rampInputs(&p.Inputs), Feasible: p.Feasible, Checked: p.Checked, Reasons: p.Reasons, Days: []RampDay{}, Stages: []RampStage{}}
	if out.Reasons == nil {
		out.Reasons = []string{}
	}
	if p.Earliest != 0 {
		out.Earliest = &p.Earliest
	}
	for _, s := range p.Ladder {
		out.Stages = append(out.Stages, RampStage{s.Stage, s.Reps, float64(s.Run), float64(s.Walk), float64(s.Total())})
	}
	for i := range p.Days {
		out.Days = append(out.Days, rampDay(&p.Days[i]))
	}
	return out
}

func rampDay(d *ramp.Day) RampDay {
	out := RampDay{
		Date: d.Day, Kind: string(d.Kind), Reps: d.Reps, Run: float64(d.Run), Walk: float64(d.Walk), Total: float64(d.Total),
		Session: float64(d.Session), Week: float64(d.Week), WeekCap: float64(d.WeekCap), Reason: d.Reason, Over: d.Over, Adds: string(d.Adds),
	}
	if d.Stage > 0 {
		out.Stage = &d.Stage
	}
	if id, ok := verdictIDs[d.Verdict]; ok {
		out.Verdict = &id
	}
	if d.Action != "" {
		action := string(d.Action)
		out.Action = &action
	}
	return out
}

func rampInputs(in *ramp.Inputs) RampInputs {
	out := RampInputs{
		Site: in.Site, Bone: in.Bone, Start: in.Start, Weeks: in.Weeks, BasePain: in.Base.Pain, Novice: in.Novice, First: in.First, Confirm: in.Confirm, Roof: in.Roof,
		Also: in.Also, Days: []string{}, Past: []RampPast{}, Mornings: rampMornings(in, in.Mornings), Resting: rampMornings(in, in.Resting),
	}
	for i := range 7 {
		if day := (i + 1) % 7; in.Free[day] { // Monday first
			out.Days = append(out.Days, weekdays[day])
		}
	}
	for _, p := range in.Past {
		out.Past = append(out.Past, RampPast{p.Day, float64(p.Run)})
	}
	out.Asked, out.Reviewed = in.Asked, in.Reviewed
	out.Stops, out.Frozen = rampStops(in.Stops), rampStops(in.Frozen)
	for _, l := range in.Lifts {
		out.Lifts = append(out.Lifts, RampLift{l.Day, l.Roof})
	}
	for _, s := range in.Missed {
		out.Missed = append(out.Missed, RampSpan{s.First, s.Last})
	}
	if in.Base.HasStiffness {
		out.BaseStiffness = &in.Base.Stiffness
	}
	if in.Goal.Km > 0 {
		out.GoalKM = &in.Goal.Km
	}
	if in.Goal.Pace > 0 {
		out.Pace = &in.Goal.Pace
	}
	if in.Goal.IsBy {
		out.By = &in.Goal.By
	}
	if in.BMI > 0 {
		out.BMI = &in.BMI
	}
	return out
}

func rampStops(stops []ramp.Stop) (out []RampStop) {
	for _, s := range stops {
		out = append(out, RampStop{s.First, s.Last, s.Rule, s.Why})
	}
	return out
}

func readStops(stops []RampStop) (out []ramp.Stop) {
	for _, s := range stops {
		out = append(out, ramp.Stop{DaySpan: load.DaySpan{First: s.First, Last: s.Last}, Rule: s.Rule, Why: s.Why})
	}
	return out
}

func rampMornings(in *ramp.Inputs, mornings []rehab.Morning) []RampMorning {
	out := []RampMorning{}
	for _, m := range mornings {
		line := RampMorning{
			Date: m.Day - 1, During: m.During, After: m.After, Next: m.Next, Stiffness: m.Stiffness, Limp: m.Limp,
			Late: m.Late, LateRun: m.LateRun, LateStiffness: m.LateStiff,
		}
		if base, ok := in.Bases[m.Day]; ok && base != in.Base {
			line.BasePain = &base.Pain
			if base.HasStiffness {
				line.BaseStiffness = &base.Stiffness
			}
		}
		out = append(out, line)
	}
	return out
}

// Plan reads a plan that was written. It is an error if a name in it is none; whether it
// holds together is for the checker.
func (r *Ramp) Plan() (p ramp.Plan, err error) {
	if p.Inputs, err = r.Inputs.inputs(); err != nil {
		return p, err
	}
	p.Feasible, p.Reasons = r.Feasible, r.Reasons
	if r.Earliest != nil {
		p.Earliest = *r.Earliest
	}
	for _, s := range r.Stages {
		p.Ladder = append(p.Ladder, ramp.Stage{Stage: s.Stage, Reps: s.Reps, Run: ramp.Minutes(s.Run), Walk: ramp.Minutes(s.Walk)})
	}
	for i := range r.Days {
		d, err := r.Days[i].day()
		if err != nil {
			return p, err
		}
		p.Days = append(p.Days, d)
	}
	return p, nil
}

func (d *RampDay) day() (out ramp.Day, err error) {
	out = ramp.Day{
		Day: d.Date, Kind: ramp.Kind(d.Kind), Reps: d.Reps, Run: ramp.Minutes(d.Run), Walk: ramp.Minutes(d.Walk), Total: ramp.Minutes(d.Total),
		Session: ramp.Minutes(d.Session), Week: ramp.Minutes(d.Week), WeekCap: ramp.Minutes(d.WeekCap), Reason: d.Reason, Over: d.Over, Adds: ramp.Addition(d.Adds),
	}
	if d.Stage != nil {
		out.Stage = *d.Stage
	}
	if d.Action != nil {
		out.Action = ramp.Action(*d.Action)
	}
	if d.Verdict == nil {
		return out, nil
	}
	for v, id := range verdictIDs {
		if id == *d.Verdict {
			out.Verdict = v
			return out, nil
		}
	}
	return out, fmt.Errorf("%v: verdict %.20q: want settled, unsettled, flared or missing", d.Date, *d.Verdict)
}

func (r *RampInputs) inputs() (in ramp.Inputs, err error) {
	in = ramp.Inputs{Site: r.Site, Bone: r.Bone, Start: r.Start, Weeks: r.Weeks, Novice: r.Novice, First: r.First, Confirm: r.Confirm, Roof: r.Roof, Also: r.Also, Base: rehab.Baseline{Pain: r.BasePain}}
	if r.BaseStiffness != nil {
		in.Base.Stiffness, in.Base.HasStiffness = *r.BaseStiffness, true
	}
	for _, name := range r.Days {
		day, ok := Weekday(name)
		if !ok {
			return in, fmt.Errorf("day %.20q: want mon, tue, wed, thu, fri, sat or sun", name)
		}
		in.Free[day] = true
	}
	for _, p := range r.Past {
		in.Past = append(in.Past, ramp.Past{Day: p.Date, Run: ramp.Minutes(p.Run)})
	}
	in.Asked, in.Reviewed = r.Asked, r.Reviewed
	in.Stops, in.Frozen = readStops(r.Stops), readStops(r.Frozen)
	for _, l := range r.Lifts {
		in.Lifts = append(in.Lifts, ramp.Lift{Day: l.Date, Roof: l.Roof})
	}
	for _, s := range r.Missed {
		in.Missed = append(in.Missed, load.DaySpan{First: s.First, Last: s.Last})
	}
	if r.GoalKM != nil {
		in.Goal.Km = *r.GoalKM
	}
	if r.Pace != nil {
		in.Goal.Pace = *r.Pace
	}
	if r.By != nil {
		in.Goal.By, in.Goal.IsBy = *r.By, true
	}
	if r.BMI != nil {
		in.BMI = *r.BMI
	}
	in.Bases = make(map[load.Day]rehab.Baseline)
	in.Mornings, in.Resting = readMornings(r.Mornings, in.Bases), readMornings(r.Resting, in.Bases)
	return in, nil
}

func readMornings(lines []RampMorning, bases map[load.Day]rehab.Baseline) (out []rehab.Morning) {
	for _, m := range lines {
		out = append(out, rehab.Morning{
			Day: m.Date + 1, During: m.During, After: m.After, Next: m.Next, Stiffness: m.Stiffness, Limp: m.Limp,
			Late: m.Late, LateRun: m.LateRun, LateStiff: m.LateStiffness,
		})
		if m.BasePain == nil {
			continue
		}
		base := rehab.Baseline{Pain: *m.BasePain}
		if m.BaseStiffness != nil {
			base.Stiffness, base.HasStiffness = *m.BaseStiffness, true
		}
		bases[m.Date+1] = base
	}
	return out
}
