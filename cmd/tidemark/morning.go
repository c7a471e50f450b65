package main

import (
	"errors"
	"fmt"
	"strings"
	"text/tabwriter"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/api/wire"
	"tidemark/web/words"
)

type morningCommand struct {
	Add  morningAdd  `cmd:"" help:"Say how a morning was, and the run of the day before."`
	List morningList `cmd:"" help:"List the mornings with their verdicts."`
}

type morningAdd struct {
	Complaint string `placeholder:"ID" help:"Which, as complaint list shows it, or SITE:SIDE; by default the only one that is followed."`
	Next      *uint8 `placeholder:"0-10" help:"First steps of the morning."`
	Stiffness *int   `placeholder:"MIN" help:"Minutes until it is as usual."`
	Before    *uint8 `placeholder:"0-10" help:"Before the run of the day before."`
	During    *uint8 `placeholder:"0-10" help:"Worst during it."`
	After     *uint8 `placeholder:"0-10" help:"An hour after it."`
	Limp      string `enum:"yes,no," default:"" placeholder:"yes" help:"Did you limp? yes or no."`
}

func (*morningAdd) examples() string {
	return "  tidemark morning add --next 2 --stiffness 10\n  tidemark morning add --on 2026-03-04 --during 3 --after 2 --next 1 --limp no"
}

// Run keeps one entry.
func (c *morningAdd) Run(a *app) error {
	on := a.On
	a.On = 0 // --on is the waking date here, not today
	book, today, done, err := a.reading(true)
	if err != nil {
		return err
	}
	defer done()
	m := rehab.Morning{Day: on, Before: c.Before, During: c.During, After: c.After, Next: c.Next, Stiffness: c.Stiffness}
	if m.Day == 0 {
		m.Day = today
	}
	if c.Limp != "" {
		limped := c.Limp == "yes"
		m.Limp = &limped
	}
	if m.Complaint, err = a.complaint(book, today, c.Complaint); err != nil {
		return err
	}
	if err := m.Check(today); err != nil {
		return &failure{exitUse, fmt.Errorf("add morning: %w", err), ""}
	}
	_, err = book.AddMornings(a.ctx, []journal.Morning{{Morning: m}})
	if refused, ok := errors.AsType[*journal.MorningError](err); ok {
		return &failure{exitUse, fmt.Errorf("add %w", refused), ""}
	}
	if err != nil {
		return a.journalFailure(err)
	}
	if err := book.Refresh(a.ctx, today); err != nil {
		return a.journalFailure(err)
	}
	return a.tellMorning(book, today, m)
}

// tellMorning says what the morning says now.
func (a *app) tellMorning(book *journal.Book, today load.Day, m rehab.Morning) error {
	care, err := book.Care(a.ctx, today)
	if err != nil {
		return a.journalFailure(err)
	}
	for i := range care.Records {
		if care.Records[i].Complaint.ID != m.Complaint {
			continue
		}
		if j, ok := care.Records[i].On(m.Day); ok {
			a.say("%s: %s\n", words.Verdict(j.Judgement.Verdict), j.Words())
			return nil
		}
	}
	a.say("kept\n")
	return nil
}

// complaint returns the ID that is meant, found as a file of mornings names it.
func (a *app) complaint(book *journal.Book, today load.Day, id string) (string, error) {
	care, err := book.Care(a.ctx, today)
	if err != nil {
		return "", a.journalFailure(err)
	}
	var open []string
	var all []rehab.Complaint
	for i := range care.Records {
		c := &care.Records[i].Complaint
		all = append(all, *c)
		if c.Followed(today) {
			open = append(open, c.ID)
		}
	}
	found, ok := rehab.Named(all, id)
	switch {
	case ok:
		return found.ID, nil
	case id != "":
		return "", &failure{exitUse, fmt.Errorf("find complaint %q: there is none", id), "tidemark complaint list"}
	case len(open) == 1:
		return open[0], nil
	case len(open) == 0:
		return "", &failure{exitUse, errors.New("nothing is followed"), "tidemark complaint add --site ach-mid --side left"}
	}
	return "", &failure{exitUse, errors.New("several things are followed"), "--complaint with one of: " + strings.Join(open, ", ")}
}

type morningList struct {
	Complaint string `placeholder:"ID" help:"Only of this one, or SITE:SIDE."`
}

// Run lists the mornings, the last one last.
func (c *morningList) Run(a *app) error {
	book, today, done, err := a.reading(false)
	if err != nil {
		return err
	}
	defer done()
	care, err := book.Care(a.ctx, today)
	if err != nil {
		return a.journalFailure(err)
	}
	if c.Complaint != "" {
		if c.Complaint, err = a.complaint(book, today, c.Complaint); err != nil {
			return err
		}
	}
	lines := wire.FromMornings(care, c.Complaint)
	if a.JSON {
		return a.writeJSON(lines)
	}
	if len(lines) == 0 {
		fmt.Fprintln(a.out, "No morning is known.")
		return nil
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	for i := range care.Records {
		r := &care.Records[i]
		for _, m := range r.Mornings {
			if c.Complaint == "" || r.Complaint.ID == c.Complaint {
				fmt.Fprintf(t, "%v\t%s\t%s\t%s\n", m.Day, r.Complaint.ID, words.Verdict(m.Judgement.Verdict), m.Words())
			}
		}
	}
	return t.Flush()
}
