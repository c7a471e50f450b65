package web

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// morningsPage is every morning with its verdict and why.
type morningsPage struct {
	page
	Answer  string
	Asks    []scoreAsk
	Causes  []causeCard
	Records []morningRecord
	Form    morningForm
}

// scoreAsk is one question that a tap answers.
type scoreAsk struct {
	Action, Field, ID   string
	Complaints          []string // several, if they are the sides of one and the tap is for both
	Day                 load.Day // the waking date
	Question, Low, High string
	Values              []int
	Unit                string
	Back                string
	Differ              string // where the sides are answered apart
}

// morningRecord is one complaint with its mornings, the latest first.
type morningRecord struct {
	Name  string
	Said  []settingChange // what was corrected
	Weeks []morningWeek
	Rows  []morningRow
}

// morningWeek is the middle of seven mornings.
type morningWeek struct {
	End             load.Day
	Pain, Stiffness string
	Mornings        int
}

// morningRow is one morning. What was not said is empty.
type morningRow struct {
	Day                         load.Day
	Before, During, After, Limp string
	Next, Stiffness             string
	Verdict, Mark, Why          string
	Late                        bool
}

// morningForm says more of one morning, or corrects it.
type morningForm struct {
	Action                                 string
	Complaints                             []option
	Day                                    string
	Before, During, After, Next, Stiffness string
	Limp                                   string
	Fault                                  string
}

func (s *Server) mornings(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.morningsPage(r.Context())
	if err != nil {
		return err
	}
	return s.render(w, http.StatusOK, "mornings", out)
}

func (v *visit) morningsPage(ctx context.Context) (out morningsPage, err error) {
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return out, err
	}
	in, err := v.book.Input(ctx, v.today)
	if err != nil {
		return out, err
	}
	out = morningsPage{page: v.page("Mornings", "mornings"), Asks: v.asks(care, in, "mornings")}
	p, err := v.picture(ctx, assess.Query{Measure: care.Measure(v.today), From: v.today - causeShown - 21, To: v.today})
	if err != nil {
		return out, err
	}
	entries, err := v.book.Entries(ctx)
	if err != nil {
		return out, err
	}
	out.Causes = causes(care, &p.Picture, v.today, causeShown)
	out.Answer = morningsAnswer(care, v.today)
	out.Form = morningForm{Action: v.link.Base() + "/mornings", Day: v.today.String()}
	for i := range care.Records {
		r := &care.Records[i]
		out.Form.Complaints = append(out.Form.Complaints, option{r.Complaint.ID, complaintName(&r.Complaint), false})
		record := morningRecordOf(r, v.today)
		record.Said = v.corrections(entries, r.Complaint.ID)
		out.Records = append(out.Records, record)
	}
	return out, nil
}

// answeredDays is how many mornings the sentence of the page looks back on.
const answeredDays = 14

// morningsAnswer says in a sentence how the last two weeks were.
func morningsAnswer(care *assess.Care, today load.Day) string {
	counts, n := make(map[load.Verdict]int), 0
	for _, r := range care.Open(today) {
		for _, m := range r.Mornings {
			if m.Day > today-answeredDays && m.Day <= today {
				counts[m.Judgement.Verdict]++
				n++
			}
		}
	}
	if n == 0 {
		return "No morning of the last two weeks is known."
	}
	text := fmt.Sprintf("%d of the last %s settled", counts[load.Settled], words.Plural(n, "morning"))
	for _, more := range []struct {
		verdict load.Verdict
		words   string
	}{{load.Unsettled, "did not"}, {load.Flared, "flared"}, {load.Missing, "nobody answered"}} {
		if k := counts[more.verdict]; k > 0 {
			text += fmt.Sprintf(", %d %s", k, more.words)
		}
	}
	return text + "."
}

// corrections tells what was said again of a morning, the last first: the old value stays.
func (v *visit) corrections(entries []journal.Morning, complaint string) (said []settingChange) {
	before := make(map[load.Day]rehab.Morning)
	for _, e := range entries {
		if e.Complaint != complaint {
			continue
		}
		old := before[e.Day]
		var changes []string
		note := func(what string, from, to *int) {
			if from != nil && to != nil && *from != *to {
				changes = append(changes, fmt.Sprintf("%s %d, was %d", what, *to, *from))
			}
		}
		note("before", number8(old.Before), number8(e.Before))
		note("during", number8(old.During), number8(e.During))
		note("an hour after", number8(old.After), number8(e.After))
		note("first steps", number8(old.Next), number8(e.Next))
		note("minutes stiff", old.Stiffness, e.Stiffness)
		if old.Limp != nil && e.Limp != nil && *old.Limp != *e.Limp {
			changes = append(changes, fmt.Sprintf("limping %s, was %s", yesNo(*e.Limp), yesNo(*old.Limp)))
		}
		if len(changes) > 0 {
			said = append(said, settingChange{words.Day(load.DayOf(e.Entered.Time())), v.who(e.By), words.Day(e.Day) + ": " + strings.Join(changes, "; ")})
		}
		before[e.Day] = rehab.Morning{
			Before: cmp.Or(e.Before, old.Before), During: cmp.Or(e.During, old.During), After: cmp.Or(e.After, old.After),
			Next: cmp.Or(e.Next, old.Next), Stiffness: cmp.Or(e.Stiffness, old.Stiffness), Limp: cmp.Or(e.Limp, old.Limp),
		}
	}
	slices.Reverse(said)
	return said
}

func number8(s *rehab.Score) *int {
	if s == nil {
		return nil
	}
	n := int(*s)
	return &n
}

// weeksShown is how many weeks of medians are listed.
const weeksShown = 6

func morningRecordOf(r *rehab.Record, today load.Day) (out morningRecord) {
	out.Name = complaintName(&r.Complaint)
	for i := range load.Day(weeksShown) {
		week := r.Week(today - 7*i)
		if week.Mornings == 0 {
			continue
		}
		line := morningWeek{End: today - 7*i, Pain: fmt.Sprintf("%g", week.Pain), Mornings: week.Mornings}
		if week.HasStiffness {
			line.Stiffness = fmt.Sprintf("%g min", week.Stiffness)
		}
		out.Weeks = append(out.Weeks, line)
	}
	for _, m := range slices.Backward(r.Mornings) {
		out.Rows = append(out.Rows, morningRowOf(&m))
	}
	return out
}

// verdictMarks are the shapes of the verdicts.
var verdictMarks = map[load.Verdict]string{load.Settled: "settled", load.Unsettled: "unsettled", load.Flared: "flared", load.Missing: "missing"}

func morningRowOf(m *rehab.Judged) morningRow {
	row := morningRow{Day: m.Day, Verdict: words.Verdict(m.Judgement.Verdict), Mark: verdictMarks[m.Judgement.Verdict], Why: m.Words(), Late: m.SaidLate()}
	score := func(s *rehab.Score) string {
		if s == nil {
			return ""
		}
		return strconv.Itoa(int(*s))
	}
	row.Before, row.During, row.After, row.Next = score(m.Before), score(m.During), score(m.After), score(m.Next)
	if m.Limp != nil {
		row.Limp = yesNo(*m.Limp)
	}
	if m.Stiffness != nil {
		row.Stiffness = fmt.Sprintf("%d min", *m.Stiffness)
	}
	return row
}

// The values that one tap gives.
var (
	scoreValues     = []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}
	stiffnessValues = []int{0, 5, 10, 15, 20, 30, 45, 60}
)

// asks lists what is to be answered today, of each complaint in turn: the morning's score,
// then its stiffness; of yesterday's and today's run the worst during and an hour after.
func (v *visit) asks(care *assess.Care, in *load.Input, back string) (asks []scoreAsk) {
	ran := load.NewLogbook(in).RunDays()
	open := care.Open(v.today)
	for _, r := range open {
		add := func(day load.Day, field, question string) {
			for i := range asks {
				if other := &asks[i]; other.Field == field && other.Day == day && pairs(open, &r.Complaint, other.Complaints[0]) {
					other.both(&r.Complaint, question)
					return
				}
			}
			asks = append(asks, v.ask(&r.Complaint, day, field, question, back))
		}
		today, _ := r.Said(v.today)
		switch {
		case today.Next == nil:
			add(v.today, "next", "how were the first steps this morning? The tendon, not the muscles.")
		case today.Stiffness == nil:
			add(v.today, "stiffness", "how long was it stiff?")
		}
		if ran[v.today-1] && r.Complaint.Followed(v.today-1) {
			askOfRun(today, "yesterday's run", func(field, question string) { add(v.today, field, question) })
		}
		if ran[v.today] {
			tomorrow, _ := r.Said(v.today + 1)
			askOfRun(tomorrow, "today's run", func(field, question string) { add(v.today+1, field, question) })
		}
	}
	return asks
}

func (v *visit) ask(c *rehab.Complaint, day load.Day, field, question, back string) scoreAsk {
	ask := scoreAsk{
		Action: v.link.Base() + "/mornings", Complaints: []string{c.ID}, Field: field, Day: day, Back: back, ID: fmt.Sprintf("%s-%s-%d", c.ID, field, day),
		Question: complaintName(c) + ": " + question, Values: scoreValues, Low: "none", High: "the worst imaginable",
	}
	if field == "stiffness" {
		ask.Values, ask.Unit, ask.Low, ask.High = stiffnessValues, "min", "", ""
	}
	return ask
}

// both asks of the two sides of one at once.
func (a *scoreAsk) both(c *rehab.Complaint, question string) {
	info, err := rehab.FindSite(c.Site)
	if err != nil {
		panic(err) // it was checked when it was kept
	}
	a.Complaints = append(a.Complaints, c.ID)
	a.Question, a.Differ = "Both sides, "+info.Short+": "+question, a.Action+"#more"
}

// pairs reports whether a complaint is the other side of the one with the ID.
func pairs(open []*rehab.Record, c *rehab.Complaint, id string) bool {
	return slices.ContainsFunc(open, func(r *rehab.Record) bool { return r.Complaint.ID == id && r.Complaint.Pairs(c) })
}

// askOfRun asks what is not known of a run yet.
func askOfRun(m rehab.Morning, run string, add func(field, question string)) {
	if m.During == nil {
		add("during", "the worst during "+run+"?")
	}
	if m.After == nil {
		add("after", "an hour after "+run+"?")
	}
}

// addMorning keeps what was tapped or typed of a morning.
func (s *Server) addMorning(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	form := morningForm{
		Action: v.link.Base() + "/mornings", Day: get("day"), Before: get("before"), During: get("during"), After: get("after"),
		Next: get("next"), Stiffness: get("stiffness"), Limp: get("limp"),
	}
	m, fault := form.morning(get("complaint"), v.today)
	if fault == "" && len(r.PostForm["complaint"]) == 0 {
		fault = "Say what it is about."
	}
	if fault == "" {
		var entries []journal.Morning
		for _, complaint := range r.PostForm["complaint"] {
			m.Complaint = strings.TrimSpace(complaint)
			entries = append(entries, journal.Morning{Morning: m})
		}
		_, err := v.book.AddMornings(r.Context(), entries)
		if err == nil {
			to := v.link.Base()
			if get("back") != "today" {
				to += "/mornings"
			}
			http.Redirect(w, r, to, http.StatusSeeOther)
			return nil
		}
		refused, ok := errors.AsType[*journal.MorningError](err)
		if !ok || errors.Is(err, journal.ErrNotFound) {
			return err
		}
		fault = words.Sentenced(refused.Err.Error())
	}
	out, err := v.morningsPage(r.Context())
	if err != nil {
		return err
	}
	form.Fault, form.Complaints = fault, out.Form.Complaints
	for i := range form.Complaints {
		form.Complaints[i].Chosen = form.Complaints[i].Value == get("complaint")
	}
	out.Form = form
	return s.render(w, http.StatusUnprocessableEntity, "mornings", out)
}

// morning reads what was typed, or says what is wrong with it.
func (f *morningForm) morning(complaint string, today load.Day) (m rehab.Morning, fault string) {
	day, err := load.ParseDay(f.Day)
	if err != nil {
		return m, "Say of which morning it is."
	}
	m = rehab.Morning{Complaint: complaint, Day: day}
	for _, s := range []struct {
		text string
		to   **rehab.Score
	}{{f.Before, &m.Before}, {f.During, &m.During}, {f.After, &m.After}, {f.Next, &m.Next}} {
		if s.text == "" {
			continue
		}
		n, err := strconv.ParseUint(s.text, 10, 8)
		if err != nil || n > rehab.MaxScore {
			return m, "A score is a whole number from 0, none, to 10, the worst imaginable."
		}
		score := rehab.Score(n)
		*s.to = &score
	}
	if f.Stiffness != "" {
		n, err := strconv.Atoi(f.Stiffness)
		if err != nil || n < 0 || n > rehab.MaxStiffness {
			return m, fmt.Sprintf("Stiffness is whole minutes from 0 to %d.", rehab.MaxStiffness)
		}
		m.Stiffness = &n
	}
	if f.Limp == "yes" || f.Limp == "no" {
		limped := f.Limp == "yes"
		m.Limp = &limped
	}
	if err := m.Check(today); err != nil {
		return m, title(err.Error()) + "."
	}
	return m, ""
}
