package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// loadPage is a runner's load over a span of days.
type loadPage struct {
	page
	Day      load.Day
	Empty    bool
	Measure  load.Measure
	Answer   answer
	Limited  bool // there is an answer: the measure has limits
	Limits   []limitLine
	Choices  choices
	Method   string // what the measure is, and rests on
	Basis    string // what it was made with, where that is the runner's
	Settings bool   // the settings can say more
	Table    string // address of the numbers as CSV
	Tideline tideline
	Windows  windows
	Findings findingList
}

// The spans that can be chosen, in days. The longest is what one picture holds.
var spans = []struct {
	days int
	name string
}{{42, "6 weeks"}, {84, "12 weeks"}, {182, "half a year"}, {yearSpan, "a year"}}

const (
	defaultSpan = 84
	yearSpan    = 364
	longestSpan = 366
)

// windowsReach is how many days before the last one the block of four weeks
// needs.
const windowsReach = 27

func (s *Server) load(w http.ResponseWriter, r *http.Request, v *visit) error {
	q, err := queryOf(r.URL.Query(), v.today)
	if err != nil {
		return err
	}
	if r.URL.Query().Get("measure") == "" {
		if q.Measure, err = v.book.Measure(r.Context(), v.today); err != nil {
			return err
		}
	}
	wider := q
	wider.From = min(q.From, q.To-windowsReach)
	p, err := v.picture(r.Context(), wider)
	if err != nil {
		return err
	}
	out := loadPage{page: v.page("Load", "load"), Day: v.today, Empty: p.Empty, Measure: q.Measure}
	if p.Headroom != nil {
		out.Limited, out.Answer, out.Limits = true, answerOf(p.Headroom), limitLines(p.Headroom)
	}
	out.Method, out.Table = words.Method(q.Measure), v.link.Base()+"/load.csv"+queryText(q)
	if err := out.basis(r.Context(), v, q.From, q.To); err != nil {
		return err
	}
	out.Choices = choicesOf(q, v.link.Base()+"/load", v.today)
	if len(p.Days) == 0 || p.Days[0].Date > q.From {
		out.Choices.Earlier = "" // history begins here
	}
	if !p.Empty {
		care, err := v.followed(r.Context())
		if err != nil {
			return err
		}
		out.Tideline = tidelineOf(&p, q, care)
		out.Tideline.strips(care, v.today)
		out.Windows = windowsOf(&p)
	}
	out.Findings = v.findingsOf(&p, "load", func(f *journal.Finding) bool {
		return f.LastDay >= q.From && f.Day <= q.To
	})
	if q.To-q.From+1 < yearSpan && out.Findings.Others > 0 {
		out.Findings.More = v.link.Base() + "/load?from=" + (v.today - yearSpan + 1).String() + "#findings"
	}
	return s.render(w, http.StatusOK, "load", out)
}

// basis says with which heart rates the measure Heart was made.
func (p *loadPage) basis(ctx context.Context, v *visit, from, to load.Day) error {
	p.Settings = p.Measure == load.Heart || p.Measure == load.Tendon
	if p.Measure != load.Heart {
		return nil
	}
	in, err := v.book.Input(ctx, v.today)
	if err != nil {
		return err
	}
	set, before := in.Settings.On(to), in.Settings.On(from)
	p.Basis = words.HeartBasis(&set, to)
	if words.HeartBasis(&before, from) != p.Basis {
		p.Basis += " On the first of these days: " + words.HeartBasis(&before, from)
	}
	return nil
}

// queryText writes a query as an address has it.
func queryText(q assess.Query) string {
	form := url.Values{"measure": {q.Measure.String()}, "from": {q.From.String()}, "to": {q.To.String()}}
	return "?" + form.Encode()
}

// queryOf reads measure, from and to as the load command does.
func queryOf(form url.Values, today load.Day) (q assess.Query, err error) {
	wrong := func(text string) error { return &problem{http.StatusUnprocessableEntity, text, nil} }
	if text := form.Get("measure"); text != "" {
		if err := q.Measure.UnmarshalText([]byte(text)); err != nil {
			return q, wrong(fmt.Sprintf("There is no measure %q: want %s.", text, words.MeasureIDs()))
		}
	}
	q.To = today
	if text := form.Get("to"); text != "" {
		if q.To, err = load.ParseDay(text); err != nil {
			return q, wrong(fmt.Sprintf("The last day, %q, is no date as 2026-05-03.", text))
		}
	}
	q.From = q.To - defaultSpan + 1
	if text := form.Get("from"); text != "" {
		if q.From, err = load.ParseDay(text); err != nil {
			return q, wrong(fmt.Sprintf("The first day, %q, is no date as 2026-05-03.", text))
		}
	}
	switch {
	case q.From > q.To:
		return q, wrong(fmt.Sprintf("The first day, %s, is after the last, %s.", words.Day(q.From), words.Day(q.To)))
	case q.To > today:
		return q, wrong(fmt.Sprintf("The last day, %s, has not come yet: today is %s.", words.Day(q.To), words.Day(today)))
	case q.To-q.From+1 > longestSpan:
		return q, wrong(fmt.Sprintf("That is more than the %d days that one picture holds.", longestSpan))
	}
	return q, nil
}

// choice is a link that shows something else, or what is shown now.
type choice struct {
	Text, Address string
	Now           bool
}

// choices are what else the page can show.
type choices struct {
	Measures, Spans []choice
	Earlier, Later  string // addresses, empty: there is none
}

func choicesOf(q assess.Query, address string, today load.Day) (c choices) {
	at := func(q assess.Query) string {
		form := url.Values{}
		form.Set("measure", q.Measure.String())
		if q.To != today {
			form.Set("to", q.To.String())
		}
		if q.To-q.From+1 != defaultSpan {
			form.Set("from", q.From.String())
		}
		if len(form) == 0 {
			return address
		}
		return address + "?" + form.Encode()
	}
	for _, m := range load.Measures {
		other := q
		other.Measure = m
		c.Measures = append(c.Measures, choice{words.Measure(m), at(other), m == q.Measure})
	}
	length := q.To - q.From + 1
	for _, span := range spans {
		other := q
		other.From = q.To - load.Day(span.days) + 1
		c.Spans = append(c.Spans, choice{span.name, at(other), load.Day(span.days) == length})
	}
	earlier, later := q, q
	earlier.From, earlier.To = q.From-length, q.To-length
	c.Earlier = at(earlier)
	if q.To < today {
		later.To = min(today, q.To+length)
		later.From = later.To - length + 1
		c.Later = at(later)
	}
	return c
}
