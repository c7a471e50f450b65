package web_test

import (
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// TestRampUnderSigns: while a sign stands that stops, or one that a clinician leads, no run is
// offered anywhere: not as the answer of the day, on the first page, in the table, the
// calendar, its feed, a workout or the picture. The page says which sign, what to do and what
// follows; setting it is refused in words, ending it is not.
func TestRampUnderSigns(t *testing.T) {
	for flag, do := range map[string]string{
		"clot": "call the emergency number", "rupture": "see a doctor the same day", "antibiotic": "stop loading", "night": "no running until a doctor has seen it",
		"steroid": "no plan until who gave them has set a date", "led": "only with a clinician who leads",
	} {
		s := climbing(t)
		page := s.base() + "/ramp"
		s.redirected(s.post(page, everyDay()), page)
		feed := regexp.MustCompile(`/feed/[A-Z0-9]+\.ics`).FindString(s.post(page+"/feed", url.Values{"do": {"open"}}).Body.String())
		if !strings.Contains(s.get(feed), "VEVENT") {
			t.Fatal("no runs in the feed before")
		}
		s.post(s.base()+"/happened", url.Values{"flag": {flag}})
		html := s.get(page)
		wantIn(t, html, "<h1>No running until", do, "after 28 a new test run begins a new plan")
		wantNotIn(t, html, "Run 6", "Run 10", ".fit")
		wantNotIn(t, s.get(s.base()), "Run 6", "min planned")
		for _, calendar := range []string{page + "/runs.ics", feed} {
			if strings.Contains(s.get(calendar), "VEVENT") {
				t.Errorf("%s: runs in %s", flag, calendar)
			}
		}
		if w := s.do(request("GET", page+"/"+today.String()+".fit", nil)); w.Code != 404 {
			t.Errorf("%s: a workout, %d", flag, w.Code)
		}
		if flag != "steroid" && flag != "led" {
			w := s.post(page, everyDay())
			if w.Code != 422 || !strings.Contains(w.Body.String(), "until it is lifted nothing can be set") {
				t.Errorf("%s: set all the same, %d", flag, w.Code)
			}
			w = s.post(page+"/state", url.Values{"state": {"running"}})
			if w.Code != 422 || !strings.Contains(w.Body.String(), "A sign stops it") {
				t.Errorf("%s: goes on all the same, %d", flag, w.Code)
			}
		}
		s.redirected(s.post(page+"/state", url.Values{"state": {"ended"}, "why": {"a sign"}}), page)
	}
}

// TestRampToBeSeen: under a sign to be seen the run of the day stays.
func TestRampToBeSeen(t *testing.T) {
	s := climbing(t)
	page := s.base() + "/ramp"
	s.redirected(s.post(page, everyDay()), page)
	s.post(s.base()+"/happened", url.Values{"flag": {"numb"}})
	html := s.get(page)
	wantIn(t, html, "Run 6 × 2 min, 1 min walk between today.", "Nothing grows from 3 May 2026", "a foot that goes numb")
	wantNotIn(t, html, "(stage 3)")
}

// TestRampHeld: while it is held there is no workout of the day, on the page or behind its
// address; confirming a stage lifts no hold, and neither does setting it anew.
func TestRampHeld(t *testing.T) {
	s := climbing(t)
	page := s.base() + "/ramp"
	s.redirected(s.post(page, everyDay("confirm", "yes", "first", "1")), page)
	wantIn(t, s.get(page), today.String()+".fit", `name="first" inputmode="numeric" autocomplete="off" size="3" value="1"`)
	s.redirected(s.post(page+"/state", url.Values{"state": {"held"}, "why": {"see me first"}}), page)
	held := func(after string) {
		t.Helper()
		html := s.get(page)
		if !strings.Contains(html, "<h1>Held until it is lifted.") || strings.Contains(html, ".fit") || strings.Contains(html, "The next run is on") {
			t.Errorf("not held after %s", after)
		}
		if w := s.do(request("GET", page+"/"+today.String()+".fit", nil)); w.Code != 404 {
			t.Errorf("a workout while it is held, after %s: %d", after, w.Code)
		}
	}
	held("a hold")
	s.redirected(s.post(page+"/state", url.Values{"roof": {"4"}}), page)
	held("a stage was confirmed")
	wantIn(t, s.get(page), "Stages go up to stage 4")
	s.redirected(s.post(page, everyDay("confirm", "yes", "first", "1", "free", "2")), page)
	held("it was set anew")
	wantIn(t, s.get(page), "Stages go up to stage 4", `size="3" value="1"`)
	s.redirected(s.post(page, everyDay("confirm", "yes", "ladder", "two-by-two")), page)
	wantNotIn(t, s.get(page), "Stages go up to stage 4") // of another ladder
	s.redirected(s.post(page+"/state", url.Values{"state": {"running"}}), page)
	wantNotIn(t, s.get(page), "<h1>Held")
}

// TestGateFailsLater: a gate that is failed after it was set holds the runs, with its reason on
// both pages, until one is passed.
func TestGateFailsLater(t *testing.T) {
	s := climbing(t)
	page := s.base() + "/ramp"
	s.redirected(s.post(page, everyDay()), page)
	s.post(page+"/gate", url.Values{"daily": {"8"}, "walk": {"5"}})
	html := s.get(page)
	wantIn(t, html, "<h1>No running for now.", "8 of 10, and wanted is at most 2 of 10 in daily life")
	wantNotIn(t, html, "Run 6", ".fit")
	wantIn(t, s.get(s.base()), "No running for now.", "8 of 10, and wanted is at most 2 of 10 in daily life")
	s.post(page+"/gate", url.Values{"daily": {"1"}, "walk": {"30"}, "settled": {"yes"}, "raises": {"10"}, "hops": {"10"}, "load": {"2"}})
	wantIn(t, s.get(page), "Run 6 × 2 min, 1 min walk between today.")
}
