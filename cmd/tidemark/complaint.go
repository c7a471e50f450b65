package main

import (
	"errors"
	"fmt"
	"text/tabwriter"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/api/wire"
	"tidemark/web/words"
)

type complaintCommand struct {
	Add   complaintAdd   `cmd:"" help:"Begin to follow something that hurts."`
	List  complaintList  `cmd:"" help:"List what is or was followed."`
	Close complaintClose `cmd:"" help:"End it; within six months it can be opened again with all it had."`
}

type complaintAdd struct {
	Site          string   `required:"" placeholder:"SITE" help:"ach-mid, ach-ins, calf, patellar, plantar, shin or other."`
	Side          string   `required:"" placeholder:"SIDE" help:"left, right or both."`
	Onset         load.Day `placeholder:"YYYY-MM-DD" help:"When it began; by default today."`
	Bone          bool     `help:"A bone hurts: any score at it is a flare."`
	BasePain      *float64 `placeholder:"SCORE" help:"The usual score in the morning, 0 to 10."`
	BaseStiffness *float64 `placeholder:"MIN" help:"The usual stiffness in the morning, in minutes."`
	Why           string   `placeholder:"TEXT" help:"Anything to say about it."`
}

func (*complaintAdd) examples() string {
	return "  tidemark complaint add --site ach-mid --side left --onset 2026-03-02 --base-pain 1 --base-stiffness 5"
}

// Run opens a complaint, on both sides as two that are linked.
func (c *complaintAdd) Run(a *app) error {
	book, today, done, err := a.reading(true)
	if err != nil {
		return err
	}
	defer done()
	site := rehab.Site(c.Site)
	if _, err := rehab.FindSite(site); err != nil {
		return &failure{exitUse, err, ""}
	}
	sides := map[string][]rehab.Side{"left": {rehab.Left}, "right": {rehab.Right}, "both": {rehab.Left, rehab.Right}}[c.Side]
	if sides == nil {
		return &failure{exitUse, fmt.Errorf("side %q: want left, right or both", c.Side), ""}
	}
	one := rehab.Complaint{Site: site, Onset: c.Onset, Bone: c.Bone, Steps: []rehab.Step{{Day: today, Status: rehab.Open}}}
	if one.Onset == 0 {
		one.Onset = today
	}
	if c.BasePain != nil || c.BaseStiffness != nil {
		one.Bases = []rehab.Base{{From: today, Pain: c.BasePain, Stiffness: c.BaseStiffness}}
	}
	for _, side := range sides {
		each := one
		each.Side = side
		if err := each.Check(); err != nil {
			return &failure{exitUse, fmt.Errorf("open complaint: %w", err), ""}
		}
	}
	ids, err := book.OpenComplaint(a.ctx, one, sides, c.Why)
	if errors.Is(err, journal.ErrConflict) {
		return &failure{exitRefused, err, "tidemark complaint list shows it"}
	}
	if err != nil {
		return a.journalFailure(err)
	}
	for _, id := range ids {
		fmt.Fprintln(a.out, id)
	}
	a.say("%s\n", words.FollowClinician)
	return nil
}

type complaintClose struct {
	ID  string `arg:"" help:"Which, as complaint list shows it."`
	Why string `placeholder:"TEXT" help:"Why."`
}

// Run closes a complaint today.
func (c *complaintClose) Run(a *app) error {
	book, today, done, err := a.reading(true)
	if err != nil {
		return err
	}
	defer done()
	err = book.StepComplaint(a.ctx, c.ID, rehab.Step{Day: today, Status: rehab.Closed}, c.Why)
	switch {
	case errors.Is(err, journal.ErrNotFound):
		return &failure{exitUse, fmt.Errorf("close complaint %q: there is none", c.ID), "tidemark complaint list"}
	case errors.Is(err, journal.ErrConflict):
		return &failure{exitRefused, err, ""}
	case err != nil:
		return a.journalFailure(err)
	}
	a.say("closed\n")
	return nil
}

type complaintList struct{}

// Run lists the complaints.
func (*complaintList) Run(a *app) error {
	book, today, done, err := a.reading(false)
	if err != nil {
		return err
	}
	defer done()
	care, err := book.Care(a.ctx, today)
	if err != nil {
		return a.journalFailure(err)
	}
	lines := wire.FromComplaints(care, today)
	if a.JSON {
		return a.writeJSON(lines)
	}
	if len(lines) == 0 {
		fmt.Fprintln(a.out, "Nothing is followed.")
		return nil
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	for _, l := range lines {
		fmt.Fprintf(t, "%s\t%s\tsince %s\n", l.ID, l.Status, words.Day(l.Onset))
	}
	return t.Flush()
}

// reading opens the book of the runner that is meant, to write in it too if that is asked,
// and says what day it is there.
func (a *app) reading(write bool) (book *journal.Book, today load.Day, done func(), err error) {
	j, err := a.open(write)
	if err != nil {
		return nil, 0, nil, err
	}
	done = func() { _ = j.Close() }
	book, runner, err := a.book(j, write)
	if err == nil {
		today, err = a.today(runner)
	}
	if err != nil {
		done()
		return nil, 0, nil, err
	}
	return book, today, done, nil
}
