package main

import (
	"fmt"
	"io"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
)

type loadCommand struct {
	Measure load.Measure `default:"distance" placeholder:"NAME" help:"distance, time, exertion or steps."`
	From    load.Day     `placeholder:"YYYY-MM-DD" help:"First day of the windows; by default 84 days up to the last."`
	To      load.Day     `placeholder:"YYYY-MM-DD" help:"Last day of the windows; by default today."`
	If      float64      `placeholder:"AMOUNT" help:"What if so much were run today, in km (or minutes with --measure time)?"`
}

func (*loadCommand) examples() string {
	return `  tidemark load
  tidemark load --if 14                 # what if 14 km today
  tidemark load --on 2026-03-01         # as of another day
  tidemark load --json | jq '.days[-1].ratio_uncoupled'`
}

// span is how many days the windows show, the last included.
const span = 84

// Run answers as of today. It writes nothing.
func (c *loadCommand) Run(a *app) error {
	j, err := a.open(false)
	if err != nil {
		return err
	}
	defer j.Close()
	book, runner, err := a.book(j, false)
	if err != nil {
		return err
	}
	today, err := a.today(runner)
	if err != nil {
		return err
	}
	q := assess.Query{Measure: c.Measure, From: c.From, To: c.To}
	if q.To == 0 {
		q.To = today
	}
	if q.From == 0 {
		q.From = q.To - span + 1
	}
	if q.From > q.To {
		return &failure{exitUse, fmt.Errorf("load: from %v is after to %v", q.From, q.To), ""}
	}
	p, err := book.Picture(a.ctx, today, q)
	if err != nil {
		return a.journalFailure(err)
	}
	if a.JSON {
		return a.writeJSON(wire.FromPicture(runner.Name, &p))
	}
	view := loadView{w: a.out, p: &p, ink: a.ink()}
	view.write()
	if c.If != 0 {
		if err := c.imagine(a, book, today); err != nil {
			return err
		}
	}
	view.cautions()
	return nil
}

// mostImagined is more than anybody runs in a day, in km as in minutes.
const mostImagined = 2000

// imagine answers the what-if of one day.
func (c *loadCommand) imagine(a *app, book *journal.Book, today load.Day) error {
	if !c.Measure.Limited() || !(c.If >= 0.1 && c.If <= mostImagined) {
		return &failure{exitUse, fmt.Errorf("load: --if takes a distance or a time of 0.1 to %d, not %g %s", mostImagined, c.If, c.Measure.Unit()), ""}
	}
	in, err := book.Input(a.ctx, today)
	if err != nil {
		return a.journalFailure(err)
	}
	w := load.Imagine(in, c.Measure, today, c.Measure.Of(c.If), nil)
	fmt.Fprintf(a.out, "\nIf you run %s today\n", value(c.Measure, c.If))
	if len(w.Over) == 0 {
		fmt.Fprintln(a.out, "  It is within every limit.")
	} else {
		fmt.Fprintf(a.out, "  It is over the %s.\n", limitWords(w.Over))
	}
	if spike, ok := w.Session.Spike.Get(); ok {
		tidemark, _ := w.Session.Tidemark.Get()
		fmt.Fprintf(a.out, "  It is %s.\n", against(spike, value(c.Measure, tidemark)))
	}
	if change, ok := w.Row.WeekChange.Get(); ok {
		fmt.Fprintf(a.out, "  The last seven days would be %s, %s than the seven before.\n", value(c.Measure, w.Row.Acute), moreOrLess(c.Measure, change))
	}
	return nil
}

// against says how a run compares with the longest of 30 days.
func against(spike float64, longest string) string {
	percent := fmt.Sprintf("%.0f %%", 100*spike)
	switch {
	case spike >= 0.005:
		return percent + " over your longest of 30 days (" + longest + ")"
	case spike <= -0.005:
		return strings.TrimPrefix(percent, "-") + " under your longest of 30 days (" + longest + ")"
	}
	return "as long as your longest of 30 days (" + longest + ")"
}

// moreOrLess writes a difference in words.
func moreOrLess(m load.Measure, change float64) string {
	if change < 0 {
		return value(m, -change) + " less"
	}
	return value(m, change) + " more"
}

// limitWords names limits for a sentence.
func limitWords(rules []string) string {
	words := strings.Join(rules, " and the ")
	if len(rules) == 1 {
		return words + " limit"
	}
	return words + " limits"
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
	v.line("%s, %s %s\n", v.p.Runner.Name, v.p.Day.Weekday(), dayWords(v.p.Day))
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
	v.para("", followClinician)
	v.para("", redFlags)
}

// sentence answers the runner's question first.
func (v *loadView) sentence() {
	room := v.p.Headroom
	if room == nil {
		return
	}
	most := v.ink.strong(amount(room.Measure, room.Amount))
	switch {
	case room.State == load.HeldBack:
		v.line("No run within your limits today.")
	case room.Amount < room.Measure.Of(0.1):
		v.line("Nothing left within your limits today.")
	default:
		v.line("Up to %s within your limits today.", most)
	}
	for _, l := range room.Limits {
		if l.Rule == room.Decides {
			v.para("", fmt.Sprintf("The %s limit decides: %s.", l.Rule, l.Why))
			break
		}
	}
	for _, l := range room.Limits {
		if l.Rule == load.LimitDay && l.Value > 0 {
			v.line("You have run %s today.", amount(room.Measure, l.Value))
		}
	}
	if usual, ok := room.Usual.Get(); ok {
		v.line("Your usual %s is %s.", v.p.Day.Weekday(), value(room.Measure, usual))
	}
	switch room.State {
	case load.Provisional:
		v.para("", "Provisional: the logbook knows fewer than 30 days, so it cannot know your longest run of 30 days.")
	case load.Uncertain:
		v.para("", "Nothing is known of some of the last seven days. If you ran on them, add those runs first: the numbers take them as rest.")
	}
}

// windows are the numbers of the last day.
func (v *loadView) windows() {
	if len(v.p.Days) == 0 {
		return
	}
	m, row := v.p.Measure, v.p.Days[len(v.p.Days)-1]
	v.line("\nUp to %s", dayWords(row.Date))
	v.row("last 7 days", value(m, row.Acute)+changeWords(m, &row))
	v.row("3 weeks before", v.or(row.ChronicUncoupled, func(n float64) string { return value(m, n) + " a week" }))
	v.row("ratio of the two", v.or(row.RatioUncoupled, func(n float64) string {
		return fmt.Sprintf("%.2f (%d of 28 days known, %d taken as rest)", n, row.KnownDays28, row.AssumedDays28)
	}))
	v.row("longest in 30 days", v.or(row.Tidemark, func(n float64) string {
		if held, ok := row.HeldTidemark.Get(); ok {
			return value(m, n) + ", of which the limits count " + value(m, held)
		}
		return value(m, n) + ", which does not carry the limits yet"
	}))
	v.row("monotony", v.or(row.Monotony, func(n float64) string {
		strain, _ := row.Strain.Get()
		return fmt.Sprintf("%.2f, weekly strain (Foster) %.0f", n, strain)
	}))
	v.para("  ", "The ratio describes a change in load. In runners it has not predicted injury; two cohorts found the opposite direction.")
}

func changeWords(m load.Measure, row *load.DayRow) string {
	change, ok := row.WeekChange.Get()
	if !ok {
		return ""
	}
	out := ", " + moreOrLess(m, change) + " than the 7 before"
	if share, ok := row.WeekChangeShare.Get(); ok {
		out += fmt.Sprintf(" (%+.0f %%)", 100*share)
	}
	return out
}

func (v *loadView) row(name, text string) { v.line("  %-20s%s", name, text) }

// or formats a value, or says why there is none.
func (v *loadView) or(val load.Value, format func(float64) string) string {
	if n, ok := val.Get(); ok {
		return format(n)
	}
	return "not yet: " + reasonWords[val.Reason()]
}

// reasonWords says a reason in a sentence.
var reasonWords = map[load.Reason]string{
	load.ReasonHistory:     "too few days since the first run",
	load.ReasonUnknownDays: "too many days of which nothing is known",
	load.ReasonFloor:       "too little running before to divide by",
	load.ReasonNoVariation: "every day was the same",
	load.ReasonZeroWeek:    "nothing in the week before",
	load.ReasonNoTidemark:  "no run in the 30 days before",
	load.ReasonNotRecorded: "nothing recorded",
}

func (v *loadView) limits() {
	room := v.p.Headroom
	if room == nil {
		return
	}
	v.line("\nLimits today")
	for _, l := range room.Limits {
		v.line("  %-8s %9s left of %s", l.Rule, amount(room.Measure, l.Room()), amount(room.Measure, l.Limit))
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
		v.line("\n%s; --json lists them.", plural(closed, "earlier finding"))
	}
}

func (v *loadView) finding(f *journal.Finding) {
	level := map[load.Level]string{load.Remark: "Note", load.Caution: "Caution", load.Stop: "Stop"}[f.Level]
	v.line("  %s: %s", v.ink.strong(level), load.FindRule(f.Rule).Title)
	rests := ""
	for _, e := range f.Evidence {
		v.para("    ", shortDay(e.Day)+": "+e.Text+".")
	}
	for _, source := range load.FindRule(f.Rule).Rests {
		rests += source.Cite + " (" + source.Strength + "). "
	}
	v.para("    ", "What to do: "+f.Advice+".")
	v.para("    ", "Rests on: "+rests)
}
