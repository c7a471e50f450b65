package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

func TestFirstRun(t *testing.T) {
	s := newSite(t)
	wantIn(t, s.get("/"), "No run is in the logbook yet.", `href="`+s.base()+`/add"`, "follow your clinician")
	wantIn(t, s.get(s.base()+"/load"), "No run that counts is in the logbook yet.")
	wantIn(t, s.get(s.base()+"/runs"), "No run is in the logbook yet.")
}

func TestOneRun(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(map[int]float64{1: 5})})
	wantIn(t, s.get("/"), "Provisional: the logbook knows fewer than 30 days", "within your limits today")
	wantIn(t, s.get(s.base()+"/load"), "not yet: too few days since the first run")
	wantIn(t, s.get(s.base()+"/runs"), `<span class="most">1</span> recording in the logbook.`)
	wantIn(t, s.get(s.base()+"/runs/"+s.sessions()[0].ID), "Nothing to compare it with: no run in the 30 days before.")
}

// The longest held run that is a week old is 8 km (15.2 km waits: it was 90 %
// over, typed on 12 April, and nothing spoke against it in the seven days after,
// so it is held from 19 April on). So T7 is 15.2 km and the session may have 10 %
// more, 16.7 km; the day the same. B7, the best seven days that ended 7 to 34 days
// ago, is 15.2 + 5 + 5 = 25.2 km, the week may have 30 % more, 32.7 km (7.6 km is
// under 12), less the 10 km of the six days before today: 22.7 km.
func TestTodaysAnswer(t *testing.T) {
	s := newSite(t)
	s.steady()
	page := s.get("/")
	wantIn(t, page,
		"Sunday 3 May 2026", `data-field="headroom.amount">16.7 km</data> within your limits today.`,
		"The session limit decides: the longest held run 7 to 30 days old is 15.2 km.",
		"Your usual Sunday is 8.0 km.", "A roof, never a plan.", "follow your clinician", "call the emergency number")
}

func TestWhatIf(t *testing.T) {
	s := newSite(t)
	s.steady()
	tests := []struct {
		name, query string
		status      int
		texts       []string
	}{
		// 17 of 15.2 km is 12 % over; 10 km of the last six days and 17 are 27,
		// the seven days before had 18.
		{"over", "if=17", 200, []string{"If you run 17 km today", "It is over the session limit (16.7 km left) and the day limit (16.7 km left).", "12 % over your longest of 30 days (15.2 km)", "would be 27.0 km, 9.0 km more"}},
		{"within, with a comma", "if=7%2C5", 200, []string{"If you run 7.5 km today", "It is within every limit.", "51 % under your longest"}},
		{"in minutes", "if=40&in=time", 200, []string{"If you run 40 min today"}},
		{"words", "if=far", 422, []string{"Type how much you would run", `value="far"`}},
		{"nothing at all", "if=0", 422, []string{`value="0"`}},
		{"without end", "if=1e300", 422, []string{`value="1e300"`}},
		{"no number", "if=NaN", 422, []string{`value="NaN"`}},
		{"markup", "if=" + url.QueryEscape(`"><script>`), 422, []string{`value="&#34;&gt;&lt;script&gt;"`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := s.do(request("GET", "/?"+tt.query, nil))
			if w.Code != tt.status {
				t.Errorf("status %d, want %d", w.Code, tt.status)
			}
			wantIn(t, w.Body.String(), tt.texts...)
		})
	}
	if n := len(s.sessions()); n != 30 {
		t.Errorf("%d sessions after what was only imagined, want 30", n)
	}
}

// A finding is answered where it stands, and says so.
func TestFindings(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(steadyThen(map[int]float64{1: 20}))})
	page := s.get("/")
	wantIn(t, page, "Note: One run much longer than the runs before it", "20.0 km is 32 % over the longest run of the 30 days before (15.2 km)", "I have seen it")
	_, rest, _ := strings.Cut(page, s.base()+"/findings/")
	id, _, _ := strings.Cut(rest, `"`)
	answer := func(form url.Values) int { t.Helper(); return s.post(s.base()+"/findings/"+id, form).Code }

	if got := answer(url.Values{"state": {"seen"}, "back": {"today"}}); got != http.StatusSeeOther {
		t.Fatalf("seen: %d, want 303", got)
	}
	page = s.get("/")
	wantIn(t, page, "Seen, on this machine.", "Open it again")
	wantNotIn(t, page, "I have seen it")
	answer(url.Values{"state": {"open"}, "back": {"today"}}) // it was a slip
	wantIn(t, s.get("/"), "I have seen it")
	answer(url.Values{"state": {"seen"}, "back": {"today"}})
	answer(url.Values{"state": {"set-aside"}, "why": {"the club's <b>long</b> day"}, "back": {"load"}})
	wantIn(t, s.get("/"), "Nothing to look at.")
	page = s.get(s.base() + "/load")
	wantIn(t, page, "Set aside, on this machine: the club&#39;s &lt;b&gt;long&lt;/b&gt; day", "Open it again")
	answer(url.Values{"state": {"open"}})
	wantIn(t, s.get("/"), "I have seen it")

	for name, form := range map[string]url.Values{
		"withdrawn, which only rules may say": {"state": {"withdrawn"}},
		"no state":                            {},
		"no reason":                           {"state": {"set-aside"}},
		"a reason without end":                {"state": {"set-aside"}, "why": {strings.Repeat("x", 3000)}},
	} {
		if got := answer(form); got != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d, want 422", name, got)
		}
	}
	if got := s.post(s.base()+"/findings/none", url.Values{"state": {"seen"}}).Code; got != http.StatusNotFound {
		t.Errorf("no such finding: %d, want 404", got)
	}
}

func steadyThen(more map[int]float64) map[int]float64 {
	runs := steady()
	for back, km := range more {
		runs[back] = km
	}
	return runs
}

// A warning of the last days is shown although it is older than the logbook; one
// that a correction took away is not.
func TestFindingsOfANewcomer(t *testing.T) {
	s := newSite(t)
	newcomer, err := s.journal.AddRunner(t.Context(), "Ivo Sand", "Europe/Oslo", today)
	if err != nil {
		t.Fatal(err)
	}
	s.runner = newcomer
	s.upload([2]string{"diary.csv", diary(steadyThen(map[int]float64{1: 20, 60: 30}))})
	const last, early = "20.0 km is 32 % over", "30.0 km is"
	page := s.get(s.base())
	wantIn(t, page, last, "From before you began here.")
	wantNotIn(t, strings.ReplaceAll(page, "\u00a0", " "), early, "I have seen it")
	wantIn(t, s.get(s.base()+"/load"), last, early)

	for _, one := range s.sessions() {
		if one.Day == today-1 {
			form := s.form(one.ID)
			form.Set("exertion", "4")
			form.Set("excluded", "yes")
			if w := s.post(s.base()+"/runs/"+one.ID, form); w.Code != http.StatusSeeOther {
				t.Fatalf("leave out: %d", w.Code)
			}
		}
	}
	for _, address := range []string{"", "/load"} {
		wantNotIn(t, strings.ReplaceAll(s.get(s.base()+address), "\u00a0", " "), last)
	}
}

// Where days are unknown the answer says so, to what is asked as well.
func TestUnknownDays(t *testing.T) {
	s := newSite(t)
	runs := make(map[int]float64)
	for back := 20; back < 80; back += 3 {
		runs[back] = 6
	}
	s.upload([2]string{"diary.csv", diary(runs)})
	const caveat = "Of some of the last seven days, or all, nothing is known."
	page := s.get("/?if=3")
	if got := strings.Count(strings.ReplaceAll(page, "\u00a0", " "), caveat); got != 2 {
		t.Errorf("the caveat stands %d times, want it at the answer and at the question", got)
	}
	wantIn(t, page, "Dotted: not known.", "half of the median run of the 28 days before the break (6.0 km)")
}
