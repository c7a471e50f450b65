package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

// week returns the distance of the last seven days in km as the load page has it.
func (s *site) week() float64 {
	s.t.Helper()
	book, err := s.journal.Open(s.t.Context(), journal.Local, s.runner.ID)
	if err != nil {
		s.t.Fatal(err)
	}
	in, err := book.Input(s.t.Context(), today)
	if err != nil {
		s.t.Fatal(err)
	}
	return load.NewHistory(in, load.Distance).DayRows(today, today)[0].Acute
}

// The same run from a watch and, shorter by a tenth, from a phone. 29:55 min at
// 3 m/s are 5.385 km, 26:55 are 4.845.
func TestSwitchDouble(t *testing.T) {
	s := newSite(t)
	start := noon.AddDate(0, 0, -3)
	s.upload([2]string{"watch.gpx", gpx(start, 30)}, [2]string{"phone.gpx", gpx(start, 27)})
	all := s.sessions()
	if len(all) != 2 {
		t.Fatalf("%d sessions", len(all))
	}
	longer, shorter := all[0], all[1]
	if longer.Distance < shorter.Distance {
		longer, shorter = shorter, longer
	}
	near := func(what string, want float64) {
		t.Helper()
		if got := s.week(); got < want-0.05 || got > want+0.05 {
			t.Errorf("%s: the week has %.3f km, want %.3f", what, got, want)
		}
	}
	near("the richer counts", 5.385)
	target := s.base() + "/runs/" + shorter.ID
	page := s.get(target)
	wantIn(t, page, "Another recording of the same run counts instead of this one", "Count this one instead", "/runs/"+longer.ID)
	press := func(id, choice, seen string) {
		t.Helper()
		w := s.post(s.base()+"/runs/"+id+"/double", url.Values{"double": {choice}, "seen": {seen}})
		if w.Code != http.StatusSeeOther {
			t.Fatalf("%s of %s: %d\n%s", choice, id, w.Code, w.Body)
		}
	}
	press(shorter.ID, "counts", "0")
	near("switched", 4.845)
	wantIn(t, s.get(target), "The same run, not counted", "this recording counts, not the other of the same run", "Let the program choose")
	wantIn(t, s.get(s.base()+"/runs/"+longer.ID), "Count this one instead")

	press(longer.ID, "counts", "0")
	near("switched back", 5.385)
	wantIn(t, s.get(target), "which recording counts: back to what the file says")

	press(shorter.ID, "apart", "2")
	near("two runs", 5.385+4.845)
	wantIn(t, s.get(target), "You said that this is a run of its own")
	press(shorter.ID, "", "3")
	near("one after all", 5.385)

	for _, form := range []url.Values{
		{"double": {"both"}, "seen": {"0"}}, {"double": {"counts"}, "seen": {"x"}}, {},
	} {
		if w := s.post(target+"/double", form); w.Code != http.StatusUnprocessableEntity && w.Code != http.StatusConflict {
			t.Errorf("%v: %d", form, w.Code)
		}
	}
	if w := s.post(target+"/double", url.Values{"double": {"apart"}, "seen": {"0"}}); w.Code != http.StatusConflict {
		t.Errorf("the second editor: %d, want 409", w.Code)
	}
}

// beltTCX is ten minutes on a treadmill, 1.5 km by the watch.
const beltTCX = `<?xml version="1.0"?><TrainingCenterDatabase xmlns="http://www.garmin.com/xmlschemas/TrainingCenterDatabase/v2"><Activities>
<Activity Sport="Running"><Id>2026-05-01T10:00:00Z</Id><Lap StartTime="2026-05-01T10:00:00Z"><TotalTimeSeconds>600</TotalTimeSeconds><DistanceMeters>1500</DistanceMeters><Track>
<Trackpoint><Time>2026-05-01T10:00:00Z</Time><DistanceMeters>0</DistanceMeters><HeartRateBpm><Value>120</Value></HeartRateBpm></Trackpoint>
<Trackpoint><Time>2026-05-01T10:05:00Z</Time><DistanceMeters>750</DistanceMeters><HeartRateBpm><Value>130</Value></HeartRateBpm></Trackpoint>
<Trackpoint><Time>2026-05-01T10:10:00Z</Time><DistanceMeters>1500</DistanceMeters><HeartRateBpm><Value>130</Value></HeartRateBpm></Trackpoint>
</Track></Lap></Activity></Activities></TrainingCenterDatabase>`

// What the belt said counts, once it is said on the first page.
func TestBelt(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"belt.tcx", beltTCX})
	one := s.sessions()[0]
	if one.Surface != load.Treadmill {
		form := s.form(one.ID)
		form.Set("surface", "treadmill")
		if w := s.post(s.base()+"/runs/"+one.ID, form); w.Code != http.StatusSeeOther {
			t.Fatalf("surface: %d\n%s", w.Code, w.Body)
		}
	}
	page := s.get("/")
	wantIn(t, page, "Friday 1 May 2026, on the treadmill", "the watch guessed 1.5 km", "What did the belt say?")
	seen := formIn(s.get(s.base() + "/runs/" + one.ID)).Get("seen")
	form := url.Values{"seen": {seen}, "was-distance": {""}, "distance": {"far"}, "back": {"today"}}
	if w := s.post(s.base()+"/runs/"+one.ID, form); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("far: %d, want 422", w.Code)
	} else {
		wantIn(t, w.Body.String(), `required value="far" aria-invalid="true"`, "want 0.05 to 500")
	}
	form.Set("distance", "1,65")
	w := s.post(s.base()+"/runs/"+one.ID, form)
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != s.base() {
		t.Fatalf("belt: %d to %s\n%s", w.Code, w.Header().Get("Location"), w.Body)
	}
	if got := s.sessions()[0]; got.Distance != 1650 || got.DistanceSource != load.DistanceTyped || got.Surface != load.Treadmill {
		t.Errorf("distance %v from %q on %q", got.Distance, got.DistanceSource, got.Surface)
	}
	wantNotIn(t, s.get("/"), "What did the belt say?")
	wantIn(t, s.get(s.base()+"/runs/"+one.ID), "As recorded, and as it counts", "1.50 km", "1.65 km", "given by hand", "distance in km: 1.65")
}

// Everything that a file could not know, in one form.
func TestEditEverything(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -3), 30)}, [2]string{"b.gpx", gpx(noon.AddDate(0, 0, -1), 30)})
	id := s.sessions()[0].ID
	form := s.form(id)
	for key, value := range map[string]string{
		"surface": "trail", "shoe": "the blue ones", "note": "past the harbour\r\nand <back>", "distance": "5,5", "run": "20", "day": "2026-04-29",
	} {
		form.Set(key, value)
	}
	if w := s.post(s.base()+"/runs/"+id, form); w.Code != http.StatusSeeOther {
		t.Fatalf("%d\n%s", w.Code, w.Body)
	}
	got := s.sessions()[0]
	if got.ID != id || got.Surface != load.Trail || got.Shoe != "the blue ones" || got.Note != "past the harbour\nand <back>" ||
		got.Distance != 5500 || got.RunTime.Minutes() != 20 || got.Day != load.Date(2026, 4, 29) {
		t.Errorf("%+v", got)
	}
	page := s.get(s.base() + "/runs/" + id)
	wantIn(t, page, "and &lt;back&gt;", "the blue ones", "Wednesday 29 April 2026", "distance in km: 5.5", "minutes run: 20", "date: 2026-04-29")
	// The shoes are offered for the other run.
	wantIn(t, s.get(s.base()+"/runs/"+s.sessions()[1].ID), `<option value="the blue ones">`)
	problems, err := s.journal.Check(t.Context())
	if err != nil || len(problems) > 0 {
		t.Errorf("check: %v %v", problems, err)
	}
	// Saved again as it is, nothing is said twice.
	if w := s.post(s.base()+"/runs/"+id, s.whole(page)); w.Code != http.StatusSeeOther {
		t.Errorf("%d\n%s", w.Code, w.Body)
	}
	if again := formIn(s.get(s.base() + "/runs/" + id)).Get("seen"); again != formIn(page).Get("seen") {
		t.Errorf("%s edits after saving the same again", again)
	}
}

// whole is the form of a page with each field as it was made.
func (s *site) whole(page string) url.Values {
	form := formIn(page)
	for key := range form {
		if field, ok := strings.CutPrefix(key, "was-"); ok {
			form.Set(field, form.Get(key))
		}
	}
	return form
}

func TestEditThatCannotBe(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -3), 30)})
	id := s.sessions()[0].ID
	for _, test := range []struct{ key, value, says string }{
		{"distance", "0", "want 0.05 to 500"},
		{"run", "45", "no more can have been run"},
		{"day", "2026-05-04", "has not come yet"},
		{"day", "then", "want a date"},
		{"surface", "moon", "want road, trail, track or treadmill"},
		{"shoe", strings.Repeat("x", 101), "want one line of at most 100 characters"},
	} {
		form := s.form(id)
		form.Set(test.key, test.value)
		w := s.post(s.base()+"/runs/"+id, form)
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s %q: %d, want 422", test.key, test.value, w.Code)
		}
		wantIn(t, w.Body.String(), test.says, `aria-invalid="true"`)
	}
}
