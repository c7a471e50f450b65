package web_test

import (
	"fmt"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

// TestWeek plays seven days of three people with one logbook: each sees what is theirs to
// see on every day, and nothing else.
func TestWeek(t *testing.T) {
	s := share(climbing(t))
	nell, rafe, ada := s.join("Nell"), s.join("Rafe Tolland"), s.join("Ada Brandt")
	s.let(nell, journal.RoleRunner, false, false)
	base := s.base()
	for _, who := range []*visitor{rafe, ada} {
		wantStatus(t, "before being let in", who.get(base), 404)
	}
	let := func(who *visitor, role string, more ...string) {
		t.Helper()
		page := nell.post(base+"/care/invite", form(append([]string{"role", role}, more...)...)).Body.String()
		wantStatus(t, "accepting", who.post(linkOf(t, page), form("accept", "yes")), 303)
	}
	let(rafe, "coach", "plan", "yes")
	let(ada, "clinician")
	wantStatus(t, "the clinician's programme", ada.post(base+"/rehab/ach-mid-left/prescribe", form("programme", "combined", "started", today.String())), 303)
	wantStatus(t, "the clinician's plan", ada.post(base+"/ramp", everyDay()), 303)
	wantStatus(t, "the runner's own plan", nell.post(base+"/ramp", everyDay("first", "3")), 403)

	held := false
	for n := range 7 {
		day := today + load.Day(n)
		s.now = noon.AddDate(0, 0, n)
		wantStatus(t, "a morning", nell.post(base+"/mornings", form("complaint", "ach-mid-left", "day", day.String(), "next", "1", "stiffness", "5")), 303)
		wantStatus(t, "the exercises", nell.post(base+"/rehab/ach-mid-left/log", form("pain", "1")), 303)
		if n%3 == 0 {
			up := s.uploading([2]string{"run.csv", fmt.Sprintf("date,kind,duration_min,run_min\n%s,run,25,10\n", day)})
			wantStatus(t, "a run", nell.do(up), 200)
		}
		switch n {
		case 2:
			wantStatus(t, "the coach brakes", rafe.post(base+"/ramp/state", form("state", "held", "why", "travels")), 303)
			wantStatus(t, "and does not let go", rafe.post(base+"/ramp/state", form("state", "running")), 403)
			held = true
		case 4:
			wantIn(t, ada.sees(base+"/ramp"), "by Rafe Tolland", "travels")
			wantStatus(t, "the clinician lets go", ada.post(base+"/ramp/state", form("state", "running")), 303)
			held = false
		}
		if got := strings.Contains(rafe.sees(base+"/ramp"), "The way back to running is held."); got != held {
			t.Errorf("day %d: the coach sees held %v, want %v", n, got, held)
		}
		for _, path := range []string{"/mornings", "/rehab", "/hurts", "/tests", "/happened", "/add", "/care"} {
			wantStatus(t, fmt.Sprintf("day %d: the coach at %s", n, path), rafe.get(base+path), 404)
		}
		wantIn(t, ada.sees(base+"/mornings"), "Settled")
		wantIn(t, ada.sees(base+"/rehab"), "100 %")
		wantStatus(t, "the clinician at /add", ada.get(base+"/add"), 404)
		wantStatus(t, "the clinician at /care", ada.get(base+"/care"), 404)
	}
	wantStatus(t, "the coach sees what hurts", nell.post(base+"/care", form("do", "change", "person", string(rafe.id), "medical", "yes")), 303)
	wantIn(t, rafe.sees(base+"/mornings"), "Settled")
	wantStatus(t, "and may brake no more", rafe.post(base+"/ramp/state", form("state", "held")), 404)
	wantIn(t, nell.sees(base+"/care"), "Rafe Tolland looked at the load", "Rafe Tolland looked at the load and at what hurts", "Ada Brandt looked at the load and at what hurts")
	wantStatus(t, "the coach is let go", nell.post(base+"/care", form("do", "revoke", "person", string(rafe.id))), 303)
	wantStatus(t, "afterwards", rafe.get(base), 404)
	problems, err := s.journal.Check(t.Context())
	if err != nil || len(problems) > 0 {
		t.Errorf("the journal after it: %v, %v", problems, err)
	}
}
