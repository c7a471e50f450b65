package web_test

import (
	"net/url"
	"strings"
	"testing"
)

func TestSettingsPage(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(map[int]float64{40: 5, 20: 6, 2: 8})})
	page := s.base() + "/settings"
	wantIn(t, s.get(page), "What the numbers are made with", "Highest heart rate, measured, in bpm", "100 to 240", "Nothing was changed")

	w := s.post(page, url.Values{"group": {"limits"}, "from": {today.String()}, "session-share": {"12,5"}, "week-km": {"2"}})
	if w.Code != 303 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	wantIn(t, s.get(page), `name="session-share" inputmode="decimal" autocomplete="off" size="8" value="12.5"`,
		"growth of the longest session and day: 12.5 %, from 3 May 2026 on", "on this machine")
	if n := strings.Count(s.get(page), "least growth of a week:"); n > 0 {
		t.Error("a setting that was left as it is was kept")
	}

	tests := []struct {
		name string
		form url.Values
		want []string
	}{
		{"over the bounds", url.Values{"group": {"limits"}, "from": {today.String()}, "week-share": {"90"}}, []string{"Growth of the week takes 0 to 60", `value="90"`, `aria-invalid="true"`}},
		{"no number", url.Values{"group": {"limits"}, "from": {today.String()}, "week-share": {"much"}}, []string{"Growth of the week takes", `value="much"`}},
		{"a day ahead", url.Values{"group": {"limits"}, "from": {(today + 1).String()}, "week-share": {"20"}}, []string{"today or a day before", `value="20"`}},
		{"highest below rest", url.Values{"group": {"heart"}, "from": {today.String()}, "heart-max": {"110"}, "heart-rest": {"95"}}, []string{"The highest heart rate, 110 bpm, is not at least 30 above the rate at rest, 95 bpm.", `value="110"`}},
		{"not a number", url.Values{"group": {"heart"}, "from": {today.String()}, "heart-max": {"NaN"}}, []string{"Highest heart rate, measured takes 100 to 240"}},
		{"no such choice", url.Values{"group": {"heart"}, "from": {today.String()}, "heart-method": {"7"}}, []string{"How heart rates are weighed takes"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := s.post(page, tt.form)
			if w.Code != 422 {
				t.Errorf("status %d, want 422", w.Code)
			}
			wantIn(t, w.Body.String(), tt.want...)
		})
	}
	// The same values from an earlier day: the day alone is what changes.
	heart := url.Values{"group": {"heart"}, "from": {today.String()}, "heart-max": {"186"}, "heart-rest": {"52"}}
	if w := s.post(page, heart); w.Code != 303 {
		t.Fatalf("status %d", w.Code)
	}
	heart.Set("from", (today - 100).String())
	if w := s.post(page, heart); w.Code != 303 {
		t.Fatalf("status %d for an earlier day", w.Code)
	}
	wantIn(t, s.get(page), "heart rate at rest: 52 bpm, from 23 January 2026 on")
	if w := s.post(page, heart); w.Code != 422 || !strings.Contains(w.Body.String(), "Nothing was changed") {
		t.Errorf("status %d for the same again, want 422", w.Code)
	}
	if w := s.post(page, url.Values{"group": {"none"}}); w.Code != 422 {
		t.Errorf("a group that is none: %d", w.Code)
	}
}

// TestNewcomer asks who has no history, keeps what is said, and counts with it.
func TestNewcomer(t *testing.T) {
	s := newSite(t)
	wantIn(t, s.get(s.base()), "What did you run before?", "up to 2.8")
	w := s.post(s.base()+"/newcomer", url.Values{"longest": {""}, "week": {"24"}, "unit": {"km"}})
	if w.Code != 422 {
		t.Errorf("status %d without a longest run, want 422", w.Code)
	}
	wantIn(t, w.Body.String(), "Say how long your longest run", `value="24"`)
	w = s.post(s.base()+"/newcomer", url.Values{"longest": {"10"}, "week": {"400.5"}, "unit": {"km"}})
	wantIn(t, w.Body.String(), "A usual week is a number of km", `value="400.5"`)
	if w = s.post(s.base()+"/newcomer", url.Values{"longest": {"9,5"}, "week": {"24"}, "runs": {"3"}, "unit": {"km"}, "novice": {"yes"}}); w.Code != 303 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	page := s.get(s.base())
	wantIn(t, page, "By what you said, your limits leave up to 9.5")
	if strings.Contains(page, "What did you run before?") {
		t.Error("asked again")
	}
	wantIn(t, s.get(s.base()+"/settings"), "running for less than six months: yes")
}

// TestNewcomerInMinutes: answers in minutes are counted with, in minutes.
func TestNewcomerInMinutes(t *testing.T) {
	s := newSite(t)
	if w := s.post(s.base()+"/newcomer", url.Values{"longest": {"60"}, "week": {"200"}, "runs": {"3"}, "unit": {"min"}}); w.Code != 303 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	wantIn(t, s.get(s.base()), "By what you said, your limits leave up to 60")
}

func TestRacesPage(t *testing.T) {
	s := newSite(t)
	runs := make(map[int]float64)
	for back := 2; back < 60; back += 2 {
		runs[back] = 8
	}
	s.upload([2]string{"diary.csv", diary(runs)})
	races := s.base() + "/races"
	for _, bad := range []struct {
		form url.Values
		want string
	}{
		{url.Values{"day": {"soon"}, "name": {"Pier ten"}}, "Say on which day the race is."},
		{url.Values{"day": {today.String()}, "distance": {"900"}}, "The distance is a number of km"},
		{url.Values{"day": {"1500-01-01"}}, "want a day of this century"},
		{url.Values{"day": {today.String()}, "name": {strings.Repeat("x", 101)}}, "longer than 100 characters"},
	} {
		w := s.post(races, bad.form)
		if w.Code != 422 {
			t.Errorf("%v: status %d", bad.form, w.Code)
		}
		wantIn(t, w.Body.String(), bad.want)
	}
	if w := s.post(races, url.Values{"day": {today.String()}, "name": {"Pier ten"}, "distance": {"10"}}); w.Code != 303 {
		t.Fatalf("status %d\n%s", w.Code, w.Body)
	}
	// 10 of 8 km is 25 % over: the cohort's figure for 10 to 30 %.
	wantIn(t, s.get(s.base()), "Today: Pier ten, 10.0 km.", "10 to 30 % over your longest run", "1.64 times as often", "1.31 to 2.05",
		"Whether races differ from other runs is not known", "the race was accepted on this machine")
	if strings.Contains(s.get(s.base()), "left of") {
		t.Error("a limit speaks on the day of a race")
	}
	wantIn(t, s.get(races), "Pier ten, 10.0", "planned and accepted")
	s.post(races, url.Values{"day": {today.String()}, "name": {"Pier ten"}, "off": {"yes"}})
	wantIn(t, s.get(races), "No race is planned", "taken off")
	wantIn(t, s.get(s.base()), "within your limits today")
	s.post(races, url.Values{"day": {(today + 7).String()}, "name": {"Hill climb"}})
	wantIn(t, s.get(s.base()), "Next race:", "Hill climb")
	wantIn(t, s.get(s.base()+"?if=12&on="+(today+7).String()), "A race is planned for that day: no limit speaks on it.")
}

// TestSessionCheck asks of two runners who is over, and shows every limit before and
// after.
func TestSessionCheck(t *testing.T) {
	s := newSite(t)
	runs := make(map[int]float64)
	for back := 1; back < 60; back += 2 {
		runs[back] = 12
	}
	s.upload([2]string{"diary.csv", diary(runs)})
	if _, err := s.journal.AddRunner(t.Context(), "Ivo Lund", "Europe/Oslo", today); err != nil {
		t.Fatal(err)
	}
	page := s.get("/runners?if=12&in=distance&on=" + (today + 2).String())
	wantIn(t, page, "12", "on Tuesday 5 May", "<strong>Nell Ashby</strong>: within every limit", "<strong>Ivo Lund</strong>: over: break",
		"left before", "left after", `data-field="after"`)
	if w := s.do(request("GET", "/runners?if=lots", nil)); w.Code != 422 || !strings.Contains(w.Body.String(), `value="lots"`) {
		t.Errorf("status %d, want 422 with what was typed", w.Code)
	}
}

// TestLoadCSV holds the table against the page's days.
func TestLoadCSV(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(map[int]float64{9: 5, 2: 6, 0: 8})})
	table := s.get(s.base() + "/load.csv?measure=distance&from=" + (today - 2).String())
	lines := strings.Split(strings.TrimSpace(table), "\r\n")
	if len(lines) != 4 || !strings.HasPrefix(lines[0], "date,measure,unit,state,load,acute,acute_most,") {
		t.Fatalf("%d lines\n%s", len(lines), table)
	}
	// 6 two days ago and 8 today are 14 in seven days; 6 is the longest before.
	if !strings.HasPrefix(lines[3], today.String()+",distance,km,reported,8,14,14,,") || !strings.Contains(lines[3], ",6,") {
		t.Errorf("last line %q", lines[3])
	}
	wantIn(t, lines[3], "ratio_coupled history")
	if w := s.do(request("GET", s.base()+"/load.csv?measure=watts", nil)); w.Code != 422 {
		t.Errorf("status %d, want 422", w.Code)
	}
}
