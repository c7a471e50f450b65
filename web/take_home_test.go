package web_test

import (
	"bytes"
	"log/slog"
	"strings"
	"testing"
	"time"

	"tidemark/ingest"
	"tidemark/web"
)

// TestTakeHome: what is done this week in plain words, on which days, and where it stops.
func TestTakeHome(t *testing.T) {
	s, owner, ada := visited(t)
	page := owner.sees(s.base() + "/take-home")
	wantIn(
		t, page, "This week: 5 exercises and 2 runs.", // every third day of seven
		"Left Achilles tendon, 2-6 cm above the heel bone", "Ankle pumps without load", "60, every day",
		"Pain in the exercises: up to 5 of 10, and as usual by the next morning.", "Usual in the morning: 1 of 10, 5 min stiff",
		"Run 6 × 2 min, 1 min walk between", "up to 2 of 10 is as it should be. Above 5, or if you limp: stop the run.",
		"Each morning, at the first steps", "call the emergency number", "see a doctor the same day",
		"Next visit: Sunday 24 May 2026.", "follow your clinician", "/take-home.pdf",
	)
	for _, jargon := range []string{"mid-portion", "adherence", "NRS", "stage", "verdict", "unsettled", "irritab"} {
		wantNotIn(t, page, jargon)
	}
	w := owner.get(s.base() + "/take-home.pdf")
	if w.Code != 200 || w.Header().Get("Content-Type") != "application/pdf" || !strings.Contains(w.Header().Get("Content-Disposition"), "this-week-2026-05-10.pdf") {
		t.Errorf("%d, %v", w.Code, w.Header())
	}
	if n := bytes.Count(w.Body.Bytes(), []byte("/Type /Page\n")); n != 1 || w.Body.Len() > 100_000 {
		t.Errorf("%d pages, %d bytes", n, w.Body.Len())
	}
	wantIn(t, owner.sees(s.base()+"/rehab"), s.base()+"/take-home")
	wantStatus(t, "a pause", ada.post(s.base()+"/rehab/ach-mid-left/prescribe", form("state", "paused")), 303)
	wantIn(t, owner.sees(s.base()+"/take-home"), "This week: 2 runs.", "The programme is paused: none of it is due.")
	wantStatus(t, "a hold", ada.post(s.base()+"/ramp/state", form("state", "held")), 303)
	wantIn(t, owner.sees(s.base()+"/take-home"), "Nothing is set for this week.", "Held until it is lifted.")
}

// TestTakeHomeDays: three days a week with 48 h between are days of the week, after what was
// done already.
func TestTakeHomeDays(t *testing.T) {
	s := share(followed(t))
	owner := s.join("Owner")
	s.let(owner, "runner", false, false)
	wantStatus(t, "a programme", owner.post(s.base()+"/rehab/ach-mid-left/prescribe", form("programme", "heavy-slow", "started", today.String())), 303)
	wantIn(t, owner.sees(s.base()+"/take-home"), "This week: 3 exercises.", "as heavy as can be lifted 15 times", "Sun 3 May, Tue 5 May, Thu 7 May", "No way back to running is planned yet.")
	wantStatus(t, "it done", owner.post(s.base()+"/rehab/ach-mid-left/log", form("pain", "1")), 303)
	page := owner.sees(s.base() + "/take-home")
	wantIn(t, page, "Tue 5 May, Thu 7 May")
	wantNotIn(t, page, "Sun 3 May")
	// With the third, the fifth and the seventh the tenth is the first day that has less than
	// three in the seven before it.
	s.now = noon.AddDate(0, 0, 1)
	wantIn(t, owner.sees(s.base()+"/take-home"), "Tue 5 May, Thu 7 May, Sun 10 May")
	wantStatus(t, "a flare", owner.post(s.base()+"/mornings", form("complaint", "ach-mid-left", "day", (today+1).String(), "next", "7")), 303)
	page = owner.sees(s.base() + "/take-home")
	wantIn(t, page, "It flared. Today only what loads little", "Seated heel raise, two legs")
	wantNotIn(t, page, "leg press", "Tue 5 May")
}

// TestTakeHomeOfLittle: there is a sheet with what to stop for, whatever else there is not;
// it names the emergency number of the host.
func TestTakeHomeOfLittle(t *testing.T) {
	s := newSite(t)
	s.server = web.New(web.Options{Journal: s.journal, Now: func() time.Time { return noon }, Log: slog.New(slog.DiscardHandler), Limits: ingest.DefaultLimits, Emergency: "112"})
	wantIn(t, s.get(s.base()+"/take-home"), "Nothing is set for this week.", "Nothing is followed", "call 112, the emergency number")
	if file := s.get(s.base() + "/take-home.pdf"); !strings.HasPrefix(file, "%PDF-") || strings.Count(file, "/Type /Page\n") != 1 {
		t.Errorf("no file of one page: %d bytes", len(file))
	}
	wantStatusOf := func(what string, want string) {
		t.Helper()
		wantIn(t, s.get(s.base()+"/take-home"), what, want)
	}
	s.redirected(s.post(s.base()+"/hurts", form("site", "shin", "side", "left", "onset", today.String(), "bone", "yes")), s.base()+"/happened")
	wantStatusOf("Left inner shin (bone)", "see a doctor before you run")
	wantStatus(t, "a sign", s.post(s.base()+"/happened", form("flag", "rupture", "do", "raise")), 303)
	wantStatusOf("No running until it is lifted.", "stop, see a doctor the same day")
}

// TestSignStopsExercises: while a sign stops plans no page asks for an exercise, and those that
// are handed over say which sign it is and what it asks for.
func TestSignStopsExercises(t *testing.T) {
	s := climbing(t)
	s.redirected(s.post(s.base()+"/rehab/ach-mid-left/prescribe", form("programme", "combined", "started", today.String())), s.base()+"/rehab#ach-mid-left")
	wantStatus(t, "the first phase", s.post(s.base()+"/rehab/ach-mid-left/prescribe", form("phase", "1")), 303)
	pages := []string{s.base(), s.base() + "/rehab"}
	exercise := "Heel raise on the floor, two legs"
	wantIn(t, s.get(s.base()+"/take-home"), exercise)
	for _, page := range pages {
		wantIn(t, s.get(page), exercise, "/log")
	}
	wantStatus(t, "a sign", s.post(s.base()+"/happened", form("flag", "antibiotic", "do", "raise")), 303)
	wantNotIn(t, s.get(s.base()+"/take-home"), exercise)
	for _, page := range []string{s.base() + "/take-home", s.base() + "/rehab", s.base() + "/visit"} {
		wantIn(t, s.get(page), "An antibiotic such as ciprofloxacin or levofloxacin, now or in recent months: stop loading and call who prescribed it the same day, since 3 May 2026.")
	}
	wantIn(t, s.get(s.base()+"/take-home"), "No exercises and no running until the sign is lifted.")
	wantIn(t, s.get(s.base()+"/rehab"), "No exercises until the sign is lifted.")
	wantNotIn(t, s.get(s.base()), exercise)
}
