package web_test

import (
	"strings"
	"testing"
	"time"

	"tidemark/load/journal"
)

// TestHandOver: from the day that was said the runner is in charge, and not before; it can be
// taken back, and what cannot be is said with what was typed.
func TestHandOver(t *testing.T) {
	s := share(climbing(t))
	nell, ada := s.join("Nell"), s.join("Ada Brandt")
	s.let(nell, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	one := s.base() + "/hurts/ach-mid-left"
	wantIn(t, ada.sees(one), "Left Achilles tendon: week 1.", "Nothing is allowed in advance.", "From today nobody is asked about its mornings", "Hand over to the runner")
	if strings.Contains(nell.sees(one), "Hand it over") {
		t.Error("the runner may hand over to themself")
	}
	for day, want := range map[string]string{(today - 1).String(): "has passed", (today + 367).String(): "more than a year", "soon": "Say from which day"} {
		w := ada.post(one, form("status", "handed-over", "day", day, "why", "going well"))
		wantStatus(t, day, w, 422)
		wantIn(t, w.Body.String(), want, `value="going well"`, `role="alert"`, `aria-invalid="true"`)
	}
	wantStatus(t, "no state", ada.post(one, form("status", "gone")), 422)
	wantStatus(t, "by the runner", nell.post(one, form("status", "closed")), 403)
	w := ada.post(one, form("status", "handed-over", "day", (today+3).String(), "why", "going well"))
	wantStatus(t, "in three days", w, 303)
	wantIn(t, ada.sees(w.Header().Get("Location")), "Handing over is kept.", "From Wednesday 6 May 2026 the runner is in charge.", "Do not hand it over on", "Handed over to the runner from 6 May 2026, going well")
	wantIn(t, nell.sees(one), "From Wednesday 6 May 2026 you are in charge.")
	wantIn(t, ada.sees(s.base()+"/hurts"), "followed, handed over to the runner from 6 May 2026")
	wantStatus(t, "the runner sets it before the day", nell.post(s.base()+"/ramp", everyDay()), 403)
	s.now = noon.Add(3 * 24 * time.Hour)
	wantIn(t, nell.sees(one), "Left Achilles tendon: handed over to you.", "The limits stay as they are.")
	wantIn(t, nell.sees(s.base()), "Left Achilles tendon: how were the first steps this morning?", "no run has settled yet: 10 min of running")
	wantStatus(t, "the runner sets it on the day", nell.post(s.base()+"/ramp", everyDay("start", (today+3).String())), 303)
	wantStatus(t, "taken back", ada.post(one, form("status", "open")), 303)
	wantStatus(t, "the runner sets it after that", nell.post(s.base()+"/ramp", everyDay("start", (today+3).String(), "first", "2")), 403)
}

// TestEndAndFollowAgain: a slip is taken back on the same day, a relapse within six months
// goes on with what was set, and later it is another one.
func TestEndAndFollowAgain(t *testing.T) {
	s := share(climbing(t))
	nell, ada := s.join("Nell"), s.join("Ada Brandt")
	s.let(nell, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	one := s.base() + "/hurts/ach-mid-left"
	wantStatus(t, "a programme", ada.post(s.base()+"/rehab/ach-mid-left/prescribe", form("programme", "combined", "started", today.String())), 303)
	w := ada.post(one, form("status", "closed", "why", "quiet for a month"))
	wantStatus(t, "ended", w, 303)
	wantIn(t, ada.sees(w.Header().Get("Location")), "It is ended. If that was a slip", "ended on 3 May 2026", `name="onset" value="2026-04-03"`, "Ended on 3 May 2026, quiet for a month")
	wantIn(t, ada.sees(s.base()+"/set-up"), "Ended less than six months ago: <a href=\""+one+"\">Left Achilles tendon</a>. Set up again, it goes on")
	w = ada.post(one, form("status", "closed", "why", "again"))
	wantStatus(t, "ended twice", w, 409)
	wantIn(t, w.Body.String(), "is so already")
	wantStatus(t, "followed again", nell.post(one+"/again", form("onset", "2026-04-03")), 303)
	wantIn(t, nell.sees(one), "Left Achilles tendon: week 1.", "Combined", "it began on 3 April 2026")
	wantStatus(t, "followed twice", nell.post(one+"/again", form("onset", "2026-04-03")), 409)

	wantStatus(t, "ended again", ada.post(one, form("status", "closed")), 303)
	s.now = noon.AddDate(0, 0, 183)
	nell.post("/sign-in", signing("Nell", goodPassword))
	for onset, want := range map[string]string{(today + 184).String(): "today or before", "2026-04-02": "after it first did", "x": "Say when"} {
		w := nell.post(one+"/again", form("onset", onset, "why", "the hill"))
		wantStatus(t, onset, w, 422)
		wantIn(t, w.Body.String(), want, `value="the hill"`)
	}
	s.now = noon.AddDate(0, 0, 184)
	ada.post("/sign-in", signing("Ada Brandt", goodPassword))
	wantIn(t, ada.sees(one), "followed as another one", s.base()+"/set-up?site=ach-mid&amp;side=left")
	wantIn(t, ada.sees(s.base()+"/set-up?site=ach-mid&side=left"), `value="left" required checked`)
	w = nell.post(one+"/again", form("onset", (today+180).String()))
	wantStatus(t, "after six months", w, 422)
	wantIn(t, w.Body.String(), "more than six months ago")
	wantStatus(t, "nothing of that name", nell.post(s.base()+"/hurts/calf-left/again", form("onset", "2026-04-03")), 404)
	wantStatus(t, "the page of nothing", nell.get(s.base()+"/hurts/calf-left"), 404)
}

// TestUsual: what is usual is said from a day on, by whoever is in charge; the second of two is
// told.
func TestUsual(t *testing.T) {
	s := climbing(t)
	one := s.base() + "/hurts/ach-mid-left"
	s.post(s.base()+"/mornings", form("complaint", "ach-mid-left", "day", today.String(), "next", "4", "stiffness", "5"))
	wantIn(t, s.get(one), "1 morning flared, the last on 3 May 2026.", "Usual in the morning: 1 of 10")
	for _, bad := range [][]string{{"from", "x", "from which day"}, {"from", (today + 1).String(), "from which day"}, {"pain", "12", "want 0 to 10"}, {"stiffness", "long", "is a number"}, {"pain", "", "Say a score"}} {
		w := s.post(one+"/usual", changed(form("from", today.String(), "pain", "3"), bad[0], bad[1]))
		if w.Code != 422 || !strings.Contains(w.Body.String(), bad[2]) {
			t.Errorf("%v: %d", bad, w.Code)
		}
	}
	w := s.post(one+"/usual", form("from", today.String(), "pain", "3", "seen", "1"))
	wantStatus(t, "by who saw less", w, 409)
	wantIn(t, w.Body.String(), "changed meanwhile", `name="pain" inputmode="decimal" autocomplete="off" size="5" value="3"`)
	s.redirected(s.post(one+"/usual", form("from", today.String(), "pain", "3", "seen", "2")), one+"?said=usual")
	wantIn(t, s.get(one+"?said=usual"), "What is usual is kept.", "Usual in the morning: 3 of 10", "No morning flared.")
	w = s.post(one, form("status", "closed", "seen", "2", "why", "quiet"))
	wantStatus(t, "ended by who saw less", w, 409)
	wantIn(t, w.Body.String(), "changed meanwhile", `value="quiet"`)

	s.post(s.base()+"/tests", form("test", "knee-to-wall", "day", today.String(), "left", "9", "right", "10"))
	wantIn(t, s.get(one), "left 9, right 10 cm on 3 May 2026.")
}

// changed is a form with another value.
func changed(v map[string][]string, name, value string) map[string][]string {
	v[name] = []string{value}
	return v
}
