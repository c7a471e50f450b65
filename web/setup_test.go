package web_test

import (
	"net/url"
	"strings"
	"testing"

	"tidemark/load/journal"
	"tidemark/load/rehab"
)

// bench is a form that sets up everything at once, changed by pairs; of a name that begins
// with a minus nothing is sent.
func bench(more ...string) url.Values {
	v := url.Values{
		"site": {"ach-mid"}, "side": {"left"}, "onset": {(today - 40).String()}, "pain": {"2"}, "stiffness": {"15"}, "note": {"since the hill run"}, "asked": {"yes"},
		"programme": {"ach-mid/combined"}, "started": {today.String()}, "way": {"now"}, "start": {today.String()}, "first": {"1"}, "free": {"1", "3", "5"}, "confirm": {"yes"},
		"reason": {"walks for 40 min"}, "phase": {"2"}, "stage": {"4"}, "until": {(today + 42).String()}, "next": {(today + 14).String()},
	}
	for i := 0; i < len(more); i += 2 {
		if name, ok := strings.CutPrefix(more[i], "-"); ok {
			v.Del(name)
			continue
		}
		v.Set(more[i], more[i+1])
	}
	return v
}

// TestSetUp: one press keeps all of it, and each part stands on its own page.
func TestSetUp(t *testing.T) {
	s := share(newSite(t))
	owner, ada := s.join("Owner"), s.join("Ada Brandt")
	s.let(owner, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	page := s.base() + "/set-up"
	wantIn(t, ada.sees("/caseload"), `href="`+page+`"`)
	wantIn(t, ada.sees(s.base()+"/hurts"), `href="`+page+`"`)
	wantIn(t, ada.sees(page), `value="ach-mid/combined" checked`, "Pain rule: Up to 5 of 10", "see a doctor the same day", "10 heel raises on that leg (not tried)", `name="until" value="`+(today+42).String()+`"`)
	w := owner.post(page, bench())
	wantStatus(t, "by who will be led", w, 422)
	wantIn(t, w.Body.String(), "A clinician is let in", `value="since the hill run"`)
	w = ada.post(page, bench())
	wantStatus(t, "all of it", w, 303)
	one := s.base() + "/hurts/ach-mid-left"
	if got := w.Header().Get("Location"); got != one+"?said=set-up" {
		t.Errorf("it leads to %q", got)
	}
	wantIn(t, ada.sees(one+"?said=set-up"), "<title>All of it is kept.", `role="status">All of it is kept.`, "Left Achilles tendon: week 1.", "it began on 24 March 2026", "Combined", "now phase 1", "stage 1",
		"Allowed in advance until 14 June 2026: the programme up to phase 2, the way back to running up to stage 4", "Next visit: 17 May 2026.")
	wantIn(t, ada.sees(s.base()+"/rehab"), "Combined", "allowed in advance until 14 June 2026")
	wantIn(t, ada.sees(s.base()+"/ramp"), "walks for 40 min", "(stage 1)", `name="confirm" value="yes" checked`)
	wantIn(t, ada.sees(s.base()+"/visit"), "Next visit: 17 May 2026.")
	wantIn(t, ada.sees(s.base()+"/happened"), "nothing new")
	care, err := s.book().Care(t.Context(), today)
	if err != nil || len(care.Records) != 1 || *care.Records[0].Complaint.Bases[0].Pain != 2 || *care.Records[0].Complaint.Bases[0].Stiffness != 15 || care.Ramp.Terms.Free != [7]bool{1: true, 3: true, 5: true} {
		t.Errorf("kept %+v, %v", care, err)
	}
	wantStatus(t, "by a clinician who was told so", owner.post(page, bench("site", "calf")), 403)
}

// TestSetUpWrong: what is wrong is said of its field, everything typed stays, and nothing is
// kept.
func TestSetUpWrong(t *testing.T) {
	s := newSite(t)
	page := s.base() + "/set-up"
	for _, bad := range []struct {
		name        string
		form        url.Values
		field, says string
	}{
		{"no side", bench("-side", ""), "side", "Say on which side"},
		{"no site", bench("site", "elbow"), "site", "Say where it hurts"},
		{"a day to come", bench("onset", (today + 1).String()), "onset", "has not come yet"},
		{"no day", bench("onset", "spring"), "onset", "Say when it began"},
		{"the year 1", bench("onset", "0001-01-01"), "onset", "30 years"},
		{"a long note", bench("note", strings.Repeat("x", 2001)), "note", "longer than 2 kB"},
		{"a score of 11", bench("pain", "11"), "pain", "want 0 to 10"},
		{"stiff for long", bench("stiffness", "much"), "stiffness", "is a number"},
		{"a sign that is none", bench("sign", "mood"), "asked", "There is no such sign"},
		{"signs not asked", bench("-asked", ""), "asked", "Ask about each"},
		{"another place's programme", bench("programme", "plantar/plantar-heavy"), "programme", "of another place"},
		{"a programme that is none", bench("programme", "ach-mid/x"), "programme", "of another place"},
		{"a site with none", bench("site", "shin"), "programme", "Nothing is listed here"},
		{"a programme for a bone", bench("bone", "yes"), "programme", "A bone hurts"},
		{"no first day", bench("started", ""), "started", "on which day"},
		{"a programme in two years", bench("started", "2028-01-01"), "started", "within a year"},
		{"a bone to run on", bench("bone", "yes", "programme", ""), "way", "A bone hurts"},
		{"a sign that stops the programme", bench("sign", "rupture"), "programme", "see a doctor the same day"},
		{"a sign that stops the way back", bench("sign", "rupture", "programme", ""), "way", "see a doctor the same day"},
		{"a way back that began", bench("start", (today - 1).String()), "start", "today or within a year"},
		{"no free day", bench("-free", ""), "free", "on which days"},
		{"a stage beyond the ladder", bench("first", "99"), "first", "from 1 to"},
		{"a sign for a clinician", bench("sign", "steroid"), "way", "no plan until who gave them"},
		{"a beginning by what was run", bench("first", ""), "first", "so say at which of them it begins"},
		{"a beginning above", bench("first", "5"), "first", "Stages up to 4 are allowed"},
		{"no reason", bench("reason", ""), "reason", "Not every bar"},
		{"an order without an end", bench("until", ""), "until", "until when"},
		{"an order until yesterday", bench("until", (today - 1).String()), "until", "has passed"},
		{"an order for years", bench("until", "2028-01-01"), "until", "366 days"},
		{"an order beyond the ladder", bench("stage", "60"), "stage", "The ladder has"},
		{"an order beyond the programme", bench("phase", "5"), "phase", "There are 4 phases"},
		{"an order of words", bench("phase", "all"), "phase", "whole number"},
		{"a visit today", bench("next", today.String()), "next", "after today"},
	} {
		w := s.post(page, bad.form)
		if w.Code != 422 {
			t.Fatalf("%s: status %d\n%s", bad.name, w.Code, w.Body)
		}
		text := w.Body.String()
		wantIn(t, text, `<a href="#`+bad.field+`">`, bad.says, `id="`+bad.field+`"`, `value="`+bad.form.Get("next")+`"`, `value="`+bad.form.Get("reason")+`"`)
		if site := bad.form.Get("site"); site != "elbow" && !strings.Contains(text, `<option value="`+site+`" selected>`) {
			t.Errorf("%s: the place that was chosen is not chosen any more", bad.name)
		}
		if !strings.Contains(text, `aria-describedby="fault"`) {
			t.Errorf("%s: no field is marked as wrong", bad.name)
		}
	}
	if b, err := s.journal.Open(t.Context(), journal.Local, s.runner.ID); err != nil {
		t.Fatal(err)
	} else if n, err := b.Changes(t.Context()); err != nil || n != 0 {
		t.Errorf("%d changes are kept of what was refused, %v", n, err)
	}
}

// TestSetUpSigns: a sign acts at once, and lets no way back begin: not one that is ticked, not
// one that stands.
func TestSetUpSigns(t *testing.T) {
	s := newSite(t)
	page := s.base() + "/set-up"
	w := s.post(page, bench("sign", "rupture", "way", "later"))
	if w.Code != 422 || !strings.Contains(w.Body.String(), "until it is lifted nothing is loaded") {
		t.Errorf("a programme with a sign that stops: %d", w.Code)
	}
	w = s.post(page, bench("sign", "rupture", "way", "later", "programme", ""))
	s.redirected(w, s.base()+"/happened?said=set-up")
	wantIn(t, s.get(s.base()+"/happened?said=set-up"), "All of it is kept. What stands here acts", "stop, see a doctor the same day", "It does not stand any more")
	wantIn(t, s.get(page), "since 3 May 2026", `<a href="`+s.base()+`/hurts/ach-mid-left">Left Achilles tendon</a>`)
	w = s.post(page, bench("site", "calf", "programme", ""))
	if w.Code != 422 || !strings.Contains(w.Body.String(), "no way back can be set") {
		t.Errorf("a way back while a sign stands: %d", w.Code)
	}
	if w := s.post(page, bench("way", "later", "programme", "")); w.Code != 422 || !strings.Contains(w.Body.String(), "is followed already") {
		t.Errorf("followed already: %d", w.Code)
	}
	s.redirected(s.post(page, bench("side", "right", "way", "later", "programme", "")), s.base()+"/hurts/ach-mid-right?said=set-up")
}

// TestSetUpBoth: both sides are two that are linked, each with what was set.
func TestSetUpBoth(t *testing.T) {
	s := newSite(t)
	w := s.post(s.base()+"/set-up", bench("side", "both", "site", "plantar", "programme", "plantar/plantar-heavy"))
	s.redirected(w, s.base()+"/hurts/plantar-left?said=set-up")
	b, err := s.journal.Open(t.Context(), journal.Local, s.runner.ID)
	if err != nil {
		t.Fatal(err)
	}
	care, err := b.Care(t.Context(), today)
	if err != nil || len(care.Open(today)) != 2 || !care.Records[0].Complaint.Pairs(&care.Records[1].Complaint) || len(care.Plan.Prescriptions) != 2 || len(care.Plan.Orders) != 2 {
		t.Errorf("kept %+v, %v", care, err)
	}
	for _, r := range care.Open(today) {
		if r.Complaint.Site != rehab.Plantar {
			t.Errorf("followed is %s", r.Complaint.ID)
		}
	}
	wantIn(t, s.get(s.base()+"/set-up"), "A way back stands already")
	second := bench("side", "left", "site", "calf", "programme", "calf/heavy-slow")
	if w := s.post(s.base()+"/set-up", second); w.Code != 422 || !strings.Contains(w.Body.String(), "A way back stands already, for everything") {
		t.Errorf("a second way back: %d", w.Code)
	}
}

// TestSetUpTwice: the second of two who set something up is told, with all that they typed.
func TestSetUpTwice(t *testing.T) {
	s := share(newSite(t))
	ada, bea := s.join("Ada Brandt"), s.join("Bea Lund")
	s.let(ada, journal.RoleClinician, false, false)
	s.let(bea, journal.RoleClinician, false, false)
	page := s.base() + "/set-up"
	wantIn(t, ada.sees(page), `name="seen" value="0"`)
	wantIn(t, bea.sees(page), `name="seen" value="0"`)
	wantStatus(t, "the first", ada.post(page, bench("seen", "0")), 303)
	second := bench("seen", "0", "site", "calf", "programme", "calf/combined", "way", "later")
	w := bea.post(page, second)
	wantStatus(t, "the second", w, 422)
	wantIn(t, w.Body.String(), "Somebody changed what is set meanwhile", `value="since the hill run"`, `name="seen" value="5"`, "Left Achilles tendon")
	second.Set("seen", "5")
	wantStatus(t, "the second again", bea.post(page, second), 303)
}
