package web_test

import (
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// prescribed is a site whose left Achilles tendon is followed, with the combined programme
// in its first phase since today.
func prescribed(t *testing.T) *site {
	t.Helper()
	s := followed(t)
	w := s.post(s.base()+"/rehab/ach-mid-left/prescribe", url.Values{"programme": {"combined"}, "started": {today.String()}, "why": {"to begin with"}})
	if w.Code != 303 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	return s
}

func (s *site) redirected(w *httptest.ResponseRecorder, to string) {
	s.t.Helper()
	if w.Code != 303 || w.Header().Get("Location") != to {
		s.t.Fatalf("status %d to %q, want 303 to %q\n%s", w.Code, w.Header().Get("Location"), to, w.Body)
	}
}

// TestRehabTaps: what is due stands on the first page, and one tap with the worst pain logs it
// all as it was set; a runner without a complaint sees none of it.
func TestRehabTaps(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(map[int]float64{5: 8, 1: 5})})
	if strings.Contains(s.get(s.base()), "exercises") {
		t.Error("exercises are shown to who has no complaint")
	}
	wantIn(t, s.get(s.base()+"/rehab"), "Nothing is followed, so there is no programme.")
	s = prescribed(t)
	page := s.get(s.base())
	wantIn(t, page, "today's exercises", "Ankle pumps without load", "3 × 15", "on the side that hurts", "up to 5 of 10, and as usual by the next morning", `name="pain" value="10"`)
	if strings.Index(page, "first steps this morning") > strings.Index(page, "today's exercises") || strings.Index(page, "today's exercises") > strings.Index(page, "What if I run") {
		t.Error("want the morning's question, then the exercises, then what-if")
	}
	wantIn(t, s.get(s.base()+"/rehab"), "5 exercises to do today.", "Phase 1 of 4", "Griffin et al. 2021", "to begin with")
	s.redirected(s.post(s.base()+"/rehab/ach-mid-left/log", url.Values{"pain": {"2"}, "back": {"today"}}), s.base())
	wantIn(t, s.get(s.base()), "Done for today.", `class="tick done"`, "100 % done")
	wantIn(t, s.get(s.base()+"/rehab"), "Nothing is left to do today.", "2 of 10", "60 of 60") // pumps, set today for the first time
	s.redirected(s.post(s.base()+"/rehab/ach-mid-left/log", url.Values{"pain": {"2"}}), s.base()+"/rehab")
	if n := strings.Count(s.get(s.base()+"/rehab"), "2 of 10"); n != 5 {
		t.Errorf("%d entries after a second tap, want the five of the first", n)
	}
	if w := s.post(s.base()+"/rehab/ach-mid-left/log", url.Values{"pain": {"11"}}); w.Code != 422 {
		t.Errorf("pain of 11: %d, want 422", w.Code)
	}
	if w := s.post(s.base()+"/rehab/calf-left/log", url.Values{"pain": {"1"}}); w.Code != 404 {
		t.Errorf("nothing followed: %d, want 404", w.Code)
	}
}

// TestRehabTyped: less, or something else, is typed; what nobody does is refused, what is
// unusual is asked about with the range and its source, and what was typed stays.
func TestRehabTyped(t *testing.T) {
	s := prescribed(t)
	log := s.base() + "/rehab/ach-mid-left/log"
	form := func(more ...string) url.Values {
		v := url.Values{"exercise": {"massage"}, "day": {today.String()}, "note": {"on the sofa"}}
		for i := 0; i < len(more); i += 2 {
			v.Set(more[i], more[i+1])
		}
		return v
	}
	for want, bad := range map[string]url.Values{
		"Say how much it was":                    form(),
		"10000 repetitions: want 0 to 500":       form("reps", "10000"),
		"whole numbers, or nothing":              form("sets", "three"),
		"The worst pain in it is a whole number": form("minutes", "3", "pain", "much"),
		"Worst pain 11: want 0 to 10":            form("minutes", "3", "pain", "11"),
		"The weight is a number":                 form("minutes", "3", "weight", "heavy"),
		"has not come yet":                       form("minutes", "3", "day", (today + 1).String()),
		"Say on which day":                       form("minutes", "3", "day", "soon"),
		"there is none":                          form("minutes", "3", "exercise", "backflip"),
	} {
		w := s.post(log, bad)
		if w.Code != 422 {
			t.Errorf("%s: status %d", want, w.Code)
		}
		wantIn(t, w.Body.String(), want, `value="on the sofa"`)
	}
	w := s.post(log, form("minutes", "40"))
	if w.Code != 422 {
		t.Errorf("40 minutes: status %d", w.Code)
	}
	wantIn(t, w.Body.String(), "40 min of soft-tissue massage of the tendon is unusual", "at most 5 min (common practice, no source)", "Keep it as it is", `value="40"`, `value="on the sofa"`)
	s.redirected(s.post(log, form("minutes", "40", "keep", "yes")), s.base()+"/rehab")
	s.redirected(s.post(log, form("exercise", "seated_raise_1", "sets", "2", "reps", "10", "weight", "7,5", "pain", "1")), s.base()+"/rehab")
	wantIn(t, s.get(s.base()+"/rehab"), "Soft-tissue massage of the tendon", "40 min", "2 × 10 with 7.5 kg", "on the sofa")
}

// TestPrescribe: another programme, a phase, a pause and an end, each kept with who and why;
// what cannot be is said.
func TestPrescribe(t *testing.T) {
	s := prescribed(t)
	page, to := s.base()+"/rehab", s.base()+"/rehab/ach-mid-left/prescribe"
	change := func(key, value string) {
		t.Helper()
		s.redirected(s.post(to, url.Values{key: {value}}), page+"#ach-mid-left")
	}
	change("phase", "2")
	wantIn(t, s.get(page), "Phase 2 of 4", "Back to phase 1", "Go on to phase 3", "Quick rebound raises")
	change("state", "paused")
	wantIn(t, s.get(page), "No programme is set.", "paused", "Go on with it")
	change("state", "running")
	wantIn(t, s.get(page), "Phase 2 of 4")
	change("state", "ended")
	wantIn(t, s.get(page), "No programme is set.", "Set a programme", "to begin with")
	for want, bad := range map[string]url.Values{
		"No programme is set for this yet": {"phase": {"2"}},
		"Say on which day it begins":       {"programme": {"heavy-slow"}, "started": {"soon"}, "why": {"as agreed"}},
		"It begins within a year":          {"programme": {"heavy-slow"}, "started": {"2099-01-01"}, "why": {"as agreed"}},
		"The reason is longer than":        {"programme": {"heavy-slow"}, "started": {today.String()}, "why": {strings.Repeat("as agreed ", 400)}},
	} {
		w := s.post(to, bad)
		if w.Code != 422 {
			t.Errorf("%s: status %d", want, w.Code)
		}
		wantIn(t, w.Body.String(), want)
		if bad.Has("why") {
			wantIn(t, w.Body.String(), "as agreed")
		}
	}
	if w := s.post(s.base()+"/rehab/calf-left/prescribe", url.Values{"programme": {"heavy-slow"}, "started": {today.String()}}); w.Code != 404 {
		t.Errorf("nothing followed: %d, want 404", w.Code)
	}
}

// TestOrder: what is allowed in advance stands, and is taken back by allowing nothing.
func TestOrder(t *testing.T) {
	s := prescribed(t)
	to := s.base() + "/rehab/ach-mid-left/order"
	s.redirected(s.post(to, url.Values{"phase": {"3"}, "stage": {"6"}, "until": {(today + 60).String()}}), s.base()+"/rehab#ach-mid-left")
	wantIn(t, s.get(s.base()+"/rehab"), "allowed in advance until 2 July 2026: the programme up to phase 3, the way back to running up to stage 6")
	s.post(to, url.Values{"phase": {""}, "stage": {""}, "until": {""}})
	wantIn(t, s.get(s.base()+"/rehab"), "nothing is allowed in advance")
	for want, bad := range map[string]url.Values{
		"Say until when": {"phase": {"3"}}, "whole number": {"phase": {"all"}}, "Phase 40": {"phase": {"40"}, "until": {today.String()}},
		"has passed": {"phase": {"3"}, "until": {(today - 1).String()}}, "has 4.": {"phase": {"5"}, "until": {today.String()}}, "the ladder has": {"stage": {"60"}, "until": {today.String()}},
	} {
		if w := s.post(to, bad); w.Code != 422 || !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s: status %d", want, w.Code)
		}
	}
	if w := s.post(to, url.Values{"phase": {"2"}, "until": {today.String()}, "seen": {"1"}}); w.Code != 409 {
		t.Errorf("by who saw one of two: %d, want 409", w.Code)
	}
}

// TestAway keeps days on which nobody asks, and takes them back.
func TestAway(t *testing.T) {
	s := prescribed(t)
	to := s.base() + "/rehab/away"
	s.redirected(s.post(to, url.Values{"from": {today.String()}, "to": {(today + 6).String()}, "reason": {"ill"}}), s.base()+"/rehab")
	wantIn(t, s.get(s.base()+"/rehab"), "Nobody asks from 3 May 2026 to 9 May 2026: ill")
	s.post(to, url.Values{"from": {today.String()}, "to": {today.String()}, "reason": {""}})
	wantIn(t, s.get(s.base()+"/rehab"), "Here again")
	for want, bad := range map[string]url.Values{
		"Say from which day":  {"from": {"now"}, "to": {today.String()}, "reason": {"ill"}},
		"is before the first": {"from": {today.String()}, "to": {(today - 1).String()}, "reason": {"ill"}},
		"want away or ill":    {"from": {today.String()}, "to": {today.String()}, "reason": {"bored"}},
		"more than 400":       {"from": {today.String()}, "to": {(today + 900).String()}, "reason": {"ill"}},
	} {
		if w := s.post(to, bad); w.Code != 422 || !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s: status %d", want, w.Code)
		}
	}
}

// TestRoutine builds one from the catalogue, easiest first; what the heel bone must not do is
// not offered, and what is unusual is asked about.
func TestRoutine(t *testing.T) {
	s := prescribed(t)
	page := s.base() + "/rehab/ach-mid-left/routine"
	wantIn(t, s.get(page), `name="reps-ankle_pumps" inputmode="numeric" autocomplete="off" size="3" value="60"`, "Calf stretch, knee bent")
	form := url.Values{"name": {"At home"}, "pain": {"4"}, "sets-stand_raise_2": {"3"}, "reps-stand_raise_2": {"12"}, "min-massage": {"40"}, "why": {"no step at home"}}
	w := s.post(page, form)
	if w.Code != 422 {
		t.Errorf("40 minutes of massage: status %d", w.Code)
	}
	wantIn(t, w.Body.String(), "is unusual", `value="At home"`, `value="12"`)
	form.Set("keep", "yes")
	s.redirected(s.post(page, form), s.base()+"/rehab#ach-mid-left")
	wantIn(t, s.get(s.base()+"/rehab"), "2 exercises to do today.", "At home", "up to 4 of 10 in a set", "no step at home")
	for want, bad := range map[string]url.Values{
		"Name the routine":             {"pain": {"4"}, "reps-squat": {"10"}},
		"Choose at least one":          {"pain": {"4"}, "name": {"x"}},
		"want 0 to 500":                {"pain": {"4"}, "name": {"x"}, "reps-squat": {"10000"}},
		"whole numbers":                {"pain": {"4"}, "name": {"x"}, "reps-squat": {"ten"}},
		"may hurt in a set is a whole": {"pain": {"little"}, "name": {"x"}, "reps-squat": {"10"}},
		"want 0 to 10":                 {"pain": {"11"}, "name": {"x"}, "reps-squat": {"10"}},
	} {
		if w := s.post(page, bad); w.Code != 422 || !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s: status %d", want, w.Code)
		}
	}
	s.post(s.base()+"/hurts", url.Values{"site": {"ach-ins"}, "side": {"right"}, "onset": {today.String()}})
	heel := s.get(s.base() + "/rehab/ach-ins-right/routine")
	if strings.Contains(heel, `name="reps-step_lower_1"`) || strings.Contains(heel, `name="hold-stretch_bent"`) {
		t.Error("a step or a stretch is offered where it hurts at the heel bone")
	}
	wantIn(t, heel, `name="reps-floor_lower_1"`, "Left out, because")
	if w := s.post(s.base()+"/rehab/calf-left/routine", form); w.Code != 404 {
		t.Errorf("nothing followed: %d, want 404", w.Code)
	}
}
