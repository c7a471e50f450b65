package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// hurtsPage is what hurts and is followed, and a form that begins to follow something.
type hurtsPage struct {
	page
	Form       hurtForm
	Complaints []complaintLine
	Said       []settingChange
}

// hurtForm is a complaint as it was typed.
type hurtForm struct {
	Action                string
	Sites, Sides          []option
	Onset                 string
	Bone                  bool
	Pain, Stiffness, Note string
	Fault                 string
}

// complaintLine is one complaint.
type complaintLine struct {
	ID, Name, State string
	Since           load.Day
	Base            string
}

// sideNames are the sides as people say them.
var sideNames = []option{{string(rehab.Left), "left", false}, {string(rehab.Right), "right", false}, {"both", "both", false}}

func (s *Server) hurts(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.hurtsPage(r.Context())
	if err != nil {
		return err
	}
	return s.render(w, http.StatusOK, "hurts", out)
}

func (v *visit) hurtsPage(ctx context.Context) (out hurtsPage, err error) {
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return out, err
	}
	steps, err := v.book.ComplaintSteps(ctx)
	if err != nil {
		return out, err
	}
	out = hurtsPage{page: v.page("What hurts", "hurts"), Form: v.hurtForm("", "")}
	names := make(map[string]string)
	for i := range care.Records {
		r := &care.Records[i]
		names[r.Complaint.ID] = complaintName(&r.Complaint)
		if _, ok := r.Complaint.Status(v.today); ok {
			out.Complaints = append(out.Complaints, v.complaintLineOf(r))
		}
	}
	for _, s := range slices.Backward(steps) {
		out.Said = append(out.Said, v.stepSaid(&s, names[s.Complaint]))
	}
	return out, nil
}

var statusWords = map[rehab.Status]string{rehab.Open: "followed", rehab.HandedOver: "handed over to you", rehab.Closed: "ended"}

func (v *visit) complaintLineOf(r *rehab.Record) complaintLine {
	status, _ := r.Complaint.Status(v.today)
	line := complaintLine{ID: r.Complaint.ID, Name: complaintName(&r.Complaint), State: v.statusWords(status), Since: r.Complaint.Began(v.today)}
	if coming, ok := r.Complaint.Coming(v.today); ok {
		line.State += ", " + v.statusWords(coming.Status) + " from " + words.Day(coming.Day)
	}
	if base, ok := usualOf(r); ok {
		line.Base = baseWords(base)
	}
	return line
}

// usualOf is what is usual as of the last morning, before the first as it was typed; ok is
// false where nobody has said it yet.
func usualOf(r *rehab.Record) (base rehab.Baseline, ok bool) {
	if n := len(r.Mornings); n > 0 {
		return r.Mornings[n-1].Base, true
	}
	for _, b := range r.Complaint.Bases {
		if b.Pain != nil {
			base.Pain, ok = *b.Pain, true
		}
		if b.Stiffness != nil {
			base.Stiffness, base.HasStiffness, ok = *b.Stiffness, true, true
		}
	}
	return base, ok
}

func baseWords(b rehab.Baseline) string {
	text := fmt.Sprintf("usual in the morning: %g of 10", b.Pain)
	if b.HasStiffness {
		text += fmt.Sprintf(", %g min stiff", b.Stiffness)
	}
	return text
}

// complaintName is what hurts in a runner's words: left Achilles tendon.
func complaintName(c *rehab.Complaint) string { return title(c.Name()) }

func (v *visit) hurtForm(site, side string) hurtForm {
	f := hurtForm{Action: v.link.Base() + "/hurts", Onset: v.today.String()}
	for _, info := range rehab.Sites {
		f.Sites = append(f.Sites, option{string(info.Site), info.Name, string(info.Site) == site})
	}
	for _, o := range sideNames {
		o.Chosen = o.Value == side
		f.Sides = append(f.Sides, o)
	}
	return f
}

// openHurt begins to follow something.
func (s *Server) openHurt(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	form := v.hurtForm(get("site"), get("side"))
	form.Onset, form.Pain, form.Stiffness, form.Note, form.Bone = get("onset"), get("pain"), get("stiffness"), get("note"), get("bone") == "yes"
	c, sides, fault := form.complaint(get("site"), get("side"), v.today)
	if fault == "" {
		_, err := v.book.OpenComplaint(r.Context(), c, sides, form.Note)
		switch {
		case errors.Is(err, journal.ErrConflict):
			fault = "This is followed already: it stands below."
		case err != nil:
			return err
		default:
			http.Redirect(w, r, v.link.Base()+"/happened", http.StatusSeeOther)
			return nil
		}
	}
	out, err := v.hurtsPage(r.Context())
	if err != nil {
		return err
	}
	form.Fault = fault
	out.Form = form
	return s.render(w, http.StatusUnprocessableEntity, "hurts", out)
}

// complaint reads what was typed, or says what is wrong with it.
func (f *hurtForm) complaint(site, side string, today load.Day) (c rehab.Complaint, sides []rehab.Side, fault string) {
	sides = map[string][]rehab.Side{"left": {rehab.Left}, "right": {rehab.Right}, "both": {rehab.Left, rehab.Right}}[side]
	onset, err := load.ParseDay(f.Onset)
	switch {
	case err != nil:
		return c, nil, "Say when it began, about."
	case sides == nil:
		return c, nil, "Say on which side it is."
	case len(f.Note) > maxWhy:
		return c, nil, "The note is longer than " + size(maxWhy) + "."
	}
	c = rehab.Complaint{Site: rehab.Site(site), Onset: onset, Bone: f.Bone, Steps: []rehab.Step{{Day: today, Status: rehab.Open}}}
	pain, okPain := optionalNumber(f.Pain)
	stiffness, okStiff := optionalNumber(f.Stiffness)
	if !okPain || !okStiff {
		return c, nil, "What is usual in the morning is a number, or nothing: 1, or 2.5."
	}
	if pain != nil || stiffness != nil {
		c.Bases = []rehab.Base{{From: today, Pain: pain, Stiffness: stiffness}}
	}
	check := c
	check.Side = sides[0]
	if err := check.Check(); err != nil {
		return c, nil, title(err.Error()) + "."
	}
	return c, sides, ""
}

// optionalNumber reads a number, or nothing.
func optionalNumber(text string) (v *float64, ok bool) {
	if text == "" {
		return nil, true
	}
	n, err := parseNumber(text)
	return &n, err == nil
}
