package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// testsPage is the results of tests and the totals of questionnaires, and a form for one.
type testsPage struct {
	page
	Form  testForm
	Tests []testHistory
}

// testForm is a result as it was typed.
type testForm struct {
	Action                        string
	Tests                         []option
	Day, Left, Right, Total, Note string
	Fault                         string
}

// testHistory is one test with its results, the latest first.
type testHistory struct {
	Name, Unit, How, Source string
	Sides                   bool
	Rows                    []testRow
}

// testRow is one result, and how it is to be read against the first.
type testRow struct {
	Day                                 load.Day
	Left, Right, Total, Symmetry, Since string
	Note                                string
}

func (s *Server) tests(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.testsPage(r.Context(), "")
	if err != nil {
		return err
	}
	return s.render(w, http.StatusOK, "tests", out)
}

func (v *visit) testsPage(ctx context.Context, chosen string) (out testsPage, err error) {
	results, err := v.book.Results(ctx)
	if err != nil {
		return out, err
	}
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return out, err
	}
	out = testsPage{page: v.page("Tests", "tests"), Form: testForm{Action: v.link.Base() + "/tests", Day: v.today.String()}}
	for _, o := range rehab.Outcomes {
		out.Form.Tests = append(out.Form.Tests, option{o.ID, o.Name + ", " + o.Unit, o.ID == chosen})
		if h := testHistoryOf(&o, results, care); len(h.Rows) > 0 {
			out.Tests = append(out.Tests, h)
		}
	}
	return out, nil
}

func testHistoryOf(o *rehab.Outcome, results []journal.Result, care *assess.Care) (h testHistory) {
	h = testHistory{Name: o.Name, Unit: o.Unit, How: o.How, Source: o.Source, Sides: o.Sides}
	var first *journal.Result
	for i := range results {
		r := &results[i]
		if r.Test != o.ID {
			continue
		}
		if first == nil {
			first = r
		}
		h.Rows = append(h.Rows, testRowOf(o, r, first, care))
	}
	slices.Reverse(h.Rows)
	return h
}

func testRowOf(o *rehab.Outcome, r, first *journal.Result, care *assess.Care) testRow {
	row := testRow{Day: r.Day, Left: numberText(r.Left), Right: numberText(r.Right), Total: numberText(r.Total), Note: r.Note}
	if r.Left != nil && r.Right != nil {
		row.Symmetry = symmetryWords(care, r.Day, *r.Left, *r.Right)
	}
	if r == first {
		return row
	}
	var changes []string
	for _, side := range []struct {
		name      string
		from, now *float64
	}{{"left ", first.Left, r.Left}, {"right ", first.Right, r.Right}, {"", first.Total, r.Total}} {
		if side.from != nil && side.now != nil {
			changes = append(changes, fmt.Sprintf("%s%+g: %s", side.name, *side.now-*side.from, changeNames[o.Read(*side.from, *side.now)]))
		}
	}
	row.Since = strings.Join(changes, "; ")
	return row
}

// changeNames say how a change is to be read.
var changeNames = map[rehab.Change]string{
	rehab.ChangeNone: "the same", rehab.ChangeNoise: "within what repeats differ by, or not shown to matter", rehab.ChangePossible: "possibly noticed",
	rehab.ChangeClear: "clear", rehab.ChangeUnknown: "nobody has published how much counts",
}

func numberText(v *float64) string {
	if v == nil {
		return ""
	}
	return fmt.Sprintf("%g", *v)
}

// symmetryWords is the share of the side that hurts, by what was followed on the day. Of
// two sides that hurt there is none.
func symmetryWords(care *assess.Care, day load.Day, left, right float64) string {
	var hurts [2]bool
	for _, r := range care.Open(day) {
		hurts[0] = hurts[0] || r.Complaint.Side == rehab.Left
		hurts[1] = hurts[1] || r.Complaint.Side == rehab.Right
	}
	name, a, b := "left against right", left, right
	if hurts[1] && !hurts[0] {
		name, a, b = "right against left", right, left
	}
	share, ok := rehab.Symmetry(a, b, hurts[0] && hurts[1])
	if !ok {
		return "none: both sides hurt, or there is nothing to hold against"
	}
	return fmt.Sprintf("%s: %.0f %%", name, 100*share)
}

// addTest keeps a result.
func (s *Server) addTest(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	form := testForm{Day: get("day"), Left: get("left"), Right: get("right"), Total: get("total"), Note: get("note")}
	result, fault := form.result(get("test"), v.today)
	if fault == "" {
		if err := v.book.AddResult(r.Context(), result); err != nil {
			return err
		}
		http.Redirect(w, r, v.link.Base()+"/tests", http.StatusSeeOther)
		return nil
	}
	out, err := v.testsPage(r.Context(), get("test"))
	if err != nil {
		return err
	}
	form.Action, form.Tests, form.Fault = out.Form.Action, out.Form.Tests, fault
	out.Form = form
	return s.render(w, http.StatusUnprocessableEntity, "tests", out)
}

// result reads what was typed, or says what is wrong with it.
func (f *testForm) result(test string, today load.Day) (r rehab.Result, fault string) {
	day, err := load.ParseDay(f.Day)
	if err != nil {
		return r, "Say on which day it was."
	}
	if len(f.Note) > maxWhy {
		return r, "The note is longer than " + size(maxWhy) + "."
	}
	r = rehab.Result{Test: test, Day: day, Note: f.Note}
	for _, field := range []struct {
		text string
		to   **float64
	}{{f.Left, &r.Left}, {f.Right, &r.Right}, {f.Total, &r.Total}} {
		v, ok := optionalNumber(field.text)
		if !ok {
			return r, "A result is a number: 18, or 9.5."
		}
		*field.to = v
	}
	if err := r.Check(today); err != nil {
		return r, words.Sentenced(err.Error())
	}
	return r, ""
}
