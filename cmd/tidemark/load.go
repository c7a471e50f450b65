package main

import (
	"fmt"
	"io"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
	"tidemark/web/export"
	"tidemark/web/words"
)

type loadCommand struct {
	Measure  *load.Measure `placeholder:"NAME" help:"distance, time, run_distance, run_time, flat, exertion, heart, steps or tendon; by default distance, and run_time while something hurts."`
	From     load.Day      `placeholder:"YYYY-MM-DD" help:"First day of the windows; by default 84 days up to the last."`
	To       load.Day      `placeholder:"YYYY-MM-DD" help:"Last day of the windows; by default today."`
	CSV      bool          `name:"csv" help:"The windows of these days as a table."`
	If       *float64      `placeholder:"AMOUNT" help:"What if so much were run, in km, or in minutes with a measure of time?"`
	At       string        `placeholder:"DAY" help:"The day of --if: a date or a day of the week; by default today."`
	Everyone bool          `help:"Ask --if of every runner of the journal: who is over?"`
}

func (*loadCommand) examples() string {
	return `  tidemark load
  tidemark load --if 14                 # what if 14 km today
  tidemark load --if 12 --at tuesday --everyone
  tidemark load --on 2026-03-01         # as of another day
  tidemark load --measure tendon --csv > tendon.csv
  tidemark load --json | jq '.days[-1].ratio_uncoupled'`
}

// span is how many days the windows show, the last included.
const span = 84

// Run answers as of today. It writes nothing.
func (c *loadCommand) Run(a *app) error {
	if err := c.check(a); err != nil {
		return err
	}
	j, err := a.open(false)
	if err != nil {
		return err
	}
	defer j.Close()
	if c.Everyone {
		return c.everyone(a, j)
	}
	book, runner, err := a.book(j, false)
	if err != nil {
		return err
	}
	today, err := a.today(runner)
	if err != nil {
		return err
	}
	if err := c.choose(a, book, today); err != nil {
		return err
	}
	q, err := c.query(today)
	if err != nil {
		return err
	}
	p, err := book.Picture(a.ctx, today, q)
	if err != nil {
		return a.journalFailure(err)
	}
	var asked *load.WhatIf
	if c.If != nil {
		if asked, err = c.imagine(a, book, today); err != nil {
			return err
		}
	}
	return c.write(a, runner, &p, asked)
}

// write answers in the form that was asked for.
func (c *loadCommand) write(a *app, runner journal.Runner, p *journal.Picture, asked *load.WhatIf) error {
	switch {
	case c.CSV:
		return export.Days(a.out, *c.Measure, p.Days)
	case a.JSON:
		out := wire.FromPicture(runner.Name, p)
		if asked != nil {
			out.WhatIf = wire.FromWhatIf(runner.Name, asked)
		}
		return a.writeJSON(out)
	}
	view := loadView{w: a.out, p: p, ink: a.ink()}
	view.write()
	if asked != nil {
		c.tell(a, asked, p.Day)
	}
	view.cautions()
	return nil
}

// check sees that what was asked for goes together.
func (c *loadCommand) check(a *app) error {
	use := func(format string, args ...any) error {
		return &failure{exitUse, fmt.Errorf("load: "+format, args...), ""}
	}
	switch {
	case c.If == nil && (c.At != "" || c.Everyone):
		return use("--at and --everyone belong to --if")
	case c.CSV && (a.JSON || c.If != nil):
		return use("--csv writes the windows alone: leave --json and --if out")
	}
	return nil
}

// choose takes the runner's own measure where none was asked for.
func (c *loadCommand) choose(a *app, book *journal.Book, today load.Day) error {
	if c.Measure == nil {
		m, err := book.Measure(a.ctx, today)
		if err != nil {
			return a.journalFailure(err)
		}
		c.Measure = &m
	}
	return c.checkIf()
}

// checkIf sees that what is imagined can be.
func (c *loadCommand) checkIf() error {
	if c.If != nil && (!c.Measure.Limited() || !(*c.If >= 0.1 && *c.If <= load.MostImagined)) {
		return &failure{exitUse, fmt.Errorf("load: --if takes a distance or a time of 0.1 to %d, not %g %s", load.MostImagined, *c.If, c.Measure.Unit()), ""}
	}
	return nil
}

// query is the days that were asked for.
func (c *loadCommand) query(today load.Day) (assess.Query, error) {
	q := assess.Query{Measure: *c.Measure, From: c.From, To: c.To}
	if q.To == 0 {
		q.To = today
	}
	if q.From == 0 {
		q.From = q.To - span + 1
	}
	switch {
	case q.From > q.To:
		return q, &failure{exitUse, fmt.Errorf("load: from %v is after to %v", q.From, q.To), ""}
	case q.To > today:
		return q, &failure{exitUse, fmt.Errorf("load: to %v has not come yet: today is %v", q.To, today), ""}
	}
	return q, nil
}

// loadView is the human answer of the load command: the sentence, the bars, the
// windows, the limits, the findings with what they rest on.
type loadView struct {
	w   io.Writer
	p   *journal.Picture
	ink ink
}

func (v *loadView) line(format string, args ...any) { fmt.Fprintf(v.w, format+"\n", args...) }

// para writes a wrapped paragraph with an indent.
func (v *loadView) para(indent, text string) { v.line("%s", wrap(text, 78, indent)) }

func (v *loadView) write() {
	v.line("%s, %s\n", v.p.Runner.Name, words.Weekday(v.p.Day))
	if v.p.Empty {
		v.line("There is no run in the logbook yet.")
	}
	v.sentence()
	if !v.p.Empty {
		v.bars()
		v.windows()
	}
	v.limits()
	v.findings()
}

// cautions end every page that advises.
func (v *loadView) cautions() {
	v.line("")
	v.para("", words.FollowClinician)
	v.para("", words.NotForThis())
}

// sentence answers the runner's question first.
func (v *loadView) sentence() {
	room := v.p.Headroom
	if room == nil {
		return
	}
	answer := words.Answer(room)
	v.line("%s%s%s", answer.Before, v.ink.strong(answer.Number), answer.After)
	v.para("", words.Why(room))
	for _, line := range words.Around(room) {
		v.para("", line)
	}
}

// windows are the numbers of the last day.
func (v *loadView) windows() {
	if len(v.p.Days) == 0 {
		return
	}
	m, row := v.p.Measure, v.p.Days[len(v.p.Days)-1]
	v.line("\nUp to %s", words.Day(row.Date))
	v.row("last 7 days", words.Value(m, row.Acute)+changeWords(m, &row))
	if missing := words.Missing(m, &row); missing != "" {
		v.para("                      ", missing)
	}
	v.row("3 weeks before", v.or(row.ChronicUncoupled, func(n float64) string { return words.Value(m, n) + " a week" }))
	plain := func(n float64) string { return fmt.Sprintf("%.2f", n) }
	v.row("ratio of the two", v.or(row.RatioUncoupled, func(n float64) string {
		return fmt.Sprintf("%.2f (%d of 28 days known, %d taken as rest)", n, row.KnownDays28, row.AssumedDays28)
	}))
	v.row("  over all 28 days", v.or(row.RatioCoupled, plain))
	v.row("  weighted averages", v.or(row.RatioEWMA, plain))
	v.row("longest in 30 days", v.or(row.Tidemark, func(n float64) string {
		if held, ok := row.HeldTidemark.Get(); ok {
			return words.Value(m, n) + ", of which the limits count " + words.Value(m, held)
		}
		return words.Value(m, n) + ", which does not carry the limits yet"
	}))
	v.row("monotony", v.or(row.Monotony, func(n float64) string {
		strain, _ := row.Strain.Get()
		return fmt.Sprintf("%.2f, weekly strain (Foster) %.0f", n, strain)
	}))
	v.para("  ", words.RatioCaveat)
}

func changeWords(m load.Measure, row *load.DayRow) string {
	change, ok := row.WeekChange.Get()
	if !ok {
		return ""
	}
	out := ", " + words.MoreOrLess(m, change) + " than the 7 before"
	if share, ok := row.WeekChangeShare.Get(); ok {
		out += " (" + words.Change(share) + ")"
	}
	return out
}

func (v *loadView) row(name, text string) { v.line("  %-20s%s", name, text) }

// or formats a value, or says why there is none.
func (v *loadView) or(val load.Value, format func(float64) string) string {
	if n, ok := val.Get(); ok {
		return format(n)
	}
	return words.NotYet(val.Reason())
}

func (v *loadView) limits() {
	room := v.p.Headroom
	if room == nil || len(room.Limits) == 0 {
		return
	}
	v.line("\nLimits today")
	for _, l := range room.Limits {
		v.line("  %-8s %9s left of %s", l.Rule, words.Amount(room.Measure, l.Room()), words.Amount(room.Measure, l.Limit))
		v.para("                   ", l.Why)
	}
}

// findings tells the open ones with what they rest on, and counts the others.
func (v *loadView) findings() {
	told, closed := 0, 0
	for i := range v.p.Findings {
		f := &v.p.Findings[i]
		if f.State != journal.Open && f.State != journal.Seen {
			closed++
			continue
		}
		if told == 0 {
			v.line("\nWhat to look at")
		}
		told++
		v.finding(f)
	}
	if told == 0 {
		v.line("\nNothing to look at.")
	}
	if closed > 0 {
		v.line("\n%s; --json lists them.", words.Plural(closed, "earlier finding"))
	}
}

func (v *loadView) finding(f *journal.Finding) {
	v.line("  %s: %s", v.ink.strong(words.Level(f.Level)), load.FindRule(f.Rule).Title)
	rests := ""
	for _, e := range f.Evidence {
		v.para("    ", words.ShortDay(e.Day)+": "+e.Text+".")
	}
	for _, source := range f.RestsOn() {
		rests += source.Cite + " (" + source.Strength + "). "
	}
	v.para("    ", "What to do: "+f.Advice+".")
	v.para("    ", "Rests on: "+rests)
}
