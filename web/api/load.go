package api

import (
	"context"
	"errors"

	"github.com/danielgtaylor/huma/v2"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
	"tidemark/web/api/wire"
)

// usualSpan is how many days of windows are answered unless others are asked for.
const usualSpan = 84

// mostSpan is how many days one request may ask for: ten years; project default.
const mostSpan = 3660

type loadInput struct {
	Logbook
	Measure string `query:"measure" enum:"distance,time,run_distance,run_time,flat,exertion,heart,steps,tendon" doc:"By default distance, and run_time while something hurts."`
	From    string `query:"from" format:"date" doc:"First day of the windows; by default 84 days up to the last."`
	To      string `query:"to" format:"date" doc:"Last day of the windows; by default today."`
	On      string `query:"on" format:"date" doc:"As of this day; by default today."`
}

type whatIfInput struct {
	Logbook
	Amount  float64 `query:"amount" required:"true" minimum:"0.1" maximum:"2000" doc:"How much would be run, in km, or in min of a measure of time."`
	Measure string  `query:"measure" enum:"distance,run_time" default:"distance"`
	On      string  `query:"on" format:"date" doc:"The day, from today to a week ahead; by default today."`
}

type racesInput struct{ Logbook }

type raceInput struct {
	Logbook
	Body struct {
		Day  string   `json:"day" format:"date"`
		Name string   `json:"name,omitempty" maxLength:"100"`
		KM   *float64 `json:"distance_km,omitempty" minimum:"0.1" maximum:"500"`
		Off  bool     `json:"off,omitempty" doc:"Take the race of this day off."`
	}
}

type answerInput struct {
	Logbook
	ID   string `path:"id" maxLength:"200"`
	Body struct {
		State string `json:"state" enum:"open,seen,set-aside,closed"`
		Why   string `json:"why,omitempty" maxLength:"500"`
	}
}

func (a *api) load(h huma.API) {
	get(a, h, "/runners/{runner}/load", "load", "Windows, sessions, findings and what the limits leave", a.getLoad)
	get(a, h, "/runners/{runner}/what-if", "what-if", "What one run would do to every limit", a.whatIf)
	get(a, h, "/runners/{runner}/races", "races", "Planned races", func(ctx context.Context, in *racesInput) (*body[[]wire.PlannedRace], error) {
		b, err := a.open(ctx, in.Logbook)
		if err != nil {
			return nil, err
		}
		return racesOf(ctx, b.Book)
	})
	post(a, h, "/runners/{runner}/races", "plan-race", "Plan and accept a race, or take one off", a.planRace)
	post(a, h, "/runners/{runner}/findings/{id}", "answer-finding", "Say of a warning that it was seen, is set aside, closed or open", a.answerFinding)
	get(a, h, "/findings", "open-findings", "Open warnings of everybody whose logbook one may see, the loudest first", func(ctx context.Context, _ *struct{}) (*body[[]wire.OpenFinding], error) {
		open, err := a.Journal.OpenFindings(ctx, whoOf(ctx).person)
		return &body[[]wire.OpenFinding]{wire.FromOpen(open)}, err
	})
	get(a, h, "/runners/{runner}/evidence", "evidence-of", "Days by class of one runner, and what such counts cannot show", a.evidenceOf)
	get(a, h, "/evidence", "evidence", "Days by class of everybody whose logbook one may see", func(ctx context.Context, _ *struct{}) (*body[wire.CountedDays], error) {
		e, n, err := a.Journal.Evidence(ctx, whoOf(ctx).person, load.DayOf(a.Now()))
		return &body[wire.CountedDays]{wire.FromPooled(&e, n)}, err
	})
}

// current brings derived rows of another version up to this one.
func (a *api) current(ctx context.Context, b opened) error {
	stale, err := b.Stale(ctx)
	if err != nil || !stale {
		return err
	}
	opt, err := a.intake(b.runner)
	if err != nil {
		return err
	}
	return b.Rederive(ctx, intake.Redo(opt))
}

func (a *api) getLoad(ctx context.Context, in *loadInput) (*body[wire.Load], error) {
	b, err := a.open(ctx, in.Logbook)
	if err != nil {
		return nil, err
	}
	on, err := b.on(in.On)
	if err != nil {
		return nil, err
	}
	q := assess.Query{From: on - usualSpan + 1, To: on}
	if in.Measure != "" {
		err = q.Measure.UnmarshalText([]byte(in.Measure))
	} else {
		q.Measure, err = b.Measure(ctx, on)
	}
	if err != nil {
		return nil, err
	}
	if in.To != "" {
		if q.To, err = b.on(in.To); err != nil {
			return nil, err
		}
		q.From = q.To - usualSpan + 1
	}
	if in.From != "" {
		if q.From, err = b.on(in.From); err != nil {
			return nil, err
		}
	}
	if q.From > q.To || q.To > on || q.To-q.From >= mostSpan {
		return nil, wrong("want from before to, to up to the day that is asked about, and at most ten years")
	}
	p, err := b.Picture(ctx, on, q)
	if err != nil {
		return nil, err
	}
	return &body[wire.Load]{wire.FromPicture(b.runner.Name, &p)}, nil
}

// daysAhead is how many days, today included, can be asked about.
const daysAhead = 8

func (a *api) whatIf(ctx context.Context, in *whatIfInput) (*body[*wire.WhatIf], error) {
	b, err := a.open(ctx, in.Logbook)
	if err != nil {
		return nil, err
	}
	day := b.today
	if in.On != "" {
		if day, err = load.ParseDay(in.On); err != nil || day < b.today || day >= b.today+daysAhead {
			return nil, wrong("ask of a day from today to a week ahead, as YYYY-MM-DD")
		}
	}
	m := load.Distance
	if in.Measure == load.RunTime.String() {
		m = load.RunTime
	}
	w, err := b.Imagine(ctx, b.today, m, day, m.Of(in.Amount))
	if err != nil {
		return nil, err
	}
	return &body[*wire.WhatIf]{wire.FromWhatIf(b.runner.Name, &w)}, nil
}

func (a *api) planRace(ctx context.Context, in *raceInput) (*body[[]wire.PlannedRace], error) {
	b, err := a.open(ctx, in.Logbook)
	if err != nil {
		return nil, err
	}
	day, err := load.ParseDay(in.Body.Day)
	if err != nil {
		return nil, wrong("a day is written YYYY-MM-DD")
	}
	race := load.PlannedRace{Day: day, Name: in.Body.Name}
	if in.Body.KM != nil {
		race.Distance = load.Distance.Of(*in.Body.KM)
	}
	if err := race.Check(); err != nil {
		return nil, wrong(err.Error())
	}
	if err := b.PlanRace(ctx, race, in.Body.Off); err != nil {
		return nil, err
	}
	return racesOf(ctx, b.Book)
}

func racesOf(ctx context.Context, b *journal.Book) (*body[[]wire.PlannedRace], error) {
	races, err := b.Planned(ctx)
	return &body[[]wire.PlannedRace]{wire.FromRaces(races)}, err
}

// done is an answer that says nothing but that it was done.
type done struct {
	Status int
}

func (a *api) answerFinding(ctx context.Context, in *answerInput) (*done, error) {
	b, err := a.open(ctx, in.Logbook)
	if err != nil {
		return nil, err
	}
	if in.Body.State == string(journal.SetAside) && in.Body.Why == "" {
		return nil, wrong("say why it is set aside")
	}
	return &done{204}, b.Answer(ctx, in.ID, journal.State(in.Body.State), in.Body.Why)
}

func (a *api) evidenceOf(ctx context.Context, in *racesInput) (*body[wire.CountedDays], error) {
	b, err := a.open(ctx, in.Logbook)
	if err != nil {
		return nil, err
	}
	input, err := b.Input(ctx, b.today)
	if err != nil {
		return nil, err
	}
	followed, err := b.Complaints(ctx)
	if err != nil && !errors.Is(err, journal.ErrNotFound) { // without leave they are not counted
		return nil, err
	}
	e := assess.EvidenceOf(input, followed)
	return &body[wire.CountedDays]{wire.FromEvidence(b.runner.Name, &e)}, nil
}
