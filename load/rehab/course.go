package rehab

import (
	"fmt"
	"slices"

	"tidemark/load"
)

// Order is a standing order: what whoever is in charge of a complaint allows in advance, the
// last that was given. Zero allows nothing.
type Order struct {
	Complaint string
	Phase     int      // of the programme, up to which it may go on by itself
	Stage     int      // of the ramp
	From      load.Day // the day on which it was given
	Until     load.Day // the last day that it holds
}

// The bounds of a standing order; project defaults.
const (
	mostPhase = 20
	mostStage = 99
)

// Check reports why it cannot be an order.
func (o *Order) Check() error {
	switch {
	case o.Phase < 0 || o.Phase > mostPhase:
		return fmt.Errorf("phase %d: want 0 to %d", o.Phase, mostPhase)
	case o.Stage < 0 || o.Stage > mostStage:
		return fmt.Errorf("stage %d: want 0 to %d", o.Stage, mostStage)
	}
	return nil
}

// Allows reports whether it allows anything.
func (o *Order) Allows() bool { return o.Phase > 0 || o.Stage > 0 }

// Move is what a programme should do next.
type Move string

// The moves.
const (
	On   Move = "on"
	Hold Move = "hold"
	Back Move = "back"
)

// Advice is a move with what it rests on.
type Advice struct {
	Move Move
	Of   string // what moves: ofProgramme or ofRunning
	Why  string
	Day  load.Day // of the morning that decided
}

// What an advice is about.
const (
	OfProgramme = "programme"
	OfRunning   = "running"
)

// Step of a course: the programme went to another phase by itself.
type CourseStep struct {
	Day   load.Day
	Phase int // from 1
	Why   string
}

// Course is how a prescription went on up to a day: brakes have acted at once, more waits
// for a person or was allowed in advance (model 7 and 8; rehab reference 3.4, project
// default built on pain monitoring).
type Course struct {
	Prescription Prescription
	Programme    Programme
	Last         load.Day // up to which it was followed
	Steps        []CourseStep
	Advice       Advice
	Waiting      int  // days for which going on has waited for a person
	Flared       bool // on the morning of Last, or in its run: only what loads little is done
	phases       []int
}

// noPhase is the phase of a day that has none.
const noPhase = -1

// PhaseOn returns what was to be done on a day; ok is false where nothing was.
func (c *Course) PhaseOn(day load.Day) (phase Phase, ok bool) {
	i := int(day - c.Prescription.From)
	if i < 0 || i >= len(c.phases) || c.phases[i] == noPhase {
		return Phase{}, false
	}
	return c.Programme.Phases[c.phases[i]], true
}

// Phase returns the number, from 1, of the phase that is done now; 0: none is.
func (c *Course) Phase() int {
	if len(c.phases) == 0 {
		return 0
	}
	return c.phases[len(c.phases)-1] + 1
}

// How a course goes on; project defaults of the rehab reference 3.4 and model 8.
const (
	onAfter    = 2  // settled mornings running with all sets done
	backAfter  = 2  // unsettled ones running
	idleDays   = 7  // with nothing done: a phase back
	mostIdle   = 2  // phases in one spell
	flareBand  = 2  // the highest band that is done on a day that flared
	AnswerDays = 7  // for which going on may wait until it is said that nobody has answered
	noRoof     = 99 // phases; no programme has so many
)

// follower walks a course from day to day.
type follower struct {
	Course
	record  *Record
	log     map[load.Day][]Done
	grown   []load.Day // on which the running grew
	plan    *Plan
	index   int  // of the phase
	began   bool // it has one
	paused  load.Day
	roof    int      // the highest index that it may go to by its weeks
	held    bool     // the last answer was not settled
	changed load.Day // on which the programme last went up; 0: it has stepped back since
	settled int      // running, with all sets done
	unset   int      // unsettled ones running
	last    load.Day // on which something was last done
	idle    int      // phases lost in this spell
	since   load.Day // since when going on waits; 0: it does not
}

// Courses returns how the prescriptions for the complaint of a record went on up to today,
// one after the other. grown are the days on which the running grew.
func (p *Plan) Courses(r *Record, grown []load.Day, today load.Day) (courses []Course) {
	log := make(map[load.Day][]Done)
	for _, d := range p.Of(r.Complaint.ID) {
		log[d.Day] = append(log[d.Day], d)
	}
	said := p.prescribed(r.Complaint.ID)
	var before *follower
	for i, one := range said {
		last := today
		if i+1 < len(said) {
			last = min(today, said[i+1].From-1)
		}
		programme, err := Library{p.Own}.Find(one.Programme)
		if err != nil || last < one.From {
			continue // of a newer version, or changed on the day
		}
		f := follower{record: r, log: log, grown: grown, plan: p, changed: one.From, last: one.From - 1, roof: noRoof}
		f.Prescription, f.Programme, f.Last = one, programme, last
		if before != nil && before.Prescription.Programme == one.Programme && before.Prescription.Started == one.Started {
			f.goOnFrom(before, moved(&said[i-1], &one))
		}
		f.walk()
		before = &f
		if one.State != Ended {
			courses = append(courses, f.Course)
		}
	}
	return courses
}

// moved reports whether a person chose the phase of one, and did not only go on after a
// pause.
func moved(before, one *Prescription) bool {
	return one.State == Running && one.Phase > 0 && (one.Phase != before.Phase || before.State == Running)
}

// goOnFrom takes over where the same programme stood: its weeks without the pauses, its steps,
// and its phase, unless a person has moved it.
func (f *follower) goOnFrom(before *follower, moved bool) {
	f.Steps, f.paused = slices.Clip(before.Steps), before.paused
	if moved {
		return
	}
	f.index, f.began, f.roof, f.held = before.index, before.began, before.roof, before.held
	f.changed, f.unset, f.last, f.idle = before.changed, before.unset, before.last, before.idle
	f.Advice = before.Advice
}

// OrderOn returns the standing order that holds for a complaint on a day: the last that was
// given until then. Without one, and after its end, it allows nothing.
func (p *Plan) OrderOn(complaint string, day load.Day) (order Order) {
	for _, o := range p.Orders {
		if o.Complaint == complaint && o.From <= day {
			order = o
		}
	}
	if day > order.Until {
		return Order{Complaint: complaint}
	}
	return order
}

// OrderOf returns the standing order of a complaint; without one it allows nothing.
func (p *Plan) OrderOf(complaint string) (order Order) {
	for _, o := range p.Orders {
		if o.Complaint == complaint {
			order = o
		}
	}
	return order
}

// prescribed returns what was prescribed for a complaint, in order of the days from which it
// holds; of one day the last.
func (p *Plan) prescribed(complaint string) (out []Prescription) {
	for _, one := range p.Prescriptions {
		if one.Complaint == complaint {
			out = append(out, one)
		}
	}
	slices.SortStableFunc(out, func(a, b Prescription) int { return int(a.From) - int(b.From) })
	return out
}

// CourseOn returns the course of what stands on day for the complaint of a record; ok is
// false where nothing does.
func (p *Plan) CourseOn(r *Record, grown []load.Day, day load.Day) (c Course, ok bool) {
	courses := p.Courses(r, grown, day)
	if len(courses) == 0 || courses[len(courses)-1].Last != day {
		return c, false
	}
	return courses[len(courses)-1], true
}

func (f *follower) walk() {
	for day := f.Prescription.From; day <= f.Last; day++ {
		f.wake(day)
	}
	if f.since > 0 {
		f.Waiting = int(f.Last - f.since)
	}
	m, said := f.record.On(f.Last)
	f.Flared = said && m.Judgement.Verdict == load.Flared
	if m, said = f.record.On(f.Last + 1); said && m.Early {
		f.Flared = true // today's run
	}
}

// wake takes one day: what the morning says of the day before, the weeks, and idleness.
func (f *follower) wake(day load.Day) {
	if len(f.log[day-1]) > 0 {
		f.last, f.idle = day-1, 0
	}
	by, running := f.Prescription.begins(&f.Programme, day, f.paused)
	if !running {
		f.phases = append(f.phases, noPhase)
		if f.Prescription.State != Running {
			f.paused++
		}
		return
	}
	if !f.began {
		f.index, f.began = by, true
	}
	f.judge(day, f.log[day-1])
	if by > f.index && f.Prescription.Phase == 0 && by <= f.roof && !f.held {
		f.step(day, by, "its week has come")
	}
	for f.idle < mostIdle && int(day-f.last) > idleDays*(f.idle+1) {
		f.idle++
		f.back(day, fmt.Sprintf("nothing was done for %d days", idleDays*f.idle))
	}
	f.phases = append(f.phases, f.index)
}

// judge reads a morning as the answer to what was done the day before.
func (f *follower) judge(day load.Day, did []Done) {
	if i := slices.IndexFunc(did, func(d Done) bool { return d.Pain != nil && int(*d.Pain) > f.Programme.MostPain }); i >= 0 {
		f.braked(day, OfProgramme, fmt.Sprintf("%d in the set, and the programme's rule is at most %d", *did[i].Pain, f.Programme.MostPain))
		return
	}
	m, said := f.record.On(day)
	if !said || len(did) == 0 && !m.Ran && m.Judgement.Verdict != load.Flared {
		return
	}
	switch m.Judgement.Verdict {
	case load.Flared:
		f.braked(day, f.lastChanged(day), "it flared: "+m.Words())
	case load.Unsettled:
		f.unset++
		if f.unset >= backAfter {
			f.braked(day, f.lastChanged(day), "two mornings running were not settled: "+m.Words())
			return
		}
		f.hold(day, "it was not settled: "+m.Words())
	case load.Missing:
		f.hold(day, "nobody said how the morning was")
	case load.Settled:
		f.unset, f.held = 0, false
		f.goOn(day, m, did)
	}
}

// hold keeps everything as it is, and begins to count anew.
func (f *follower) hold(day load.Day, why string) {
	f.settled, f.since, f.held = 0, 0, true
	f.Advice = Advice{Hold, OfProgramme, why, day}
}

// goOn counts settled mornings after days on which all sets were done.
func (f *follower) goOn(day load.Day, m *Judged, did []Done) {
	switch {
	case len(did) == 0:
		return // the answer to a run alone
	case !f.allDone(did):
		f.settled, f.since = 0, 0
		f.Advice = Advice{Hold, OfProgramme, "it settled, but not all sets were done", day}
		return
	case !m.Judgement.Advances:
		f.Advice = Advice{Hold, OfProgramme, "it settled by what was said, which is not all", day}
		return
	}
	f.settled++
	next := f.index + 1
	switch {
	case f.settled < onAfter:
		f.Advice = Advice{Hold, OfProgramme, "it settled with all sets done; once more, and it can go on", day}
	case next < len(f.Programme.Phases) && next < f.plan.OrderOn(f.record.Complaint.ID, day).Phase:
		f.step(day, next, "settled twice running with all sets done, and the standing order allows it")
		f.settled, f.since = 0, 0
		f.Advice = Advice{Hold, OfProgramme, "it has just gone on, by the standing order", day}
	default:
		if f.since == 0 {
			f.since = day
		}
		f.Advice = Advice{On, OfProgramme, "it settled twice running with all sets done", day}
	}
}

// allDone reports whether everything that was begun on a day was done to the end: of each
// exercise as many sets and as much in each as set, and as often.
func (f *follower) allDone(did []Done) bool {
	for _, d := range f.Programme.Phases[f.index].Doses {
		done, begun := 0.0, false
		for _, one := range did {
			if one.Exercise == d.Exercise {
				begun = true
				done += work(one.Sets, one.Reps, one.Hold, one.Minutes)
			}
		}
		if begun && done < work(d.Sets, d.Reps, d.Hold, d.Minutes)*float64(max(1, d.PerDay)) {
			return false
		}
	}
	return true
}

// lastChanged is what steps back: of the programme and the running what grew last, and the
// running if none did.
func (f *follower) lastChanged(day load.Day) string {
	var last load.Day
	for _, d := range f.grown {
		if d < day {
			last = max(last, d)
		}
	}
	if f.changed > 0 && f.changed > last && f.changed < day {
		return OfProgramme
	}
	return OfRunning
}

// braked steps back at once.
func (f *follower) braked(day load.Day, of, why string) {
	f.settled, f.unset, f.since, f.held = 0, 0, 0, true
	if of == OfProgramme {
		f.back(day, why)
	}
	f.Advice = Advice{Back, of, why, day}
}

// back goes one phase down, never below the first, and stays there until a person or a
// standing order moves it on.
func (f *follower) back(day load.Day, why string) {
	lower := max(0, f.index-1)
	f.changed, f.roof = 0, min(f.roof, lower)
	if lower < f.index {
		f.step(day, lower, why)
	}
}

func (f *follower) step(day load.Day, index int, why string) {
	if index > f.index {
		f.changed, f.roof = day, max(f.roof, index)
	}
	f.index = index
	f.Steps = append(f.Steps, CourseStep{day, index + 1, why})
}

// easyDoses are done on a day that flared, where the phase has nothing so easy.
var easyDoses = []Dose{
	{Exercise: "seated_raise_2", Sets: 3, Reps: 10, PerDay: 1, DaysPerWeek: 7, Side: "both", Note: "if it is tolerated"},
	{Exercise: "stand_raise_2", Sets: 3, Reps: 10, PerDay: 1, DaysPerWeek: 7, Side: "both", Note: "if it is tolerated"},
}

// Doses returns what the last day of a course holds at all: on a day that flared only what
// loads the tendon little, seated or on two legs, if it is tolerated.
func (c *Course) Doses() []Dose {
	phase, ok := c.PhaseOn(c.Last)
	if !ok || !c.Flared {
		return phase.Doses
	}
	easy := slices.DeleteFunc(slices.Clone(phase.Doses), func(d Dose) bool { return bandOf(d.Exercise) > flareBand })
	if !slices.ContainsFunc(easy, func(d Dose) bool { return bandOf(d.Exercise) > 0 }) {
		easy = append(easy, easyDoses...)
	}
	return easy
}

// behindShare is the part of what was set below which a programme is behind.
const behindShare = 0.5

// Behind returns how much was done in the seven days up to end of what the courses set, if
// that is less than half; ok is false where it is not, where nothing was set for all of the
// seven days, and where nobody asks.
func (p *Plan) Behind(complaint string, courses []Course, end load.Day) (share float64, ok bool) {
	_, began := setOn(courses, end-6)
	_, share, running := WeekOf(courses, p.Of(complaint), end)
	if !began || !running || p.AwayIn(load.DaySpan{First: end - 6, Last: end}) {
		return 0, false
	}
	return share, share < behindShare
}

// setOn returns the phase that courses set on a day.
func setOn(courses []Course, day load.Day) (phase Phase, ok bool) {
	for i := range courses {
		if phase, ok = courses[i].PhaseOn(day); ok {
			return phase, true
		}
	}
	return Phase{}, false
}

// WeekOf returns what was done in the seven days up to end of what the courses set on each
// of them; ok is false where nothing was set on the last.
func WeekOf(courses []Course, log []Done, end load.Day) (shares []Share, mean float64, ok bool) {
	return DoneOfPlanned(func(day load.Day) (Phase, bool) { return setOn(courses, day) }, log, end)
}
