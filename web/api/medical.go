package api

import (
	"context"
	"errors"

	"github.com/danielgtaylor/huma/v2"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/api/wire"
)

type MedicalInput struct {
	Logbook
	On string `query:"on" format:"date" doc:"As of this day; by default today."`
}

type mornings struct {
	MedicalInput
	Complaint string `query:"complaint" maxLength:"60" doc:"Only of this one."`
}

type morningInput struct {
	Logbook
	Body struct {
		Complaint string  `json:"complaint" maxLength:"60" doc:"ID, or SITE:SIDE as ach-mid:left."`
		On        string  `json:"on" format:"date" doc:"The waking date."`
		Before    *int    `json:"before,omitempty" minimum:"0" maximum:"10"`
		During    *int    `json:"during,omitempty" minimum:"0" maximum:"10"`
		After     *int    `json:"after,omitempty" minimum:"0" maximum:"10"`
		Next      *int    `json:"next,omitempty" minimum:"0" maximum:"10"`
		Stiffness *int    `json:"stiffness,omitempty" minimum:"0" maximum:"600" doc:"min"`
		Limp      *string `json:"limp,omitempty" enum:"yes,no"`
	}
}

// medical registers what reaches only who may see medical detail.
func (a *api) medical(h huma.API) {
	get(a, h, "/runners/{runner}/complaints", "complaints", "What hurts and is followed", func(ctx context.Context, in *MedicalInput) (*body[[]wire.Complaint], error) {
		b, on, err := a.openOn(ctx, in)
		if err != nil {
			return nil, err
		}
		care, err := b.Care(ctx, on)
		if err != nil {
			return nil, err
		}
		return &body[[]wire.Complaint]{wire.FromComplaints(care, on)}, nil
	})
	get(a, h, "/runners/{runner}/mornings", "mornings", "Mornings with their verdicts", func(ctx context.Context, in *mornings) (*body[[]wire.Morning], error) {
		b, on, err := a.openOn(ctx, &in.MedicalInput)
		if err != nil {
			return nil, err
		}
		care, err := b.Care(ctx, on)
		if err != nil {
			return nil, err
		}
		return &body[[]wire.Morning]{wire.FromMornings(care, in.Complaint)}, nil
	})
	post(a, h, "/runners/{runner}/mornings", "add-morning", "Say how a morning was", a.addMorning)
	get(a, h, "/runners/{runner}/ramp", "ramp", "The way back to running, checked", func(ctx context.Context, in *MedicalInput) (*body[wire.Ramp], error) {
		b, on, err := a.openOn(ctx, in)
		if err != nil {
			return nil, err
		}
		care, err := b.Care(ctx, on)
		if err != nil {
			return nil, err
		}
		if care.Ramp == nil || care.Ramp.Refused != nil {
			return nil, huma.Error404NotFound("no way back to running is planned")
		}
		return &body[wire.Ramp]{wire.RampOf(&care.Ramp.Plan)}, nil
	})
}

func (a *api) openOn(ctx context.Context, in *MedicalInput) (b opened, on load.Day, err error) {
	if b, err = a.open(ctx, in.Logbook); err == nil {
		on, err = b.on(in.On)
	}
	return b, on, err
}

func (a *api) addMorning(ctx context.Context, in *morningInput) (*body[[]wire.Morning], error) {
	b, err := a.open(ctx, in.Logbook)
	if err != nil {
		return nil, err
	}
	day, err := load.ParseDay(in.Body.On)
	if err != nil {
		return nil, wrong("a day is written YYYY-MM-DD")
	}
	m := rehab.Morning{
		Complaint: in.Body.Complaint, Day: day, Before: score(in.Body.Before), During: score(in.Body.During), After: score(in.Body.After),
		Next: score(in.Body.Next), Stiffness: in.Body.Stiffness,
	}
	if in.Body.Limp != nil {
		limp := *in.Body.Limp == "yes"
		m.Limp = &limp
	}
	_, err = b.AddMornings(ctx, []journal.Morning{{Morning: m}})
	if said, ok := errors.AsType[*journal.MorningError](err); ok && !errors.Is(err, journal.ErrNotFound) {
		return nil, wrong(said.Error())
	}
	if err != nil {
		return nil, err
	}
	if err := b.Refresh(ctx, b.today); err != nil {
		return nil, err
	}
	care, err := b.Care(ctx, b.today)
	if err != nil {
		return nil, err
	}
	lines := []wire.Morning{}
	for _, line := range wire.FromMornings(care, "") {
		if line.Date == day {
			lines = append(lines, line)
		}
	}
	return &body[[]wire.Morning]{lines}, nil
}

func score(n *int) *rehab.Score {
	if n == nil {
		return nil
	}
	s := rehab.Score(*n)
	return &s
}
