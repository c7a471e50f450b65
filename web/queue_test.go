package web_test

import (
	"fmt"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"tidemark/load/journal"
)

// waiting is the hidden field by which the form of a kind of line is told from others.
func waiting(t *testing.T, page, kind string) string {
	t.Helper()
	m := regexp.MustCompile(`name="what" value="([^"]*-` + kind + `-[^"]*)"`).FindStringSubmatch(page)
	if m == nil {
		t.Fatalf("nothing of the kind %s waits:\n%s", kind, page)
	}
	return m[1]
}

// confirming is a way back that waits for a clinician, Ada Brandt, after runs that settled.
func confirming(t *testing.T) (s *shared, owner, ada *visitor) {
	t.Helper()
	s = share(climbing(t))
	owner, ada = s.join("Owner"), s.join("Ada Brandt")
	s.let(owner, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	wantStatus(t, "a plan that waits", ada.post(s.base()+"/ramp", everyDay("confirm", "yes", "first", "1")), 303)
	for n := 0; n < 20; n++ {
		s.now = noon.AddDate(0, 0, n)
		day := today.Noon().AddDate(0, 0, n).Format("2006-01-02")
		owner.post(s.base()+"/mornings", form("complaint", "ach-mid-left", "day", day, "next", "1", "stiffness", "5", "during", "1", "after", "1"))
		if n%3 == 0 {
			up := s.uploading([2]string{"run.csv", "date,kind,duration_min,run_min\n" + day + ",run,25,10\n"})
			wantStatus(t, "a run", owner.do(up), 200)
		}
	}
	return s, owner, ada
}

// answers sends an answer from the list, which leads back to it.
func (v *visitor) answers(base, said string, form url.Values) {
	v.t.Helper()
	w := v.post(base+"/answer", form)
	if got := w.Header().Get("Location"); w.Code != 303 || got != "/caseload?said="+said {
		v.t.Errorf("%v: %d to %q\n%.2000s", form, w.Code, got, w.Body)
	}
}

// TestConfirmInPlace: a stage that waits is confirmed from the list, once; the second to do it
// is told.
func TestConfirmInPlace(t *testing.T) {
	s, owner, ada := confirming(t)
	page := ada.sees("/caseload")
	wantIn(t, page, "of the way back", "Stage 2 may begin", "And allow more in advance")
	what := waiting(t, page, "stage")
	wantStatus(t, "by the runner", owner.post(s.base()+"/answer", form("what", what)), 404)
	ada.answers(s.base(), "stage", form("what", what))
	page = ada.sees("/caseload?said=stage")
	wantIn(t, page, `role="status">The stage is confirmed.`, "<title>The stage is confirmed.")
	if strings.Contains(page, "Stage 2 may begin") {
		t.Error("what was confirmed waits on")
	}
	w := ada.post(s.base()+"/answer", form("what", what))
	wantStatus(t, "the second time", w, 409)
	wantIn(t, w.Body.String(), "Somebody answered this first", `role="alert"`)
}

// TestConfirmAndAllow: more is allowed in advance with the answer, and what cannot be is said
// in its line with what was typed.
func TestConfirmAndAllow(t *testing.T) {
	s, _, ada := confirming(t)
	what := waiting(t, ada.sees("/caseload"), "stage")
	now := today + 19
	for want, bad := range map[string][2]string{"does not reach stage 2": {"1", (now + 9).String()}, "has passed": {"4", (now - 1).String()}, "the ladder has": {"60", (now + 9).String()}, "Say until when": {"4", ""}} {
		w := ada.post(s.base()+"/answer", form("what", what, "do", "order", "orders", "0", "stage", bad[0], "until", bad[1]))
		wantStatus(t, want, w, 422)
		wantIn(t, w.Body.String(), "Nell Ashby: ", want, `<details class="close" open>`, `name="stage" inputmode="numeric" autocomplete="off" size="3" value="`+bad[0]+`"`)
	}
	wantStatus(t, "a sign", ada.post(s.base()+"/happened", form("flag", "rupture", "do", "raise")), 303)
	if page := ada.sees("/caseload"); strings.Contains(page, "-stage-") {
		w := ada.post(s.base()+"/answer", form("what", what))
		wantStatus(t, "while a sign stands", w, 422)
		wantIn(t, w.Body.String(), "until it is lifted nothing can be set")
	}
	wantStatus(t, "lifted", ada.post(s.base()+"/happened", form("flag", "rupture", "do", "lift", "why", "seen")), 303)
	bea := s.join("Bea Lund")
	s.let(bea, journal.RoleClinician, false, false)
	wantStatus(t, "another's order", bea.post(s.base()+"/rehab/ach-mid-left/order", form("stage", "1", "until", (now+9).String())), 303)
	order := form("what", what, "do", "order", "orders", "0", "stage", "4", "until", (now + 9).String())
	w := ada.post(s.base()+"/answer", order)
	wantStatus(t, "from a page that shows none", w, 409)
	wantIn(t, w.Body.String(), "Nothing was kept of your answer")
	wantIn(t, ada.sees("/orders"), "up to stage 1")
	order.Set("orders", "1")
	ada.answers(s.base(), "order", order)
	wantIn(t, ada.sees("/orders"), "Allowed in advance until 31 May 2026: the way back to running up to stage 4")
	if strings.Contains(ada.sees("/caseload"), "Stage 2 may begin") {
		t.Error("what was confirmed waits on")
	}
}

// phased is somebody whose second phase waits for a clinician.
func phased(t *testing.T) (s *shared, ada *visitor) {
	t.Helper()
	s = share(climbing(t))
	owner := s.join("Owner")
	ada = s.join("Ada Brandt")
	s.let(owner, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	wantStatus(t, "a programme", ada.post(s.base()+"/rehab/ach-mid-left/prescribe", form("programme", "combined", "started", today.String())), 303)
	wantStatus(t, "its first phase", ada.post(s.base()+"/rehab/ach-mid-left/prescribe", form("phase", "1")), 303)
	for n := range 5 {
		s.now = noon.AddDate(0, 0, n)
		owner.post(s.base()+"/mornings", form("complaint", "ach-mid-left", "day", today.Noon().AddDate(0, 0, n).Format("2006-01-02"), "next", "1", "stiffness", "5"))
		owner.post(s.base()+"/rehab/ach-mid-left/log", form("pain", "1"))
	}
	return s, ada
}

// TestFlareAfterNotes: notes of a visit answer a flare that was said before them, and none that
// comes after, also on the same day.
func TestFlareAfterNotes(t *testing.T) {
	s := share(climbing(t))
	owner, ada := s.join("Owner"), s.join("Ada Brandt")
	s.let(owner, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	note := func(text string) {
		s.now = s.now.Add(time.Hour)
		wantStatus(t, text, ada.post(s.base()+"/visit", form("day", today.String(), "text", text, "next", (today+9).String())), 303)
	}
	note("calm")
	s.now = s.now.Add(time.Hour)
	wantStatus(t, "a flare", owner.post(s.base()+"/mornings", form("complaint", "ach-mid-left", "day", today.String(), "next", "7")), 303)
	wantIn(t, ada.sees("/caseload"), "I have seen it")
	wantIn(t, ada.sees(s.base()+"/visit"), `name="next" value="`+(today+9).String()+`"`)
	note("less of it")
	wantNotIn(t, ada.sees("/caseload"), "I have seen it")
}

// TestPhaseInPlace: a phase that waits is confirmed from the list.
func TestPhaseInPlace(t *testing.T) {
	s, ada := phased(t)
	page := ada.sees("/caseload")
	wantIn(t, page, "phase 2 of the programme", "Phase 2 may begin")
	ada.answers(s.base(), "phase", form("what", waiting(t, page, "phase")))
	page = ada.sees("/caseload?said=phase")
	wantIn(t, page, "The phase is confirmed.", "phase 2")
	if strings.Contains(page, "Phase 2 may begin") {
		t.Error("what was confirmed waits on")
	}
}

// TestPhaseAndAllow: with a phase that waits the ones after it are allowed, both or neither,
// and the list offers nothing that the order has let begin.
func TestPhaseAndAllow(t *testing.T) {
	s, ada := phased(t)
	page := ada.sees("/caseload")
	what := waiting(t, page, "phase")
	until := (today + 30).String()
	w := ada.post(s.base()+"/answer", form("what", what, "do", "order", "orders", "0", "phase", "9", "until", until))
	wantStatus(t, "a phase that there is not", w, 422)
	wantIn(t, ada.sees("/caseload"), "Phase 2 may begin")
	ada.answers(s.base(), "order", form("what", what, "do", "order", "orders", "0", "phase", "3", "until", until))
	page = ada.sees("/caseload")
	wantIn(t, page, "phase 2")
	wantNotIn(t, page, "may begin")
	wantIn(t, ada.sees("/orders"), "the programme up to phase 3")
}

// TestFlareInPlace: a flare is seen with one press of a clinician, not of the runner, and keeps
// the day of the next visit.
func TestFlareInPlace(t *testing.T) {
	s := share(climbing(t))
	owner, ada, bea := s.join("Owner"), s.join("Ada Brandt"), s.join("Bea Lund")
	s.let(owner, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	s.let(bea, journal.RoleClinician, false, false)
	wantStatus(t, "a visit", ada.post(s.base()+"/visit", form("day", (today-1).String(), "next", (today+9).String())), 303)
	wantStatus(t, "a flare", owner.post(s.base()+"/mornings", form("complaint", "ach-mid-left", "day", today.String(), "next", "7")), 303)
	page := ada.sees("/caseload")
	wantIn(t, page, "I have seen it", "Or notes of a visit", `name="next" value="`+(today+9).String()+`"`)
	what := waiting(t, page, "flare")
	findings, err := s.book().Findings(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	f, ok := journal.FlareOf(findings, "ach-mid-left", today)
	if !ok {
		t.Fatalf("no finding of the flare: %+v", findings)
	}
	wantStatus(t, "seen by the runner", owner.post(s.base()+"/findings/"+f.ID, form("state", "seen")), 303)
	wantIn(t, ada.sees("/caseload"), "I have seen it")
	ada.answers(s.base(), "flare", form("what", what))
	wantIn(t, ada.sees("/caseload?said=flare"), "The flare is marked as seen.", "Nothing waits for an answer.")
	wantIn(t, bea.sees("/caseload"), "Nothing waits for an answer.")
	wantStatus(t, "after another", bea.post(s.base()+"/answer", form("what", what)), 409)
	wantIn(t, owner.sees(s.base()), "Seen, by Ada Brandt.")
	wantIn(t, ada.sees(s.base()+"/visit"), "Next visit: 12 May 2026.")
}

// TestQuietInPlace: who adds nothing is written to from the list, and asked again after a week;
// notes of a visit answer a review and a visit that is due; who was let go is told.
func TestQuietInPlace(t *testing.T) {
	s := share(climbing(t))
	owner, ada := s.join("Owner"), s.join("Ada Brandt")
	s.let(owner, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	wantStatus(t, "a visit", ada.post(s.base()+"/visit", form("day", today.String(), "next", (today+4).String())), 303)
	s.now = noon.AddDate(0, 0, 4) // eight days after the last run
	page := ada.sees("/caseload")
	wantIn(t, page, "no run was added for 8 days", "No run was added for 8 days. Is all well?", "a visit is due")
	quiet, due := waiting(t, page, "quiet"), waiting(t, page, "visit")
	w := ada.post(s.base()+"/answer", form("what", quiet, "text", " "))
	wantStatus(t, "an empty note", w, 422)
	wantIn(t, w.Body.String(), "Nell Ashby: write something to them")
	ada.answers(s.base(), "quiet", form("what", quiet, "text", "All well, Nell?"))
	wantIn(t, owner.sees(s.base()), "All well, Nell?")
	for next, want := range map[string]string{"": "write something", (today + 4).String(): "after today", "soon": "after today"} {
		w := ada.post(s.base()+"/answer", form("what", due, "do", "visit", "text", "", "next", next))
		wantStatus(t, next, w, 422)
		wantIn(t, w.Body.String(), want)
	}
	ada.answers(s.base(), "visit", form("what", due, "do", "visit", "text", "calm", "next", (today+90).String()))
	wantIn(t, ada.sees("/caseload"), "Nothing waits for an answer.")
	s.now = noon.AddDate(0, 0, 11)
	page = ada.sees("/caseload")
	wantIn(t, page, "no run was added for 15 days, last written to on 7 May")
	quiet = waiting(t, page, "quiet")
	s.now = noon.AddDate(0, 0, 85)
	ada.post("/sign-in", signing("Ada Brandt", goodPassword))
	page = ada.sees("/caseload")
	wantIn(t, page, "followed for more than 12 weeks")
	ada.answers(s.base(), "visit", form("what", waiting(t, page, "review"), "do", "visit", "text", "going well"))
	if page = ada.sees("/caseload"); strings.Contains(page, "followed for more than 12 weeks") {
		t.Error("a review that was noted waits on")
	}
	if err := s.book().Revoke(t.Context(), ada.id); err != nil {
		t.Fatal(err)
	}
	w = ada.post(s.base()+"/answer", form("what", quiet, "text", "All well?"))
	wantStatus(t, "after the right was revoked", w, 404)
	wantIn(t, w.Body.String(), "not yours to answer for, or not any more", fmt.Sprintf(`href="/%s"`, "orders"))
}
