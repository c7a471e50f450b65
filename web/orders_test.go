package web_test

import (
	"strings"
	"testing"

	"tidemark/load/journal"
)

// TestOrders: one order is given to several at once, each through its own book; what one
// refuses is said by name, and the others are done.
func TestOrders(t *testing.T) {
	s := share(climbing(t))
	ada, rafe, nell := s.join("Ada Brandt"), s.join("Rafe Tolland"), s.join("Nell")
	s.let(nell, journal.RoleRunner, false, false)
	wantIn(t, ada.sees("/orders"), "You are in charge of nothing that is followed.")
	s.let(ada, journal.RoleClinician, false, false)
	s.let(rafe, journal.RoleCoach, true, true)
	otherBase, other := s.second("Calm Cole", everySecond(8))
	if err := other.Grant(t.Context(), ada.id, journal.RoleClinician, false, false); err != nil {
		t.Fatal(err)
	}
	wantStatus(t, "a complaint of the other", ada.post(otherBase+"/set-up", bench("site", "patellar", "programme", "patellar/patellar-stages", "phase", "", "stage", "")), 303)
	page := ada.sees("/orders")
	wantIn(t, page, "Standing orders for 2 complaints.", "Nell Ashby", "Calm Cole", "Nothing is allowed in advance", `name="until" value="`+(today+42).String()+`"`)
	wantIn(t, ada.sees("/caseload"), `href="/orders"`)
	one, two := string(s.runner.ID)+"/ach-mid-left", strings.TrimPrefix(otherBase, "/r/")+"/patellar-left"
	both := form("of", one, "of", two, "do", "give", "phase", "2", "stage", "3", "until", (today + 20).String(), "seen-"+one, "0", "seen-"+two, "0")
	w := ada.post("/orders", both)
	wantStatus(t, "both", w, 303)
	page = ada.sees(w.Header().Get("Location"))
	wantIn(t, page, "Kept for 2 complaints.", "<title>Kept for 2 complaints.")
	if n := strings.Count(page, "Allowed in advance until 23 May 2026: the programme up to phase 2, the way back to running up to stage 3"); n != 2 {
		t.Errorf("%d of 2 orders stand", n)
	}

	w = ada.post("/orders", both)
	wantStatus(t, "by who saw none", w, 409)
	wantIn(t, w.Body.String(), "Kept for 0 of 2. Not for:", "Nell Ashby, left Achilles tendon: another order was given meanwhile", `role="alert"`)
	wantStatus(t, "the first is handed over", ada.post(s.base()+"/hurts/ach-mid-left", form("status", "handed-over")), 303)
	w = ada.post("/orders", form("of", one, "of", two, "do", "give", "phase", "4", "until", (today+20).String()))
	wantStatus(t, "one was handed over", w, 409)
	wantIn(t, w.Body.String(), "Kept for 1 of 2. Not for:", "One that was chosen: it is not yours to see any more", "up to phase 4")
	w = ada.post("/orders", form("of", two, "do", "give", "phase", "5", "until", (today+20).String()))
	wantStatus(t, "a phase beyond the last", w, 409)
	wantIn(t, w.Body.String(), "Calm Cole, left kneecap tendon: phase 5: Patellar tendon in four stages has 4.", `value="`+two+`" checked`)

	for want, bad := range map[string][]string{
		"Choose at least one": {"do", "give", "phase", "2"}, "Say up to which": {"of", two, "do", "give", "until", today.String()}, "has passed": {"of", two, "phase", "1", "until", (today - 1).String()},
		"366 days": {"of", two, "phase", "1", "until", "2028-01-01"}, "whole number": {"of", two, "stage", "far", "until", today.String()}, "want 0 to": {"of", two, "stage", "100", "until", today.String()},
	} {
		w := ada.post("/orders", form(bad...))
		wantStatus(t, want, w, 422)
		wantIn(t, w.Body.String(), want, `aria-describedby="fault"`)
	}
	for _, v := range []*visitor{rafe, nell} {
		w = v.post("/orders", form("of", two, "of", one, "do", "take"))
		wantStatus(t, v.name, w, 409)
		wantIn(t, w.Body.String(), "Kept for 0 of 2", "not yours to see any more")
	}
	s.now = noon.AddDate(0, 0, 21)
	wantIn(t, ada.sees("/orders"), "The last day of one standing order has passed.", "What was allowed in advance ended on 23 May 2026; now nothing is")
	wantStatus(t, "taken back", ada.post("/orders", form("of", two, "do", "take")), 303)
	wantIn(t, ada.sees("/orders"), "Standing orders for 1 complaint.", "Nothing is allowed in advance")
	// As long as another is followed the runner is in charge of neither.
	wantStatus(t, "a second of the other", ada.post(otherBase+"/hurts", form("site", "calf", "side", "right", "onset", today.String())), 303)
	wantStatus(t, "the first is handed over", ada.post(otherBase+"/hurts/patellar-left", form("status", "handed-over")), 303)
	wantIn(t, ada.sees("/orders"), "Standing orders for 2 complaints.", `value="`+two+`"`)
}
