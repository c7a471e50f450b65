package web_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"tidemark/load"
)

var fieldOf = regexp.MustCompile(`name="(seen|was-\w+)" value="([^"]*)"`)

// form is the form of a run as its page gives it, to be changed by a test.
func (s *site) form(id string) url.Values {
	s.t.Helper()
	return formIn(s.get(s.base() + "/runs/" + id))
}

func formIn(page string) url.Values {
	out := make(url.Values)
	for _, m := range fieldOf.FindAllStringSubmatch(page, -1) {
		out.Set(m[1], m[2])
	}
	out.Set("exertion", out.Get("was-exertion"))
	out.Set("kind", out.Get("was-kind"))
	for _, name := range []string{"race", "excluded"} {
		if out.Get("was-"+name) == "yes" {
			out.Set(name, "yes")
		}
	}
	return out
}

func TestEditRun(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"sunday.gpx", gpx(noon.AddDate(0, 0, -7), 30)})
	id := s.sessions()[0].ID
	target := s.base() + "/runs/" + id
	wantIn(t, s.get(target), "What was measured", "along the track", "From sunday.gpx (gpx")

	form := s.form(id)
	form.Set("exertion", "6,5")
	form.Set("race", "yes")
	if w := s.post(target, form); w.Code != http.StatusSeeOther {
		t.Fatalf("save: %d\n%s", w.Code, w.Body)
	}
	page := s.get(target)
	wantIn(t, page, `value="6.5"`, "effort: 6.5", "race: yes", "it sets no length")
	// 30 min less the five seconds after the last point, times 6.5 (Foster et al.
	// 2001): 29.9 min x 6.5 = 194.5.
	one := s.sessions()[0]
	if got, ok := one.Measures.Get(load.Exertion); !ok || got < 194_000 || got > 195_000 || !one.Race {
		t.Errorf("exertion %d, race %v; want about 194.5 effort min and a race", got, one.Race)
	}

	form = s.form(id)
	form.Set("exertion", "6.5")
	form.Set("race", "yes")
	form.Set("excluded", "yes")
	s.post(target, form)
	wantIn(t, s.get(target), "You left it out", "left out of the load: yes")
	wantIn(t, s.get(s.base()+"/runs"), "left out of the load")
	wantIn(t, s.get("/"), "No run that counts is in the logbook.")

	form = s.form(id)
	form.Del("excluded")
	form.Set("kind", "walking")
	s.post(target, form)
	wantIn(t, s.get(target), "Only runs make running load", "what it was: walking")
	if got := s.sessions()[0].Sport; got != load.Walking {
		t.Errorf("it is %v, want walking", got)
	}
}

func TestEditRunWrongly(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"sunday.gpx", gpx(noon.AddDate(0, 0, -7), 30)})
	id := s.sessions()[0].ID
	target := s.base() + "/runs/" + id

	form := s.form(id)
	form.Set("exertion", "11")
	form.Set("race", "yes")
	w := s.post(target, form)
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("effort of 11: %d, want 422", w.Code)
	}
	wantIn(t, w.Body.String(), "want 0 to 10", `value="11"`, `name="race" value="yes" checked`, `aria-invalid="true"`)

	form = s.form(id)
	form.Set("kind", "flying")
	if w := s.post(target, form); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("flying: %d, want 422", w.Code)
	}

	// Two have the same form open; the second to save is told.
	first, second := s.form(id), s.form(id)
	first.Set("exertion", "4")
	second.Set("exertion", "8")
	s.post(target, first)
	w = s.post(target, second)
	if w.Code != http.StatusConflict {
		t.Errorf("the second editor: %d, want 409", w.Code)
	}
	wantIn(t, w.Body.String(), "Somebody else corrected this run meanwhile", `value="8"`, "effort: 4")
	second = formIn(w.Body.String())
	second.Set("exertion", "8")
	if w := s.post(target, second); w.Code != http.StatusSeeOther {
		t.Errorf("the second editor again: %d, want 303", w.Code)
	}
	wantIn(t, s.get(target), `value="8"`)

	// What the second left alone keeps what the first made of it.
	first, second = s.form(id), s.form(id)
	first.Set("exertion", "9")
	first.Set("excluded", "yes")
	second.Set("race", "yes")
	s.post(target, first)
	w = s.post(target, second)
	wantIn(t, w.Body.String(), `name="race" value="yes" checked`, `name="excluded" value="yes" checked`, `value="9"`)
	second = formIn(w.Body.String())
	second.Set("race", "yes")
	s.post(target, second)
	if one := s.sessions()[0]; !one.Race || !one.Excluded {
		t.Errorf("race %v, left out %v; want what both said", one.Race, one.Excluded)
	}
}

// The original comes back as it was handed in, under a name that says nothing
// and runs nothing.
func TestOriginal(t *testing.T) {
	s := newSite(t)
	file := gpx(noon.AddDate(0, 0, -7), 30)
	s.upload([2]string{`"; rm -rf ~ "<script>.gpx`, file})
	w := s.do(request("GET", s.base()+"/runs/"+s.sessions()[0].ID+"/original", nil))
	if w.Body.String() != file {
		t.Error("the file differs from what was handed in")
	}
	name := w.Header().Get("Content-Disposition")
	if !strings.HasPrefix(name, `attachment; filename="`) || !strings.HasSuffix(name, `.gpx"`) || strings.ContainsAny(name, "<>~") {
		t.Errorf("it is called %s", name)
	}
}

// A run with positions has curves and the same as numbers; a typed one has
// neither.
func TestCurves(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -7), 30)}, [2]string{"b.csv", diary(map[int]float64{2: 5})})
	all := s.sessions()
	page := s.get(s.base() + "/runs/" + all[0].ID)
	wantIn(t, page, "<strong>Speed</strong>", "<strong>Elevation</strong>", "The curves as numbers", "5:33 /km") // 3 m/s
	wantNotIn(t, page, "<strong>Heart rate</strong>")
	wantNotIn(t, s.get(s.base()+"/runs/"+all[1].ID), "<strong>Speed</strong>", "The curves as numbers")
}

// Two runs with less than half an hour between them are one effort, and no page
// says of one of them what both together are.
func TestOneEffort(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", "date,start,distance_km,duration_min\n" +
		"2026-04-20,08:00,6,36\n2026-05-01,08:00,5,30\n2026-05-01,08:40,5,30\n"})
	all := s.sessions()
	first, second := s.get(s.base()+"/runs/"+all[1].ID), s.get(s.base()+"/runs/"+all[2].ID)
	// 10 of 6 km is 67 % over.
	wantIn(t, first, "With what followed within half an hour, 10.0 km: 67 % over the longest run of the 30 days before (6.0 km)")
	wantIn(t, second, "the two count as one effort")
	wantIn(t, s.get(s.base()+"/runs"), "with what followed, 10.0 km: 67 % over the longest of 30 days (6.0 km)")
}

// Of a run that was recorded twice the lesser recording says so, and leads to the
// one that counts.
func TestDouble(t *testing.T) {
	s := newSite(t)
	start := noon.AddDate(0, 0, -7)
	s.upload([2]string{"a.gpx", gpx(start, 30)}, [2]string{"b.gpx", strings.ReplaceAll(gpx(start, 29), "invented", "other")})
	all := s.sessions()
	doubles := load.Doubles(all)
	if len(doubles) != 1 {
		t.Fatalf("doubles %v", doubles)
	}
	for lesser, counts := range doubles {
		wantIn(t, s.get(s.base()+"/runs/"+lesser), "Another recording of the same run counts instead of this one.", s.base()+"/runs/"+counts)
		wantNotIn(t, s.get(s.base()+"/runs/"+counts), "counts instead of this one")
	}
	wantIn(t, s.get(s.base()+"/runs"), "not counted: another recording of the same run counts")
}

// The watch of one run was ten years behind: the page asks, and the right date makes
// it one of the others.
func TestClockYearsBehind(t *testing.T) {
	s := newSite(t)
	s.upload(
		[2]string{"a.gpx", gpx(noon.AddDate(-10, 0, -3), 30)}, [2]string{"b.gpx", gpx(noon.AddDate(0, 0, -5), 30)},
		[2]string{"c.gpx", gpx(noon.AddDate(0, 0, -7), 30)})
	old := s.sessions()[0]
	wantIn(t, s.get(s.base()+"/runs"), "years from all others")
	target := s.base() + "/runs/" + old.ID
	wantIn(t, s.get(target), "Its date is 10.0 years from everything else")
	form := s.form(old.ID)
	form.Set("day", "2026-04-30")
	if w := s.post(target, form); w.Code != http.StatusSeeOther {
		t.Fatalf("%d\n%s", w.Code, w.Body)
	}
	page := s.get(target)
	wantNotIn(t, page, "years from everything else")
	wantIn(t, page, "Thursday 30 April 2026", "given by hand, is its date; the file says 2016-04-30")
}
