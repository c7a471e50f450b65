package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

func (s *site) said() []journal.Gap {
	s.t.Helper()
	book, err := s.journal.Open(s.t.Context(), journal.Local, s.runner.ID)
	if err != nil {
		s.t.Fatal(err)
	}
	said, err := book.Gaps(s.t.Context())
	if err != nil {
		s.t.Fatal(err)
	}
	return said
}

// A run three weeks ago and none since: 20 days without a record, of which the
// page asks.
func TestGap(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -21), 30)})
	wantIn(t, s.get("/"), "No record from 13 April 2026 to 2 May 2026", "(20 days)")
	form := url.Values{"first": {"2026-04-13"}, "last": {"2026-05-02"}, "runs": {"4"}, "longest": {"9"}, "answer": {"ran"}, "back": {"today"}}
	w := s.post(s.base()+"/gaps", form)
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != s.base() {
		t.Fatalf("answer: %d to %s\n%s", w.Code, w.Header().Get("Location"), w.Body)
	}
	page := s.get("/")
	wantNotIn(t, page, "No record from")
	if said := s.said(); len(said) != 1 || said[0].Runs != 4 || said[0].Longest != 9_000_000 || said[0].First != today-20 || said[0].Last != today-1 {
		t.Errorf("kept %+v", said)
	}
	gaps := s.get(s.base() + "/gaps")
	wantIn(t, gaps, "13 April 2026 to 2 May 2026: about 4 runs without a watch, the longest 9.0 km", "There is no gap to ask about", "Take back")
	// Of four runs in twenty days the third is the longest: day 12 of them.
	wantIn(t, s.get(s.base()+"/load"), `<data value="9" data-field="load">`, "<td>typed</td>")

	form = url.Values{"first": {"2026-04-13"}, "last": {"2026-05-02"}, "answer": {""}}
	if w := s.post(s.base()+"/gaps", form); w.Code != http.StatusSeeOther {
		t.Fatalf("take back: %d", w.Code)
	}
	wantIn(t, s.get("/"), "No record from 13 April 2026")
}

// Forms keep what was typed, and a refusal says what to do.
func TestGapWrongly(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -21), 30)})
	for _, test := range []struct{ first, last, runs, longest, answer, says string }{
		{"2026-04-13", "2026-05-02", "many", "9", "ran", "Type about how many runs there were"},
		{"2026-04-13", "2026-05-02", "4", "far", "ran", "Type the longest of them in km"},
		{"2026-04-13", "2026-05-02", "4", "NaN", "ran", "Type the longest of them in km"},
		{"2026-04-13", "2026-05-02", "40", "9", "ran", "40 runs in 20 days: at most one a day"},
		{"2026-05-02", "2026-04-13", "4", "9", "ran", "before the first"},
		{"2026-05-02", "2026-05-04", "1", "9", "ran", "has not come yet"},
		{"soon", "2026-05-02", "1", "9", "ran", "The first day is no date"},
		{"2026-05-01", "2026-05-02", "", "", "slept", "Answer"},
		{"1906-05-01", "2026-05-02", "", "", "rested", "more than ten years"},
	} {
		form := url.Values{"first": {test.first}, "last": {test.last}, "runs": {test.runs}, "longest": {test.longest}, "answer": {test.answer}}
		w := s.post(s.base()+"/gaps", form)
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%+v: %d, want 422", test, w.Code)
		}
		wantIn(t, w.Body.String(), test.says, `value="`+test.first+`"`)
		if test.longest != "" {
			wantIn(t, w.Body.String(), `value="`+test.longest+`"`)
		}
	}
	if said := s.said(); len(said) > 0 {
		t.Errorf("kept %+v", said)
	}
}

// Enter in the field of the runs answers that there were some.
func TestGapByEnter(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -21), 30)})
	form := url.Values{"first": {"2026-04-13"}, "last": {"2026-05-02"}, "runs": {"2"}, "longest": {"7,5"}}
	if w := s.post(s.base()+"/gaps", form); w.Code != http.StatusSeeOther {
		t.Fatalf("%d\n%s", w.Code, w.Body)
	}
	if said := s.said(); len(said) != 1 || said[0].Answer != load.GapRan || said[0].Longest != 7_500_000 {
		t.Errorf("kept %+v", said)
	}
}

func TestNoGapOfALogbookWithoutRuns(t *testing.T) {
	s := newSite(t)
	wantIn(t, s.get(s.base()+"/gaps"), "There is no gap to ask about")
	if strings.Contains(s.get("/"), "No record from") {
		t.Error("a gap is asked about before the first run")
	}
}
