package web

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// todayPage answers the runner's question for the day.
type todayPage struct {
	page
	Day   load.Day
	Empty bool // no run yet: what to do instead
	// Recordings is how many there are of all kinds, counting or not.
	Recordings int
	Answer     answer
	Limits     []limitLine
	Tideline   tideline
	WhatIf     whatIf
	Findings   findingList
	Asks       []scoreAsk // of what hurts
	Hurts      bool       // something is followed
	Climb      string     // what the way back holds today
	Rehab      []*todayList
	Flared     bool        // this morning, or today's run
	Causes     []causeCard // of a flare this morning
	AskNew     *askNew
	Newcomer   *newcomerForm
	Notes      []noteLine // of the care team
	Race       *raceLine  // the next one
	Gap        *gapForm   // days that somebody should say something of
	Belt       *beltAsk
}

// beltAsk asks for the distance of a treadmill run.
type beltAsk struct {
	Action, Text, Was string
	Seen              int
}

// answer is the headroom in words.
type answer struct {
	words.Sentence
	Why    string
	Around []string
	Amount number
}

func answerOf(room *load.Headroom) answer {
	a := answer{Sentence: words.Answer(room), Why: words.Why(room), Around: words.Around(room)}
	a.Amount = number{"amount", exact(room.Measure.In(room.Amount)), a.Number}
	return a
}

// exact writes a number with all its digits.
func exact(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// limitLine is one limit of the day.
type limitLine struct {
	Rule        string
	Decides     bool
	Left, Limit number
	Why         string
}

func limitLines(room *load.Headroom) (lines []limitLine) {
	for _, l := range room.Limits {
		lines = append(lines, limitLine{
			Rule: words.Limit(l.Rule), Decides: l.Rule == room.Decides, Why: l.Why,
			Left:  number{"amount", exact(room.Measure.In(l.Room())), words.Amount(room.Measure, l.Room())},
			Limit: number{"limit", exact(room.Measure.In(l.Limit)), words.Amount(room.Measure, l.Limit)},
		})
	}
	return lines
}

func (s *Server) today(w http.ResponseWriter, r *http.Request, v *visit) error {
	return s.showToday(w, r, v, nil, http.StatusOK)
}

// showToday renders the page with the newcomer's form as it is given, if it is.
func (s *Server) showToday(w http.ResponseWriter, r *http.Request, v *visit, form *newcomerForm, status int) error {
	measure, err := v.book.Measure(r.Context(), v.today)
	if err != nil {
		return err
	}
	q := assess.Query{Measure: measure, From: v.today - defaultSpan + 1, To: v.today}
	p, err := v.picture(r.Context(), q)
	if err != nil {
		return err
	}
	care, err := v.followed(r.Context())
	if err != nil {
		return err
	}
	out := todayPage{page: v.page("Today", "today"), Day: v.today, Empty: p.Empty, Recordings: len(p.Offsets)}
	out.Answer, out.Limits = answerOf(p.Headroom), limitLines(p.Headroom)
	if !p.Empty {
		out.Tideline = tidelineOf(&p, q, care)
	}
	out.Findings = v.findingsOf(&p, "today", func(f *journal.Finding) bool { return isOpen(f) || isFresh(f, p.Runner.FirstUse, v.today) })
	out.Findings.More = v.link.Base() + "/load?from=" + (v.today - yearSpan + 1).String() + "#findings"
	if out.Notes, err = v.notesOf(r); err != nil {
		return err
	}
	if err := out.ask(r.Context(), v, &p.Picture, care); err != nil {
		return err
	}
	if form != nil {
		out.Newcomer = form
	}
	out.WhatIf = v.whatIf(r, measure)
	if r.URL.Query().Has("if") {
		if err := out.WhatIf.ask(r, v); err != nil {
			return err
		}
		if out.WhatIf.Fault != "" {
			status = http.StatusUnprocessableEntity
		}
	}
	return s.render(w, status, "today", out)
}

// beltAsked is how many days ago a treadmill run may have been for today's page to
// ask of it; project default.
const beltAsked = 14

// ask finds what the runner alone knows: of the latest gap, and of the latest run on
// a treadmill.
func (p *todayPage) ask(ctx context.Context, v *visit, picture *assess.Picture, care *assess.Care) error {
	in, err := v.book.Input(ctx, v.today)
	if err != nil {
		return err
	}
	p.Hurts = len(care.Open(v.today)) > 0
	if !p.Empty {
		p.Tideline.strips(care, v.today)
	}
	for _, r := range care.Open(v.today) {
		for _, day := range []load.Day{v.today, v.today + 1} {
			m, ok := r.On(day)
			p.Flared = p.Flared || ok && m.Judgement.Verdict == load.Flared
		}
	}
	if care.Ramp != nil && care.Ramp.Refused == nil {
		p.Climb, _ = rampAnswer(care.Ramp, v.today)
	}
	p.Causes = causes(care, picture, v.today, 0)
	for _, r := range in.Races {
		if r.Day > v.today {
			p.Race = &raceLine{Day: r.Day, Text: raceWords(&r)}
			break
		}
	}
	if !v.rights.Has(journal.RightRecord) {
		return nil // whoever looks on is asked nothing
	}
	return p.askOwner(ctx, v, picture, care, in)
}

// askOwner asks what only the runner can say, of the latest runs and mornings.
func (p *todayPage) askOwner(ctx context.Context, v *visit, picture *assess.Picture, care *assess.Care, in *load.Input) (err error) {
	p.Asks = v.asks(care, in, "today")
	for _, r := range care.Open(v.today) {
		if list := v.todayList(care, r, "today"); list != nil {
			p.Rehab = append(p.Rehab, list)
		}
	}
	if p.AskNew, err = v.askNew(ctx, care); err != nil {
		return err
	}
	p.Newcomer = v.newcomerAsk(picture.Headroom, in.Settings.On(v.today))
	if gaps := openGaps(in); len(gaps) > 0 && gaps[0].Last >= v.today-gapAsked {
		form := v.gapForm(gaps[0], 1)
		form.Back = "today"
		p.Gap = &form
	}
	for i := len(in.Sessions) - 1; i >= 0 && in.Sessions[i].Day >= v.today-beltAsked; i-- {
		s := &in.Sessions[i]
		if s.Surface != load.Treadmill || s.Sport != load.Running || s.Excluded || s.DistanceSource == load.DistanceTyped {
			continue
		}
		edits, err := v.book.Edits(ctx, s.ID)
		if err != nil {
			return err
		}
		p.Belt = &beltAsk{v.link.Base() + "/runs/" + s.ID, words.Weekday(s.Day) + ", on the treadmill", "", len(edits)}
		if f := figuresOf(s); f.Distance != "" {
			p.Belt.Text += ": the watch guessed " + f.Distance
		}
		return nil
	}
	return nil
}

// whatIf is the box that asks about a run that was not run, and its answer.
type whatIf struct {
	Action  string
	Text    string // as typed
	Measure load.Measure
	Days    []option
	Day     load.Day
	Fault   string
	Asked   string
	Lines   []string
	Limits  []beforeAfter
	Over    bool
}

// beforeAfter is what a limit leaves before an imagined run, and after it.
type beforeAfter struct {
	Rule          string
	Over          bool
	Before, After number
}

// whatIf is the box as it was typed, or as it begins.
func (v *visit) whatIf(r *http.Request, usual load.Measure) whatIf {
	f := whatIfOf(r, usual, v.today)
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		f.Action = v.link.Base()
	}
	return f
}

// whatIfOf is the box of a page that is of no runner, or of one.
func whatIfOf(r *http.Request, usual load.Measure, today load.Day) whatIf {
	f := whatIf{Action: r.URL.Path, Text: r.FormValue("if"), Measure: usual, Day: today}
	if text := r.FormValue("on"); text != "" {
		day, err := load.ParseDay(text)
		if err == nil && day >= today && day < today+journal.DaysAhead {
			f.Day = day
		} else {
			f.Fault = fmt.Sprintf("Ask of a day from today to %s.", words.Day(today+journal.DaysAhead-1))
		}
	}
	for _, m := range []load.Measure{load.Distance, load.RunTime} {
		if r.FormValue("in") == m.String() {
			f.Measure = m
		}
	}
	if r.FormValue("in") == load.Time.String() { // of links from before minutes were those of running
		f.Measure = load.RunTime
	}
	f.Days = dayOptions(today, f.Day)
	return f
}

// dayOptions are the days that can be asked about.
func dayOptions(today, chosen load.Day) (options []option) {
	for day := today; day < today+journal.DaysAhead; day++ {
		options = append(options, option{day.String(), aheadWords(today, day), day == chosen})
	}
	return options
}

// aheadWords says which day it is, seen from today.
func aheadWords(today, day load.Day) string {
	switch day - today {
	case 0:
		return "today"
	case 1:
		return "tomorrow"
	}
	return "on " + day.Noon().Format("Monday 2 January")
}

func (f *whatIf) ask(r *http.Request, v *visit) error {
	if f.Fault != "" {
		return nil
	}
	amount, err := parseNumber(f.Text)
	if err != nil || !(amount >= 0.1 && amount <= load.MostImagined) {
		f.Fault = "Type how much you would run, as a number from 0.1 to 2000: 12, or 7.5."
		return nil
	}
	answer, err := v.book.Imagine(r.Context(), v.today, f.Measure, f.Day, f.Measure.Of(amount))
	if err != nil {
		return err
	}
	f.Asked = exact(amount) + " " + words.Unit(f.Measure) + " " + aheadWords(v.today, f.Day)
	f.Lines, f.Over = words.Imagined(f.Measure, &answer), len(answer.Over) > 0
	f.Limits = beforeAfters(&answer)
	return nil
}

// beforeAfters lays the limits before and after an imagined run side by side.
func beforeAfters(w *load.WhatIf) (lines []beforeAfter) {
	m := w.Headroom.Measure
	say := func(field string, l load.Limit) number {
		return number{field, exact(m.In(l.Room())), words.Amount(m, l.Room())}
	}
	for i, l := range w.Headroom.Limits {
		line := beforeAfter{Rule: words.Limit(l.Rule), Over: w.Amount > l.Room(), Before: say("before", l)}
		if i < len(w.After.Limits) && w.After.Limits[i].Rule == l.Rule {
			line.After = say("after", w.After.Limits[i])
		}
		lines = append(lines, line)
	}
	return lines
}

// parseNumber reads a number with a decimal point or comma.
func parseNumber(text string) (float64, error) {
	return strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(text), ",", "."), 64)
}
