package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// gapsPage asks about days without a record, and lists what was said of some.
type gapsPage struct {
	page
	Open []gapForm
	Free gapForm // about any other days
	Said []gapLine
}

// gapForm asks one question about some days.
type gapForm struct {
	Action        string
	ID            string // tells the inputs of several forms apart
	Days          int
	First, Last   string // as typed, YYYY-MM-DD
	Runs, Longest string // as typed
	Text          string // which days these are
	Fault         string
	Back          string // the page to return to: today, or this one
}

// gapLine is one answer that was given.
type gapLine struct {
	When, What  string
	First, Last load.Day
	Holds       bool // it was not taken back
}

// gapAsked is how many days ago a gap may have ended for today's page to ask of it;
// project default.
const gapAsked = 60

// openGaps lists the gaps that nobody was asked about, the latest first.
func openGaps(in *load.Input) []load.DaySpan {
	gaps := load.NewHistory(in, load.Distance).Gaps()
	for i, j := 0, len(gaps)-1; i < j; i, j = i+1, j-1 {
		gaps[i], gaps[j] = gaps[j], gaps[i]
	}
	return gaps
}

func (v *visit) gapForm(days load.DaySpan, n int) gapForm {
	return gapForm{
		Action: v.link.Base() + "/gaps", ID: strconv.Itoa(n), Days: int(days.Last-days.First) + 1,
		First: days.First.String(), Last: days.Last.String(), Text: spanWords(days),
	}
}

func spanWords(days load.DaySpan) string {
	if days.First == days.Last {
		return words.Day(days.First)
	}
	return words.Day(days.First) + " to " + words.Day(days.Last)
}

func (s *Server) gaps(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.gapsPage(r.Context())
	if err != nil {
		return err
	}
	return s.render(w, http.StatusOK, "gaps", out)
}

func (v *visit) gapsPage(ctx context.Context) (out gapsPage, err error) {
	in, err := v.book.Input(ctx, v.today)
	if err != nil {
		return out, err
	}
	said, err := v.book.Gaps(ctx)
	if err != nil {
		return out, err
	}
	out = gapsPage{page: v.page("Days without a record", "runs"), Free: gapForm{Action: v.link.Base() + "/gaps", ID: "free"}}
	for i, days := range openGaps(in) {
		out.Open = append(out.Open, v.gapForm(days, i+1))
	}
	out.Said = gapLines(said)
	return out, nil
}

// gapLines writes what was said, the last first.
func gapLines(said []journal.Gap) (out []gapLine) {
	for i := len(said) - 1; i >= 0; i-- {
		g := &said[i]
		out = append(out, gapLine{
			When: words.Day(load.DayOf(g.At.Time())), What: spanWords(g.DaySpan) + ": " + gapWords(&g.Gap),
			First: g.First, Last: g.Last, Holds: g.Answer != "",
		})
	}
	return out
}

func gapWords(g *load.Gap) string {
	switch g.Answer {
	case load.GapRested:
		return "rested"
	case load.GapUnknown:
		return "nobody knows"
	case load.GapRan:
		text := "about " + words.Plural(g.Runs, "run") + " without a watch"
		if g.Longest > 0 {
			text += ", the longest " + words.Amount(load.Distance, g.Longest)
		}
		return text
	}
	return "taken back"
}

// answerGap keeps what the runner says of some days.
func (s *Server) answerGap(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	typed := gapForm{
		Action: v.link.Base() + "/gaps", ID: "free", First: r.PostForm.Get("first"), Last: r.PostForm.Get("last"),
		Runs: strings.TrimSpace(r.PostForm.Get("runs")), Longest: strings.TrimSpace(r.PostForm.Get("longest")),
	}
	g, err := typed.gap(load.GapAnswer(r.PostForm.Get("answer")), v.today)
	if err != nil {
		typed.Fault = title(err.Error()) + "."
		out, err := v.gapsPage(r.Context())
		if err != nil {
			return err
		}
		out.Free = typed
		return s.render(w, http.StatusUnprocessableEntity, "gaps", out)
	}
	if err := v.book.AnswerGap(r.Context(), g); err != nil {
		return err
	}
	to := v.link.Base() + "/gaps"
	if r.PostForm.Get("back") == "today" {
		to = v.link.Base()
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// longestGap is how many days one answer may be about; project default.
const longestGap = 3660

// gap reads what was typed. Errors are in words for the runner.
func (f *gapForm) gap(answer load.GapAnswer, today load.Day) (g load.Gap, err error) {
	g.Answer = answer
	if g.First, err = load.ParseDay(f.First); err != nil {
		return g, errors.New("the first day is no date")
	}
	if g.Last, err = load.ParseDay(f.Last); err != nil {
		return g, errors.New("the last day is no date")
	}
	switch days := int(g.Last-g.First) + 1; {
	case g.Last > today:
		return g, errors.New("the last day has not come yet")
	case days < 1:
		return g, errors.New("the last day is before the first")
	case days > longestGap:
		return g, errors.New("that is more than ten years: say it of shorter times")
	case answer == "" && f.Runs+f.Longest != "":
		g.Answer = load.GapRan // Enter was pressed where the runs are typed
	}
	if g.Answer != load.GapRan {
		return g, g.Check()
	}
	if g.Runs, err = strconv.Atoi(f.Runs); err != nil {
		return g, errors.New("type about how many runs there were, as a whole number: 4")
	}
	if f.Longest != "" {
		km, err := parseNumber(f.Longest)
		if err != nil || !(km >= 0.1 && km <= 300) {
			return g, errors.New("type the longest of them in km, from 0.1 to 300: 9, or 7.5")
		}
		g.Longest = load.Distance.Of(km)
	}
	if g.Runs < 1 || g.Runs > int(g.Last-g.First)+1 {
		return g, fmt.Errorf("%s in %s: at most one a day is understood", words.Plural(g.Runs, "run"), words.Plural(int(g.Last-g.First)+1, "day"))
	}
	return g, g.Check()
}
