package web_test

import (
	"bytes"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/muktihari/fit/decoder"
	"github.com/muktihari/fit/profile/filedef"
	"github.com/muktihari/fit/profile/typedef"
)

// climbing is a site whose left Achilles tendon is followed, with three runs of 10 to 12 min in
// the last two weeks and a gate that was passed.
func climbing(t *testing.T) *site {
	t.Helper()
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(map[int]float64{40: 5, 37: 5, 34: 5, 12: 2, 8: 2, 4: 2})})
	s.post(s.base()+"/hurts", url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {(today - 30).String()}, "pain": {"1"}, "stiffness": {"5"}})
	s.redirected(s.post(s.base()+"/ramp/gate", url.Values{"daily": {"1"}, "walk": {"30"}, "settled": {"yes"}, "raises": {"10"}, "hops": {"10"}, "load": {"2"}}), s.base()+"/ramp")
	return s
}

// everyDay is a form that sets a way back from today.
func everyDay(more ...string) url.Values {
	v := url.Values{"start": {today.String()}, "free": {"0", "1", "2", "3", "4", "5", "6"}, "why": {"calm for two weeks"}}
	for i := 0; i < len(more); i += 2 {
		v.Set(more[i], more[i+1])
	}
	return v
}

// TestRampPage sets a way back: today's run with its reason, how far the next stage is, what
// would change it, who said so; and the first page and the limits follow it.
func TestRampPage(t *testing.T) {
	s := newSite(t)
	wantIn(t, s.get(s.base()+"/ramp"), "No way back to running is planned.", "Nothing is followed")
	s = climbing(t)
	page := s.base() + "/ramp"
	wantIn(t, s.get(page), "No way back to running is planned yet.", "Passed: 30 min of brisk walking", "From 10 times 1 min to 42 min")
	s.redirected(s.post(page, everyDay()), page)
	html := s.get(page)
	wantIn(t, html, "Run 6 × 2 min, 1 min walk between today.", "stage 2, 12 min ≤ session cap", "that settle away from stage 3", "the next run flares", "On flat ground first", "at most 4 of 10", "calm for two weeks", today.String()+".fit")
	wantIn(t, s.get(s.base()), "The way back", "Run 6 × 2 min, 1 min walk between today.", "Up to", "12 min")
	if n := strings.Count(s.get(s.base()), "<dt>"); n == 0 {
		t.Error("no limits on the first page")
	}
	wantIn(t, s.get(s.base()), `class="planned"`, "Outlined: planned.", "12 min planned", "rest planned")
	wantNotIn(t, s.get(s.base()), "the best held week that ended")
}

// TestRampGate: what is missing is said, and a way back is set without it only with a reason.
func TestRampGate(t *testing.T) {
	s := followed(t)
	page := s.base() + "/ramp"
	wantIn(t, s.get(page), "Strength and walking only", "Missing", "10 hops on that leg", "not tried")
	bare := everyDay()
	bare.Del("why")
	w := s.post(page, bare)
	if w.Code != 422 || !strings.Contains(w.Body.String(), "Say why it is set all the same") {
		t.Errorf("set with a closed gate: %d", w.Code)
	}
	s.redirected(s.post(page, everyDay()), page)
	for want, bad := range map[string]url.Values{"whole numbers": {"walk": {"long"}}, "want 0 to 10": {"daily": {"11"}}, "want 0 to 600": {"walk": {"6000"}}} {
		w := s.post(page+"/gate", bad)
		if w.Code != 422 || !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s: status %d", want, w.Code)
		}
	}
}

// TestRampBadInput: what cannot be is said with what was typed.
func TestRampBadInput(t *testing.T) {
	s := climbing(t)
	page := s.base() + "/ramp"
	none := everyDay()
	none.Del("free")
	for want, bad := range map[string]url.Values{
		"No day of the week is free":             none,
		"Say on which day it begins":             everyDay("start", "soon"),
		"It begins within a year":                everyDay("start", "2099-01-01"),
		"needs the easy pace":                    everyDay("goal", "10"),
		"The pace is minutes and seconds":        everyDay("goal", "10", "pace", "fast"),
		"want more than 0, up to 200":            everyDay("goal", "900", "pace", "6:00"),
		"numbers, or nothing":                    everyDay("goal", "far"),
		"The session cap allows 13"[1:]:          everyDay("own", "10x1:1, 30"),
		"want 10x1:1":                            everyDay("own", "ten by one"),
		"Stage 99":                               everyDay("first", "99"),
		"body mass index 500: want 10 to 80"[1:]: everyDay("bmi", "500"),
		"find ladder"[1:]:                        everyDay("ladder", "sprint"),
	} {
		w := s.post(page, bad)
		if w.Code != 422 {
			t.Errorf("%s: status %d", want, w.Code)
		}
		wantIn(t, w.Body.String(), want, `value="calm for two weeks"`)
	}
	s.post(s.base()+"/hurts", url.Values{"site": {"shin"}, "side": {"left"}, "onset": {today.String()}, "bone": {"yes"}})
	wantIn(t, s.get(page), "A bone hurts: there is no plan for it here")
	if w := s.post(page, everyDay()); w.Code != 422 {
		t.Errorf("a bone: %d, want 422", w.Code)
	}
}

// TestRampBends: a bad morning bends the plan with a reason, on the page and in the calendar;
// a hold acts at once, and the end gives the usual limits back.
func TestRampBends(t *testing.T) {
	s := climbing(t)
	page := s.base() + "/ramp"
	s.redirected(s.post(page, everyDay("start", (today-4).String())), page)
	before := s.get(page)
	s.post(s.base()+"/mornings", url.Values{"complaint": {"ach-mid-left"}, "day": {today.String()}, "next": {"5"}, "stiffness": {"40"}})
	after := s.get(page)
	if before == after {
		t.Error("a flare changes nothing")
	}
	wantIn(t, after, "Rest from running today.", "not back to the baseline since the flared morning of 3 May 2026")
	s.redirected(s.post(page+"/state", url.Values{"state": {"held"}, "until": {(today + 9).String()}, "why": {"see me first"}}), page)
	wantIn(t, s.get(page), "Held until 12 May 2026.", "see me first")
	wantIn(t, s.get(s.base()), "held by whoever is in charge, until 12 May 2026")
	if cal := s.get(page + "/runs.ics"); strings.Contains(cal, "DTSTART:202605"+"10") {
		t.Error("the calendar has a run in the days that are held")
	}
	for want, bad := range map[string]url.Values{"until today or later": {"state": {"held"}, "until": {"2026-01-01"}}, "Say whether it goes on": {"state": {"flying"}}} {
		if w := s.post(page+"/state", bad); w.Code != 422 || !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s: %d", want, w.Code)
		}
	}
	s.redirected(s.post(page+"/state", url.Values{"state": {"running"}}), page)
	s.redirected(s.post(page+"/state", url.Values{"state": {"ended"}, "why": {"done"}}), page)
	wantIn(t, s.get(page), "No way back to running is planned yet.", "Ended; done")
	if cal := s.get(page + "/runs.ics"); strings.Contains(cal, "VEVENT") {
		t.Error("runs of a way back that has ended are in the calendar")
	}
}

// TestRampWorkout: another decoder finds the intervals of today's run: a walk of 5 min, five
// times 2 min of running and 1 of walking, the sixth, and a walk.
func TestRampWorkout(t *testing.T) {
	s := climbing(t)
	s.post(s.base()+"/ramp", everyDay())
	w := s.do(request("GET", s.base()+"/ramp/"+today.String()+".fit", nil))
	if w.Code != 200 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	file, err := decoder.New(bytes.NewReader(w.Body.Bytes())).Decode()
	if err != nil {
		t.Fatal(err)
	}
	var got []uint32
	for _, step := range filedef.NewWorkout(file.Messages...).WorkoutSteps {
		if step.DurationType == typedef.WktStepDurationTime {
			got = append(got, step.DurationValue/1000)
		} else {
			got = append(got, step.TargetValue) // so often in all
		}
	}
	if want := []uint32{300, 120, 60, 5, 120, 300}; !equal(got, want) {
		t.Errorf("steps %v, want %v", got, want)
	}
	for _, none := range []string{(today + 1).String() + ".fit", "soon.fit", (today - 1).String() + ".fit"} {
		if w := s.do(request("GET", s.base()+"/ramp/"+none, nil)); w.Code != 404 {
			t.Errorf("%s: %d, want 404", none, w.Code)
		}
	}
}

func equal(a, b []uint32) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// TestRampFeed: the calendar is fetched under an address that is told once, and no more once
// it is revoked; it says when to run and nothing of what hurts.
func TestRampFeed(t *testing.T) {
	s := climbing(t)
	s.post(s.base()+"/ramp", everyDay())
	address := func() string {
		t.Helper()
		w := s.post(s.base()+"/ramp/feed", url.Values{"do": {"open"}})
		found := regexp.MustCompile(`/feed/[A-Z0-9]+\.ics`).FindString(w.Body.String())
		if w.Code != 200 || found == "" {
			t.Fatalf("status %d, no address", w.Code)
		}
		return found
	}
	first := address()
	cal := s.get(first)
	wantIn(t, cal, "BEGIN:VCALENDAR", "DTSTART:"+strings.ReplaceAll(today.String(), "-", "")+"T070000", `SUMMARY:Run 6 × 2 min\, 1 min walk between`)
	for _, medical := range []string{"Achilles", "tendon", "ach-mid", "hurt"} {
		if strings.Contains(cal, medical) {
			t.Errorf("the calendar says %q", medical)
		}
	}
	second := address()
	if w := s.do(request("GET", first, nil)); w.Code != 404 {
		t.Errorf("the first address after a second was made: %d, want 404", w.Code)
	}
	s.redirected(s.post(s.base()+"/ramp/feed", url.Values{"do": {"close"}}), s.base()+"/ramp")
	if w := s.do(request("GET", second, nil)); w.Code != 404 {
		t.Errorf("a revoked address: %d, want 404", w.Code)
	}
	if strings.Contains(s.log.String(), strings.TrimSuffix(second[6:], ".ics")) {
		t.Error("the secret is in the log")
	}
}

// TestRampAdditions: a goal of 30 min is behind the last stage of 42 min, so twelve weeks of a
// runner who had 42 min three times hold what comes after: the page, the calendar and the file
// for a watch name strides, and nobody says how many.
func TestRampAdditions(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(map[int]float64{12: 7, 8: 7, 4: 7})})
	s.post(s.base()+"/hurts", url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {(today - 30).String()}, "pain": {"1"}, "stiffness": {"5"}})
	page := s.base() + "/ramp"
	s.redirected(s.post(page, everyDay("goal", "5", "pace", "6:00")), page)
	html := s.get(page)
	wantIn(t, html, "42 min, with strides", "strides begin", "42 min, with hills", "then strides, hills and speed, two weeks each", "is for whoever is in charge to say")
	wantIn(t, strings.ReplaceAll(s.get(page+"/runs.ics"), "\r\n ", ""), `SUMMARY:Run 42 min\, with strides`, `Strides: a few\, relaxed. How many`)
	day := regexp.MustCompile(`/(\d{4}-\d{2}-\d{2})\.fit"[^>]*>watch</a></td><td></td><td class="wrap">[^<]*with strides`).FindStringSubmatch(html)
	if day == nil {
		t.Fatal("no file for a watch of a run with strides")
	}
	file, err := decoder.New(bytes.NewReader(s.do(request("GET", page+"/"+day[1]+".fit", nil)).Body.Bytes())).Decode()
	if err != nil {
		t.Fatal(err)
	}
	if steps := filedef.NewWorkout(file.Messages...).WorkoutSteps; len(steps) != 3 || steps[1].WktStepName != "Run, strides" {
		t.Errorf("%+v", steps)
	}
}

// TestRampAdditionWaits: what comes after the ladder is allowed step by step, up to the last
// addition and no further.
func TestRampAdditionWaits(t *testing.T) {
	s := climbing(t)
	page := s.base() + "/ramp"
	s.redirected(s.post(page, everyDay("confirm", "yes")), page)
	for roof, want := range map[string]int{"14": 303, "15": 303, "18": 303, "19": 422} {
		if w := s.post(page+"/state", url.Values{"state": {"running"}, "roof": {roof}}); w.Code != want {
			t.Errorf("up to %s: %d, want %d", roof, w.Code, want)
		}
	}
}
