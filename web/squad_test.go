package web_test

import (
	"net/url"
	"strings"
	"testing"
	"time"

	"tidemark/load/journal"
)

// second makes another logbook with a diary and returns its base.
func (s *shared) second(name string, runs map[int]float64) (string, *journal.Book) {
	s.t.Helper()
	owner := s.join(name)
	r, err := s.journal.AddRunner(s.t.Context(), name, "Europe/Oslo", today-20)
	if err != nil {
		s.t.Fatal(err)
	}
	b, err := s.journal.Open(s.t.Context(), journal.Local, r.ID)
	if err != nil {
		s.t.Fatal(err)
	}
	if err := b.Grant(s.t.Context(), owner.id, journal.RoleRunner, false, false); err != nil {
		s.t.Fatal(err)
	}
	up := s.uploading([2]string{"diary.csv", diary(runs)})
	up.URL.Path = "/r/" + string(r.ID) + "/add"
	up.RequestURI = up.URL.Path
	if w := owner.do(up); w.Code != 200 {
		s.t.Fatalf("adding: %d\n%s", w.Code, w.Body)
	}
	return "/r/" + string(r.ID), b
}

// idIn is the runner's ID in the start of their addresses.
func idIn(base string) string { return strings.TrimPrefix(base, "/r/") }

// everySecond is runs of one length on every second day for ten weeks.
func everySecond(km float64) map[int]float64 {
	runs := make(map[int]float64)
	for back := 2; back < 70; back += 2 {
		runs[back] = km
	}
	return runs
}

// TestSquad: those who need a look come first with the reason and since when, nobody else's
// are there, what is new is told until it was seen, and a note arrives.
func TestSquad(t *testing.T) {
	s := share(climbing(t))
	owner, rafe := s.join("Owner"), s.join("Rafe Tolland")
	s.let(owner, journal.RoleRunner, false, false)
	wantIn(t, rafe.sees("/squad"), "Nobody has let you into a logbook yet.")
	s.let(rafe, journal.RoleCoach, false, false)
	calm, calmBook := s.second("Calm Cole", everySecond(8))
	spike := everySecond(8)
	spike[1] = 14
	wild, wildBook := s.second("Wild Wynn", spike)
	s.second("Not Mine", everySecond(5))
	for _, b := range []*journal.Book{calmBook, wildBook} {
		if err := b.Grant(t.Context(), rafe.id, journal.RoleCoach, false, false); err != nil {
			t.Fatal(err)
		}
	}
	wantStatus(t, "a plan", owner.post(s.base()+"/ramp", everyDay()), 303)
	wantStatus(t, "a flare", owner.post(s.base()+"/mornings", form("complaint", "ach-mid-left", "day", today.String(), "next", "7")), 303)
	if w := rafe.get("/"); w.Code != 303 || w.Header().Get("Location") != "/squad" {
		t.Errorf("the coach's first page: %d to %q", w.Code, w.Header().Get("Location"))
	}
	page := rafe.sees("/squad")
	// 14 km are 75 % over the 8 km of every second day.
	wantIn(t, page, "2 of 3 runners need a look.", "One run much longer than the runs before it", "75 % over", "no run until", "Calm Cole", "up to")
	if strings.Contains(page, "Not Mine") {
		t.Error("a logbook that was not shared is in the list")
	}
	if strings.Index(page, "Wild Wynn") > strings.Index(page, "Calm Cole") {
		t.Error("who needs a look does not come first")
	}
	for _, word := range []string{"Achilles", "flared", "morning", "stage", "sore"} {
		if strings.Contains(page, word) {
			t.Errorf("%q on the coach's list", word)
		}
	}
	if strings.Contains(page, "ran since") || strings.Contains(page, "new warning") {
		t.Error("something is new at the first look")
	}
	wantIn(t, rafe.sees("/squad?order=name"), "Calm Cole")

	wantStatus(t, "a group", rafe.post("/squad", form("runner", idIn(calm), "group", "Tuesdays")), 303)
	narrowed := rafe.sees("/squad?group=Tuesdays")
	if !strings.Contains(narrowed, "Calm Cole") || strings.Contains(narrowed, "Wild Wynn") {
		t.Error("the group is not what is listed")
	}
	wantStatus(t, "a note", rafe.post("/squad", form("runner", idIn(wild), "text", "Easy this week, please.")), 303)
	wantStatus(t, "an empty note", rafe.post("/squad", form("runner", idIn(wild), "text", " ")), 422)
	wynn := &visitor{shared: s, name: "Wild Wynn"}
	wynn.post("/sign-in", signing("Wild Wynn", goodPassword))
	wantIn(t, wynn.sees(wild), "Easy this week, please.", "by Rafe Tolland")

	s.now = s.now.Add(time.Hour)
	up := s.uploading([2]string{"more.csv", "date,distance_km\n2026-05-03,6\n"})
	up.URL.Path, up.RequestURI = wild+"/add", wild+"/add"
	wantStatus(t, "a run", wynn.do(up), 200)
	wantIn(t, rafe.sees("/squad"), "ran since")
	wantIn(t, rafe.sees("/squad"), "ran since")
	wantIn(t, rafe.sees("/squad"), "ran since") // for half an hour
	s.now = s.now.Add(31 * time.Minute)
	if strings.Contains(rafe.sees("/squad"), "ran since") {
		t.Error("what was seen is new again")
	}
}

// TestCaseload: what waits comes first and is answered in place; a visit is noted, and the
// next is due on its day.
func TestCaseload(t *testing.T) {
	s := share(climbing(t))
	owner, ada, rafe := s.join("Owner"), s.join("Ada Brandt"), s.join("Rafe Tolland")
	s.let(owner, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	s.let(rafe, journal.RoleCoach, false, false)
	wantIn(t, rafe.sees("/caseload"), "Nothing is followed in the logbooks that you see.")
	wantStatus(t, "a programme", ada.post(s.base()+"/rehab/ach-mid-left/prescribe", form("programme", "combined", "started", (today-1).String())), 303)
	page := ada.sees("/caseload")
	wantIn(t, page, "Nothing waits for an answer.", "Achilles", "phase 1", "not said")
	wantStatus(t, "a flare", owner.post(s.base()+"/mornings", form("complaint", "ach-mid-left", "day", today.String(), "next", "7")), 303)
	s.now = s.now.Add(time.Hour)
	wantIn(t, ada.sees("/caseload"), "One answer is waited for.", "flared", "the mornings", "a new flare")

	visit := url.Values{"day": {today.String()}, "next": {(today + 7).String()}, "text": {"calmer than last time"}}
	wantStatus(t, "a visit", ada.post(s.base()+"/visit", visit), 303)
	wantIn(t, ada.sees(s.base()+"/visit"), "Left Achilles tendon, week 1.", "calmer than last time", "by Ada Brandt", "1 flared", "Since the visit of")
	wantIn(t, ada.sees("/caseload"), "Nothing waits for an answer.") // the visit has seen the flare
	visit.Set("next", today.String())
	w := ada.post(s.base()+"/visit", visit)
	wantStatus(t, "the next before this", w, 422)
	wantIn(t, w.Body.String(), "The next visit comes after this one.", "calmer than last time")
	visit.Set("day", (today + 1).String())
	wantStatus(t, "a visit in the future", ada.post(s.base()+"/visit", visit), 422)
	wantStatus(t, "a visit by the runner", owner.post(s.base()+"/visit", form("day", today.String(), "text", "x")), 403)
	s.now = noon.AddDate(0, 0, 8)
	wantIn(t, ada.sees("/caseload"), "a visit is due", "no run was added for")
}
