package main

import (
	"fmt"
	"strings"
	"text/tabwriter"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
	"tidemark/web/words"
)

// imagine asks what one run would do.
func (c *loadCommand) imagine(a *app, book *journal.Book, today load.Day) (*load.WhatIf, error) {
	day, err := parseAhead(c.At, today)
	if err != nil {
		return nil, err
	}
	w, err := book.Imagine(a.ctx, today, *c.Measure, day, c.Measure.Of(*c.If))
	if err != nil {
		return nil, a.journalFailure(err)
	}
	return &w, nil
}

// mostAhead is how many days ahead can be asked about: what lies between is taken as
// rest, and says less with every day. Project default.
const mostAhead = 28

// parseAhead reads a day that has not passed: a date, or the next of a day of the
// week. Empty is today.
func parseAhead(text string, today load.Day) (load.Day, error) {
	if text == "" {
		return today, nil
	}
	day, err := load.ParseDay(text)
	if err != nil {
		for next := today; next < today+7; next++ {
			name := next.Weekday().String()
			if strings.EqualFold(text, name) || strings.EqualFold(text, name[:3]) {
				return next, nil
			}
		}
		return 0, &failure{exitUse, fmt.Errorf("load: --at %q is no day", text), fmt.Sprintf("--at takes a date as %v or a day as %s", today, strings.ToLower(time.Tuesday.String()))}
	}
	if day < today || day > today+mostAhead {
		return 0, &failure{exitUse, fmt.Errorf("load: --at %v is not one of the %d days from today, %v, on", day, mostAhead, today), ""}
	}
	return day, nil
}

// tell answers a what-if in words: what the run would be, and every limit before it
// and after.
func (c *loadCommand) tell(a *app, w *load.WhatIf, today load.Day) {
	on := "today"
	if w.Headroom.Day != today {
		on = "on " + words.Weekday(w.Headroom.Day)
	}
	fmt.Fprintf(a.out, "\nIf you run %g %s %s\n", *c.If, words.Unit(*c.Measure), on)
	for _, line := range words.Imagined(*c.Measure, w) {
		fmt.Fprintln(a.out, "  "+line)
	}
	tellLimits(a, w, "  ")
}

// tellLimits lists what each limit leaves before a run and after it.
func tellLimits(a *app, w *load.WhatIf, indent string) {
	m := w.Headroom.Measure
	for i, l := range w.Headroom.Limits {
		after := ""
		if i < len(w.After.Limits) && w.After.Limits[i].Rule == l.Rule {
			after = ", " + words.Amount(m, w.After.Limits[i].Room()) + " after"
		}
		over := ""
		if w.Amount > l.Room() {
			over = "  over"
		}
		fmt.Fprintf(a.out, "%s%-8s %9s left before%s%s\n", indent, l.Rule, words.Amount(m, l.Room()), after, over)
	}
}

// everyone asks the same of all runners: who is over?
func (c *loadCommand) everyone(a *app, j *opened) error {
	if c.Measure == nil {
		c.Measure = new(load.Measure) // one for all, or they cannot be compared: distance
	}
	if err := c.checkIf(); err != nil {
		return err
	}
	runners, err := j.Runners(a.ctx, journal.Local)
	if err != nil {
		return a.journalFailure(err)
	}
	lines := []*wire.WhatIf{}
	asked := make([]*load.WhatIf, 0, len(runners))
	for _, r := range runners {
		one := *a.Common
		one.Runner = string(r.ID)
		each := &app{ctx: a.ctx, streams: a.streams, Common: &one}
		book, runner, err := each.book(j, false)
		if err != nil {
			return err
		}
		today, err := each.today(runner)
		if err != nil {
			return err
		}
		w, err := c.imagine(each, book, today)
		if err != nil {
			return err
		}
		asked = append(asked, w)
		lines = append(lines, wire.FromWhatIf(runner.Name, w))
	}
	if a.JSON {
		return a.writeJSON(lines)
	}
	c.tellEveryone(a, runners, asked)
	return nil
}

// tellEveryone lists the runners, then the limits of each.
func (c *loadCommand) tellEveryone(a *app, runners []journal.Runner, asked []*load.WhatIf) {
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	for i, w := range asked {
		fmt.Fprintf(t, "%s\t%g %s on %s\t%s\n", runners[i].Name, *c.If, words.Unit(*c.Measure), words.ShortDay(w.Headroom.Day), words.Overs(w))
	}
	_ = t.Flush()
	for i, w := range asked {
		fmt.Fprintf(a.out, "\n%s\n", runners[i].Name)
		if w.Headroom.State == load.RaceDay {
			fmt.Fprintln(a.out, "  a race is planned: no limit speaks on that day")
		}
		tellLimits(a, w, "  ")
	}
	fmt.Fprintln(a.out)
	fmt.Fprintln(a.out, wrap(words.FollowClinician, 78, ""))
}
