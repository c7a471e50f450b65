package web

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"tidemark/load/assess"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// routinePage builds a routine of one's own from the catalogue, easiest first.
type routinePage struct {
	page
	Action, Back, Hurts string
	Name, MostPain, Why string
	Rows                []routineRow
	Fault               string
	Unusual             []string // what is asked about
	Left                []string // what this site must not do
}

// routineRow is one exercise, with how much of it as typed.
type routineRow struct {
	ID, Name, Muscle, Usual                              string
	Band                                                 int
	Sets, Reps, Hold, Minutes, Weight, PerDay, DaysAWeek string
}

// Chosen reports whether something was typed into the row.
func (r routineRow) Chosen() bool { return r.Sets+r.Reps+r.Hold+r.Minutes != "" }

// routine shows the catalogue, filled with what is done now.
func (s *Server) routine(w http.ResponseWriter, r *http.Request, v *visit) error {
	care, err := v.book.Care(r.Context(), v.today)
	if err != nil {
		return err
	}
	out, err := v.routinePage(care, r.PathValue("complaint"))
	if err != nil {
		return err
	}
	course, ok := courseOf(care, r.PathValue("complaint"), v.today)
	out.MostPain = "5"
	if ok {
		out.MostPain = strconv.Itoa(course.Programme.MostPain)
		for _, d := range course.Doses() {
			out.fill(&d)
		}
	}
	return s.render(w, http.StatusOK, "routine", out)
}

// routinePage is the empty catalogue for what hurts.
func (v *visit) routinePage(care *assess.Care, complaint string) (out routinePage, err error) {
	base := v.link.Base() + "/rehab"
	for _, r := range care.Open(v.today) {
		if r.Complaint.ID != complaint {
			continue
		}
		out = routinePage{page: v.page("A routine of your own", "rehab"), Action: base + "/" + complaint + "/routine", Back: base + "#" + complaint, Hurts: lowered(complaintName(&r.Complaint))}
		catalogue := slices.Clone(rehab.Catalogue)
		slices.SortStableFunc(catalogue, func(a, b rehab.Exercise) int { return cmp.Compare(a.Band, b.Band) })
		for _, e := range catalogue {
			if r.Complaint.Site == rehab.AchillesIns && !e.Insertion {
				out.Left = append(out.Left, e.Name)
				continue
			}
			out.Rows = append(out.Rows, routineRow{ID: e.ID, Name: title(e.Name), Muscle: muscleWords[e.Muscle], Usual: e.Usual, Band: e.Band})
		}
		return out, nil
	}
	return out, &problem{http.StatusNotFound, "Nothing of that name is followed.", nil}
}

// fill puts a dose into its row.
func (p *routinePage) fill(d *rehab.Dose) {
	text := func(n int) string {
		if n == 0 {
			return ""
		}
		return strconv.Itoa(n)
	}
	for i := range p.Rows {
		row := &p.Rows[i]
		if row.ID != d.Exercise {
			continue
		}
		row.Sets, row.Reps, row.Hold, row.Minutes = text(d.Sets), text(d.Reps), text(d.Hold), text(d.Minutes)
		row.PerDay, row.DaysAWeek = text(d.PerDay), text(d.DaysPerWeek)
		if d.Weight > 0 {
			row.Weight = strconv.FormatFloat(d.Weight, 'g', -1, 64)
		}
	}
}

// buildRoutine keeps a routine and sets it from today.
func (s *Server) buildRoutine(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	care, err := v.book.Care(r.Context(), v.today)
	if err != nil {
		return err
	}
	id := r.PathValue("complaint")
	out, err := v.routinePage(care, id)
	if err != nil {
		return err
	}
	doses := out.read(func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) })
	record := care.Open(v.today)[slices.IndexFunc(care.Open(v.today), func(r *rehab.Record) bool { return r.Complaint.ID == id })]
	mostPain, err := strconv.Atoi(out.MostPain)
	if err != nil && out.Fault == "" {
		out.Fault = "How much it may hurt in a set is a whole number from 0 to 10."
	}
	if _, err := rehab.Routine("own", out.Name, record.Complaint.Site, mostPain, doses); err != nil && out.Fault == "" {
		out.Fault = words.Sentenced(err.Error())
	}
	if out.Fault == "" && r.PostForm.Get("keep") != "yes" {
		for i := range doses {
			if said := doses[i].Unusual(); said != "" {
				out.Unusual = append(out.Unusual, words.Sentenced(said))
			}
		}
	}
	if out.Fault != "" || len(out.Unusual) > 0 {
		return s.render(w, http.StatusUnprocessableEntity, "routine", out)
	}
	routine, err := v.book.BuildRoutine(r.Context(), out.Name, record.Complaint.Site, mostPain, doses)
	if err != nil {
		return err
	}
	p := rehab.Prescription{Complaint: id, Programme: routine, Started: v.today, State: rehab.Running, From: v.today}
	if err := v.book.Prescribe(r.Context(), p, out.Why); err != nil {
		return err
	}
	http.Redirect(w, r, out.Back, http.StatusSeeOther)
	return nil
}

// read takes what was typed into the page and returns the doses of the rows that say how
// much.
func (p *routinePage) read(get func(string) string) (doses []rehab.Dose) {
	p.Name, p.MostPain, p.Why = get("name"), get("pain"), get("why")
	for i := range p.Rows {
		row := &p.Rows[i]
		for field, to := range map[string]*string{"sets": &row.Sets, "reps": &row.Reps, "hold": &row.Hold, "min": &row.Minutes, "kg": &row.Weight, "day": &row.PerDay, "week": &row.DaysAWeek} {
			*to = get(field + "-" + row.ID)
		}
		if !row.Chosen() {
			continue
		}
		d := rehab.Dose{Exercise: row.ID, PerDay: 1, DaysPerWeek: 7}
		if !wholeNumbers([]string{row.Sets, row.Reps, row.Hold, row.Minutes, row.PerDay, row.DaysAWeek}, &d.Sets, &d.Reps, &d.Hold, &d.Minutes, &d.PerDay, &d.DaysPerWeek) {
			p.Fault = row.Name + ": sets, repetitions, seconds, minutes, times and days are whole numbers, or nothing."
		}
		weight, ok := optionalNumber(row.Weight)
		if !ok {
			p.Fault = row.Name + ": the weight is a number of kilograms, or nothing."
		} else if weight != nil {
			d.Weight = *weight
		}
		doses = append(doses, d)
	}
	return doses
}
