package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// prescribeForm sets a programme, or another one.
type prescribeForm struct {
	Action, Build string
	Programmes    []programmeOption
	Started, Why  string
	Fault         string
}

// programmeOption is one programme with what it says of itself.
type programmeOption struct {
	option
	PainRule, Result, Source, Status string
}

func (v *visit) prescribeForm(care *assess.Care, r *rehab.Record, chosen string) prescribeForm {
	base := v.link.Base() + "/rehab/" + r.Complaint.ID
	f := prescribeForm{Action: base + "/prescribe", Build: base + "/routine", Started: v.today.String()}
	for _, p := range (rehab.Library{Own: care.Plan.Own}).For(r.Complaint.Site) {
		f.Programmes = append(f.Programmes, programmeOption{option{p.ID, p.Name, p.ID == chosen}, title(p.PainRule), title(p.Result), p.Source, p.Status})
	}
	return f
}

// prescribe sets a programme, moves it to a phase, pauses it or ends it.
func (s *Server) prescribe(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	id := r.PathValue("complaint")
	care, err := v.book.Care(r.Context(), v.today)
	if err != nil {
		return err
	}
	now, stands := courseOf(care, id, v.today)
	p, fault := prescription(get, id, now, stands, v.today)
	if fault == "" && len(get("why")) > maxWhy {
		fault = "The reason is longer than " + size(maxWhy) + "."
	}
	if fault == "" {
		if err := v.book.PrescribeAfter(r.Context(), seenOf(r), p, get("why")); err != nil {
			return err
		}
		http.Redirect(w, r, v.link.Base()+"/rehab#"+id, http.StatusSeeOther)
		return nil
	}
	return s.showRehab(w, r, v, id, func(part *rehabPart) {
		part.Form.Fault, part.Form.Started, part.Form.Why = fault, get("started"), get("why")
		for i := range part.Form.Programmes {
			part.Form.Programmes[i].Chosen = part.Form.Programmes[i].Value == get("programme")
		}
	})
}

// courseOf is what stands for a complaint on a day.
func courseOf(care *assess.Care, complaint string, day load.Day) (c rehab.Course, ok bool) {
	for i := range care.Records {
		if r := &care.Records[i]; r.Complaint.ID == complaint {
			return care.Plan.CourseOn(r, care.Grown, day)
		}
	}
	return c, false
}

// prescription reads what was asked for: another programme, or of the one that stands
// another phase or state.
func prescription(get func(string) string, complaint string, now rehab.Course, stands bool, today load.Day) (p rehab.Prescription, fault string) {
	if programme := get("programme"); programme != "" {
		started, err := load.ParseDay(get("started"))
		if err != nil {
			return p, "Say on which day it begins."
		}
		if started > today+365 || started < today-3650 {
			return p, "It begins within a year, or began within the last ten."
		}
		return rehab.Prescription{Complaint: complaint, Programme: programme, Started: started, State: rehab.Running, From: max(today, started)}, ""
	}
	if !stands {
		return p, "No programme is set for this yet."
	}
	p = now.Prescription
	p.From = max(today, p.Started)
	if phase := get("phase"); phase != "" {
		n, err := strconv.Atoi(phase)
		if err != nil || n < 1 || n > len(now.Programme.Phases) {
			return p, fmt.Sprintf("There are %d phases.", len(now.Programme.Phases))
		}
		p.Phase, p.State = n, rehab.Running
		return p, ""
	}
	switch state := rehab.PlanState(get("state")); state {
	case rehab.Running, rehab.Paused, rehab.Ended:
		p.State = state
		if n := now.Phase(); n > 0 && p.Phase > 0 {
			p.Phase = n
		}
		return p, ""
	}
	return p, "Say whether it is done, paused or ended."
}

// orderForm is what is allowed in advance.
type orderForm struct {
	Action, Stands, Phase, Stage, Until string
	Fault                               string
	Seen                                int // how many were given
}

func orderFormOf(care *assess.Care, complaint, action string, today load.Day) orderForm {
	f := orderForm{Action: action}
	for _, o := range care.Plan.Orders {
		if o.Complaint == complaint {
			f.Seen++
			f.Stands, f.Phase, f.Stage, f.Until = orderStands(&o, today), strconv.Itoa(o.Phase), strconv.Itoa(o.Stage), o.Until.String()
		}
	}
	return f
}

// orderWords say what a standing order allows.
func orderWords(o *rehab.Order) string {
	var parts []string
	if o.Phase > 0 {
		parts = append(parts, fmt.Sprintf("the programme up to phase %d", o.Phase))
	}
	if o.Stage > 0 {
		parts = append(parts, fmt.Sprintf("the way back to running up to stage %d", o.Stage))
	}
	if len(parts) == 0 {
		return "nothing is allowed in advance"
	}
	return "allowed in advance until " + words.Day(o.Until) + ": " + strings.Join(parts, ", ")
}

// giveOrder keeps what is allowed in advance.
func (s *Server) giveOrder(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	o, wrong := readOrder(get("phase"), get("stage"), get("until"), v.today)
	o.Complaint = r.PathValue("complaint")
	fault := wrong.Text
	if fault == "" {
		err := v.book.GiveOrderAfter(r.Context(), seenOf(r), o)
		if refused, ok := errors.AsType[*journal.OrderError](err); ok {
			fault = words.Sentenced(refused.Text)
		} else if err != nil {
			return err
		} else {
			http.Redirect(w, r, v.link.Base()+"/rehab#"+o.Complaint, http.StatusSeeOther)
			return nil
		}
	}
	return s.showRehab(w, r, v, o.Complaint, func(p *rehabPart) {
		p.Order.Fault, p.Order.Phase, p.Order.Stage, p.Order.Until = fault, get("phase"), get("stage"), get("until")
	})
}

// awayForm tells days on which nobody asks.
type awayForm struct {
	Action, From, To string
	Reason           string
	Fault            string
}

// sayAway keeps days on which nobody asks for a programme.
func (s *Server) sayAway(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	form := awayForm{Action: r.URL.Path, From: strings.TrimSpace(r.PostForm.Get("from")), To: strings.TrimSpace(r.PostForm.Get("to")), Reason: r.PostForm.Get("reason")}
	first, err := load.ParseDay(form.From)
	last, err2 := load.ParseDay(form.To)
	days, reason := load.DaySpan{First: first, Last: last}, journal.AwayReason(form.Reason)
	if err != nil || err2 != nil {
		form.Fault = "Say from which day to which."
	} else if err := journal.CheckAway(days, reason); err != nil {
		form.Fault = words.Sentenced(err.Error())
	}
	if form.Fault == "" {
		if err := v.book.SayAway(r.Context(), days, reason); err != nil {
			return err
		}
		http.Redirect(w, r, v.link.Base()+"/rehab", http.StatusSeeOther)
		return nil
	}
	out, err := v.rehabPage(r.Context())
	if err != nil {
		return err
	}
	out.Away = form
	return s.render(w, http.StatusUnprocessableEntity, "rehab", out)
}
