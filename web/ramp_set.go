package web

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// rampForm sets a way back, as it was typed.
type rampForm struct {
	Action                                        string
	Start, GoalKM, Pace, By, BMI, Own, First, Why string
	Novice, Confirm                               bool
	Free                                          []option
	Ladders                                       []ladderOption
	Fault                                         string
}

// ladderOption is a ladder to choose, with where it is from.
type ladderOption struct {
	option
	Stages, Note, Source, Status string
}

// weekdayNames are the days from Monday on, with their numbers.
var weekdayNames = []struct {
	number int
	name   string
}{{1, "Monday"}, {2, "Tuesday"}, {3, "Wednesday"}, {4, "Thursday"}, {5, "Friday"}, {6, "Saturday"}, {0, "Sunday"}}

func (v *visit) rampForm(care *assess.Care, rows []journal.RampTerms, site rehab.Site) rampForm {
	terms := ramp.Terms{Start: v.today, Free: [7]bool{true, true, true, true, true, true, true}}
	if n := len(rows); n > 0 {
		terms = rows[n-1].Terms
	}
	f := rampForm{Action: v.link.Base() + "/ramp", Start: v.today.String(), Novice: terms.Novice, Confirm: terms.Confirm, Own: ramp.Notation(terms.Own)}
	if care.Ramp != nil {
		f.Start = terms.Start.String()
		if terms.First > 0 {
			f.First = strconv.Itoa(terms.First)
		}
	}
	number := func(n float64) string {
		if n == 0 {
			return ""
		}
		return strconv.FormatFloat(n, 'f', -1, 64)
	}
	f.GoalKM, f.BMI = number(terms.Goal.Km), number(terms.BMI)
	if terms.Goal.Pace > 0 {
		seconds := int(terms.Goal.Pace*60 + 0.5)
		f.Pace = strconv.Itoa(seconds/60) + ":" + strconv.Itoa(100 + seconds%60)[1:]
	}
	if terms.Goal.IsBy {
		f.By = terms.Goal.By.String()
	}
	f.choose(site, terms.Free, terms.Table)
	return f
}

// choose lists the days and ladders with what is chosen.
func (f *rampForm) choose(site rehab.Site, free [7]bool, table string) {
	f.Free, f.Ladders = nil, nil
	for _, d := range weekdayNames {
		f.Free = append(f.Free, option{strconv.Itoa(d.number), d.name, free[d.number]})
	}
	for _, t := range ramp.TablesFor(site) {
		chosen := t.ID == table || table == "" && t.ID == ramp.DefaultTable
		f.Ladders = append(f.Ladders, ladderOption{option{t.ID, t.Name, chosen}, ramp.Notation(t.Ladder()), t.Note, t.Source, t.Status})
	}
}

// rampWeeks is how many weeks a plan has at first; it is carried on as they pass.
const rampWeeks = 12

// setRamp sets a way back, or another one.
func (s *Server) setRamp(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	out, err := v.rampPage(r.Context())
	if err != nil {
		return err
	}
	if out.Nothing {
		return &problem{http.StatusUnprocessableEntity, out.Why, nil}
	}
	care, err := v.book.Care(r.Context(), v.today)
	if err != nil {
		return err
	}
	site, err := care.RampSite(v.today)
	if err != nil {
		return err
	}
	form := out.Form
	form.Start, form.GoalKM, form.Pace, form.By, form.BMI = get("start"), get("goal"), get("pace"), get("by"), get("bmi")
	form.Own, form.First, form.Why, form.Novice = get("own"), get("first"), get("why"), get("novice") == "yes"
	form.Confirm = get("confirm") == "yes"
	terms, fault := form.terms(r.PostForm["free"], get("ladder"), v.today)
	form.choose(site, terms.Free, get("ladder"))
	if care.Ramp != nil {
		carry(&terms, &care.Ramp.Terms, v.today)
	}
	switch err := terms.Check(site); {
	case fault != "":
	case care.Stopping(v.today) != nil:
		fault = stoppedFault(care.Stopping(v.today))
	case err != nil:
		fault = words.Sentenced(err.Error())
	case !out.Gate.Open && form.Why == "":
		fault = "Not every bar above is passed. Say why it is set all the same."
	case len(form.Why) > maxWhy:
		fault = "The reason is longer than " + size(maxWhy) + "."
	}
	if fault == "" {
		if err := v.book.SetRampAfter(r.Context(), seenOf(r), terms, form.Why); err != nil {
			return err
		}
		http.Redirect(w, r, out.Base, http.StatusSeeOther)
		return nil
	}
	form.Fault = fault
	out.Form = form
	return s.render(w, http.StatusUnprocessableEntity, "ramp", out)
}

// carry keeps what no field of the form says: the hold, and how far stages were allowed as
// long as they are the same ones.
func carry(terms, before *ramp.Terms, today load.Day) {
	if before.HeldOn(today) {
		terms.State, terms.Until = before.State, before.Until
	}
	if terms.Confirm && before.Confirm && terms.Table == before.Table && slices.Equal(terms.Own, before.Own) {
		terms.Roof = before.Roof
	}
}

func stoppedFault(f *rehab.Raised) string {
	return words.Sentenced(f.Flag.Sign + ": " + f.Flag.Do + "; until it is lifted nothing can be set")
}

// terms reads what was typed, or says what is wrong with it.
func (f *rampForm) terms(free []string, ladder string, today load.Day) (t ramp.Terms, fault string) {
	t = ramp.Terms{Weeks: rampWeeks, Novice: f.Novice, Confirm: f.Confirm, State: ramp.Running}
	for _, text := range free {
		if n, err := strconv.Atoi(text); err == nil && n >= 0 && n < len(t.Free) {
			t.Free[n] = true
		}
	}
	var err error
	if t.Start, err = load.ParseDay(f.Start); err != nil {
		return t, "Say on which day it begins."
	}
	if t.Start < today-365 || t.Start > today+365 {
		return t, "It begins within a year, or began within the last one."
	}
	goal, ok1 := optionalNumber(f.GoalKM)
	bmi, ok2 := optionalNumber(f.BMI)
	if !ok1 || !ok2 {
		return t, "The goal and the body mass index are numbers, or nothing."
	}
	if goal != nil {
		t.Goal.Km = *goal
	}
	if bmi != nil {
		t.BMI = *bmi
	}
	if f.Pace != "" {
		if t.Goal.Pace, err = readPace(f.Pace); err != nil {
			return t, "The pace is minutes and seconds for a kilometre: 6:30."
		}
	}
	if f.By != "" {
		if t.Goal.By, err = load.ParseDay(f.By); err != nil {
			return t, "Say by which day, or nothing."
		}
		t.Goal.IsBy = true
	}
	if t.Own, err = ramp.ParseLadder(f.Own); err != nil {
		return t, words.Sentenced(err.Error())
	}
	if len(t.Own) == 0 {
		t.Own, t.Table = nil, ladder
	}
	if !wholeNumbers([]string{f.First}, &t.First) {
		return t, "The first stage is a whole number, or nothing."
	}
	return t, ""
}

// readPace reads minutes and seconds for a kilometre.
func readPace(text string) (float64, error) {
	m, s, ok := strings.Cut(text, ":")
	minutes, err1 := strconv.Atoi(m)
	seconds, err2 := strconv.Atoi(s)
	if !ok || err1 != nil || err2 != nil || minutes < 0 || seconds < 0 || seconds > 59 {
		return 0, errors.New("want MIN:SEC")
	}
	return float64(minutes) + float64(seconds)/60, nil
}

// holdForm holds a way back, lifts that, or ends it.
type holdForm struct {
	Action, Until, Why, Fault string
}

// stepRamp holds, lifts or ends the way back; a hold acts at once.
func (s *Server) stepRamp(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	terms, _, err := v.book.RampTerms(r.Context())
	if errors.Is(err, journal.ErrNotFound) && v.rights.Has(journal.RightPlan) {
		return &problem{http.StatusUnprocessableEntity, "No way back is planned.", nil}
	}
	if err != nil {
		return err
	}
	switch state := ramp.State(r.PostForm.Get("state")); {
	case state != "" || r.PostForm.Get("roof") == "":
		terms.State, terms.Until = state, 0
	case !terms.HeldOn(v.today): // a stage is confirmed, which lifts no hold
		terms.State, terms.Until = ramp.Running, 0
	}
	why, until := strings.TrimSpace(r.PostForm.Get("why")), strings.TrimSpace(r.PostForm.Get("until"))
	fault := ""
	if roof := strings.TrimSpace(r.PostForm.Get("roof")); !wholeNumbers([]string{roof}, &terms.Roof) || terms.Roof > ramp.MostRoof(len(terms.Ladder())) || terms.Roof < 0 {
		fault = "There is no such stage."
	}
	if terms.State == ramp.Held && until != "" {
		if terms.Until, err = load.ParseDay(until); err != nil || terms.Until < v.today {
			fault = "Hold it until today or later, or until it is lifted."
		}
	}
	switch {
	case terms.State != ramp.Running && terms.State != ramp.Held && terms.State != ramp.Ended:
		fault = "Say whether it goes on, is held or ended."
	case len(why) > maxWhy:
		fault = "The reason is longer than " + size(maxWhy) + "."
	}
	if fault == "" {
		switch err := v.book.SetRampAfter(r.Context(), seenOf(r), terms, why); {
		case errors.Is(err, journal.ErrStopped):
			fault = "A sign stops it. Until it is lifted nothing goes on; holding and ending are always possible."
		case err != nil:
			return err
		default:
			http.Redirect(w, r, v.link.Base()+"/ramp", http.StatusSeeOther)
			return nil
		}
	}
	if !v.rights.Has(journal.RightMedical) {
		return s.brake(w, r, v, http.StatusUnprocessableEntity, holdForm{Until: until, Why: why, Fault: fault})
	}
	out, err := v.rampPage(r.Context())
	if err != nil {
		return err
	}
	out.Hold.Until, out.Hold.Why, out.Hold.Fault = until, why, fault
	return s.render(w, http.StatusUnprocessableEntity, "ramp", out)
}

// addGate keeps what was found of whether running can begin.
func (s *Server) addGate(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	f := gateForm{Daily: get("daily"), Walk: get("walk"), Raises: get("raises"), Hops: get("hops"), LoadPain: get("load"), Settled: get("settled") == "yes"}
	g, ok := f.gate()
	g.Day = v.today
	fault := "These are whole numbers, or nothing where it was not tried."
	if ok {
		if err := g.Check(v.today); err != nil {
			fault = words.Sentenced(err.Error())
		} else if err := v.book.AddGate(r.Context(), g); err != nil {
			return err
		} else {
			http.Redirect(w, r, v.link.Base()+"/ramp", http.StatusSeeOther)
			return nil
		}
	}
	out, err := v.rampPage(r.Context())
	if err != nil {
		return err
	}
	f.Action, f.Bars, f.Found, f.Open, f.Jumps, f.Fault = out.Gate.Action, out.Gate.Bars, out.Gate.Found, out.Gate.Open, out.Gate.Jumps, fault
	out.Gate = f
	return s.render(w, http.StatusUnprocessableEntity, "ramp", out)
}

// gate reads what was typed; ok is false where it is no number.
func (f *gateForm) gate() (g ramp.Gate, ok bool) {
	g.WalkSettled, ok = f.Settled, true
	for _, n := range []struct {
		text string
		to   **int
	}{{f.Walk, &g.Walk}, {f.Raises, &g.Raises}, {f.Hops, &g.Hops}} {
		if n.text == "" {
			continue
		}
		v, err := strconv.Atoi(n.text)
		ok = ok && err == nil
		*n.to = &v
	}
	for _, s := range []struct {
		text string
		to   **rehab.Score
	}{{f.Daily, &g.DailyPain}, {f.LoadPain, &g.LoadPain}} {
		if s.text == "" {
			continue
		}
		v, err := strconv.ParseUint(s.text, 10, 8)
		ok = ok && err == nil
		score := rehab.Score(v)
		*s.to = &score
	}
	return g, ok
}
