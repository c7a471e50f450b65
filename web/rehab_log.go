package web

import (
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

// todayList is what a programme holds today, ticked off as set with one tap.
type todayList struct {
	Action, Name, More, Back string
	Day                      load.Day
	Doses                    []dueLine
	Left                     int  // exercises
	May                      bool // be ticked off by who looks
	Easy                     bool
	PainRule                 string
	Values                   []int
}

// dueLine is an exercise of today.
type dueLine struct {
	Exercise, Name, Muscle, Amount string
	Times                          string // how many of how many were done
	Left                           int
	AfterRun                       bool
}

// heavyBand is the band from which an exercise comes after a run of the same day (rehab
// reference 5.2 C9).
const heavyBand = 4

// todayList returns what is due of a complaint's programme; nil: nothing is set, or it is
// paused.
func (v *visit) todayList(care *assess.Care, r *rehab.Record, back string) *todayList {
	course, ok := care.Plan.CourseOn(r, care.Grown, v.today)
	if !ok || course.Phase() == 0 || care.Stopping(v.today) != nil {
		return nil
	}
	base := v.link.Base() + "/rehab"
	list := todayList{
		Action: base + "/" + r.Complaint.ID + "/log", Name: complaintName(&r.Complaint), More: base + "#" + r.Complaint.ID, Back: back, May: v.rights.Has(journal.RightRecord),
		Day: v.today, Easy: course.Flared, PainRule: course.Programme.PainRule, Values: scoreValues,
	}
	for _, d := range course.DueOn(care.Plan.Of(r.Complaint.ID)) {
		line := dueLine{
			Exercise: d.Exercise, Name: title(d.Info.Name), Muscle: muscleWords[d.Info.Muscle], Amount: words.Dose(&d.Dose), Left: d.Left(),
			AfterRun: d.Info.Band >= heavyBand || d.RM > 0,
		}
		if d.PerDay > 1 || d.Left() == 0 {
			line.Times = strconv.Itoa(d.Done) + " of " + strconv.Itoa(d.PerDay) + " done"
		}
		if d.Left() > 0 {
			list.Left++
		}
		list.Doses = append(list.Doses, line)
	}
	return &list
}

// entryForm is something that was done, as it was typed.
type entryForm struct {
	Action                                             string
	Exercises                                          []option
	Day, Sets, Reps, Hold, Minutes, Weight, Pain, Note string
	Fault                                              string
	Unusual                                            string // what is asked about
}

func (v *visit) entryForm(action string) entryForm {
	f := entryForm{Action: action, Day: v.today.String()}
	for _, e := range rehab.Catalogue {
		f.Exercises = append(f.Exercises, option{e.ID, e.Name, false})
	}
	return f
}

// logDone keeps what was done: all that is left of today as set, or one exercise as typed.
func (s *Server) logDone(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	if r.PostForm.Has("exercise") {
		return s.logTyped(w, r, v)
	}
	pain, err := strconv.ParseUint(r.PostForm.Get("pain"), 10, 8)
	if err != nil || pain > rehab.MaxScore {
		return &problem{http.StatusUnprocessableEntity, "The worst pain in it is a whole number from 0 to 10.", err}
	}
	care, err := v.book.Care(r.Context(), v.today)
	if err != nil {
		return err
	}
	done, err := v.asSet(care, r.PathValue("complaint"), rehab.Score(pain), r.PostForm["only"])
	if err != nil {
		return err
	}
	if err := v.book.LogDone(r.Context(), done); err != nil {
		return err
	}
	to := v.link.Base()
	if r.PostForm.Get("back") != "today" {
		to += "/rehab"
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// asSet is one time of each exercise that is left today, as it was set; of only some if they
// are named.
func (v *visit) asSet(care *assess.Care, complaint string, pain rehab.Score, only []string) (done []rehab.Done, err error) {
	for _, r := range care.Open(v.today) {
		course, ok := care.Plan.CourseOn(r, care.Grown, v.today)
		if r.Complaint.ID != complaint || !ok {
			continue
		}
		for _, d := range course.DueOn(care.Plan.Of(complaint)) {
			if d.Left() == 0 || len(only) > 0 && !slices.Contains(only, d.Exercise) {
				continue
			}
			done = append(done, rehab.Done{
				Complaint: complaint, Day: v.today, Exercise: d.Exercise, Sets: d.Sets, Reps: d.Reps, Hold: d.Hold, Minutes: d.Minutes, Weight: d.Weight, Pain: &pain,
			})
		}
		return done, nil
	}
	return nil, &problem{http.StatusNotFound, "No programme is set for this.", nil}
}

// logTyped keeps one exercise as it was typed. What is unusual is asked about first.
func (s *Server) logTyped(w http.ResponseWriter, r *http.Request, v *visit) error {
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	id := r.PathValue("complaint")
	form := v.entryForm(r.URL.Path)
	form.Day, form.Sets, form.Reps, form.Hold, form.Minutes = get("day"), get("sets"), get("reps"), get("hold"), get("minutes")
	form.Weight, form.Pain, form.Note = get("weight"), get("pain"), get("note")
	for i := range form.Exercises {
		form.Exercises[i].Chosen = form.Exercises[i].Value == get("exercise")
	}
	done, fault := form.done(id, get("exercise"), v.today)
	if said := done.Unusual(); fault == "" && said != "" && get("keep") != "yes" {
		form.Unusual = words.Sentenced(said)
	}
	if fault == "" && form.Unusual == "" {
		if err := v.book.LogDone(r.Context(), []rehab.Done{done}); err != nil {
			return err
		}
		http.Redirect(w, r, v.link.Base()+"/rehab", http.StatusSeeOther)
		return nil
	}
	form.Fault = fault
	return s.showRehab(w, r, v, id, func(p *rehabPart) { p.Entry = form })
}

// showRehab shows the page again with what was typed of a complaint.
func (s *Server) showRehab(w http.ResponseWriter, r *http.Request, v *visit, complaint string, typed func(*rehabPart)) error {
	out, err := v.rehabPage(r.Context())
	if err != nil {
		return err
	}
	found := false
	for i := range out.Complaints {
		if p := &out.Complaints[i]; p.ID == complaint {
			typed(p)
			found = true
		}
	}
	if !found {
		return &problem{http.StatusNotFound, "Nothing of that name is followed.", nil}
	}
	return s.render(w, http.StatusUnprocessableEntity, "rehab", out)
}

// done reads what was typed, or says what is wrong with it.
func (f *entryForm) done(complaint, exercise string, today load.Day) (d rehab.Done, fault string) {
	day, err := load.ParseDay(f.Day)
	if err != nil {
		return d, "Say on which day it was."
	}
	if len(f.Note) > maxWhy {
		return d, "The note is longer than " + size(maxWhy) + "."
	}
	d = rehab.Done{Complaint: complaint, Day: day, Exercise: exercise, Note: f.Note}
	if !wholeNumbers([]string{f.Sets, f.Reps, f.Hold, f.Minutes}, &d.Sets, &d.Reps, &d.Hold, &d.Minutes) {
		return d, "Sets, repetitions, seconds and minutes are whole numbers, or nothing."
	}
	if weight, ok := optionalNumber(f.Weight); !ok {
		return d, "The weight is a number of kilograms, or nothing."
	} else if weight != nil {
		d.Weight = *weight
	}
	if f.Pain != "" {
		n, err := strconv.ParseUint(f.Pain, 10, 8)
		if err != nil {
			return d, "The worst pain in it is a whole number from 0 to 10, or nothing."
		}
		pain := rehab.Score(n)
		d.Pain = &pain
	}
	if d.Reps == 0 && d.Hold == 0 && d.Minutes == 0 {
		return d, "Say how much it was: repetitions, seconds or minutes."
	}
	if err := d.Check(today); err != nil {
		return d, words.Sentenced(err.Error())
	}
	return d, ""
}

// wholeNumbers reads numbers, or nothing, into targets.
func wholeNumbers(texts []string, to ...*int) bool {
	for i, text := range texts {
		if text == "" {
			continue
		}
		n, err := strconv.Atoi(text)
		if err != nil {
			return false
		}
		*to[i] = n
	}
	return true
}
