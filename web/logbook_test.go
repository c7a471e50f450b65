package web_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/api/intake"
	"tidemark/web/export"
)

// owned is the book of the site's runner.
func (s *site) owned() *journal.Book {
	s.t.Helper()
	b, err := s.journal.Open(s.t.Context(), journal.Local, s.runner.ID)
	if err != nil {
		s.t.Fatal(err)
	}
	return b
}

func ok(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// TestLogbookZip takes a logbook away and hands it in elsewhere.
func TestLogbookZip(t *testing.T) {
	here, there := newSite(t), newSite(t)
	here.upload([2]string{"sunday.gpx", gpx(noon.AddDate(0, 0, -7), 30)})
	c := rehab.Complaint{Site: rehab.AchillesMid, Onset: today - 20, Steps: []rehab.Step{{Day: today - 19, Status: rehab.Open}}}
	_, err := here.owned().OpenComplaint(t.Context(), c, []rehab.Side{rehab.Left}, "<b>hills</b>")
	ok(t, err)
	ok(t, here.owned().Set(t.Context(), "heart-max", today-10, "181"))
	ok(t, here.owned().PlanRace(t.Context(), load.PlannedRace{Day: today, Name: "Harbour mile"}, false))
	ok(t, here.owned().Edit(t.Context(), here.sessions()[0].ID, 0, map[string]string{"note": "windy"}, intake.Redo(intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(noon)})))

	w := here.do(request("GET", here.base()+"/logbook.zip", nil))
	if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/zip" || w.Header().Get("Content-Disposition") != `attachment; filename="tidemark-logbook.zip"` {
		t.Fatalf("%d, %v", w.Code, w.Header())
	}
	first := w.Body.String()
	page := there.upload([2]string{"logbook.zip", first}).Body.String()
	wantIn(t, page, `<span class="most">2</span> added, 0 already kept, 0 refused.`, "logbook.zip!originals/sunday.gpx", "run of 26 April 2026", "new here: ")
	wantIn(t, there.get(there.base()+"/hurts"), "on another machine", "&lt;b&gt;hills&lt;/b&gt;")
	wantIn(t, there.get(there.base()+"/settings"), "on another machine")
	wantIn(t, there.get(there.base()+"/runs/"+there.sessions()[0].ID), "windy", ", on another machine")
	wantIn(t, there.get(there.base()), "the race was accepted on another machine")
	wantIn(t, there.upload([2]string{"logbook.zip", first}).Body.String(), `<span class="most">0</span> added, 2 already kept, 0 refused.`)

	if w := here.do(request("GET", "/r/abcdefghijklm/logbook.zip", nil)); w.Code != http.StatusNotFound {
		t.Errorf("of nobody: %d", w.Code)
	}
}

// TestByNameElsewhere has a person of another journal who is called as one here might be.
func TestByNameElsewhere(t *testing.T) {
	s := newSite(t)
	whole := journal.Whole{Input: new(load.Input)}
	whole.Name, whole.Home, whole.FirstUse = "Nell Ashby", "Europe/Oslo", today-20
	at := load.InstantOf(noon)
	whole.Settings = []journal.Setting{{Key: "heart-max", From: today - 10, Value: "181", By: "Ida Holm", At: at}}
	whole.Races = []journal.Race{{Day: today, Name: "Harbour mile", By: "Ida Holm", At: at}}
	var out bytes.Buffer
	ok(t, export.Logbook(&out, &whole, today, nil))
	s.upload([2]string{"logbook.zip", out.String()}, [2]string{"sunday.gpx", gpx(noon.AddDate(0, 0, -7), 30)})
	wantIn(t, s.get(s.base()+"/settings"), "by Ida Holm, elsewhere")
	wantIn(t, s.get(s.base()), "Ida Holm, elsewhere, accepted the race")
}

// TestLogbookBreaksOff has an original that is damaged: what was sent of the zip must not
// pass for a whole one.
func TestLogbookBreaksOff(t *testing.T) {
	s := newSite(t)
	text := "not what its sum says"
	s.upload([2]string{"sunday.gpx", gpx(noon.AddDate(0, 0, -7), 30)})
	err := s.store.Update(t.Context(), func(tx journal.Tx) error {
		o := journal.Original{Sum: sha256.Sum256([]byte("another")), Path: "damaged.gpx", Format: "gpx", Size: int64(len(text)), Added: load.InstantOf(noon)}
		return tx.PutOriginal(s.runner.ID, o, journal.Pack([]byte(text)))
	})
	ok(t, err)
	server := httptest.NewServer(s.server)
	defer server.Close()
	r, err := http.NewRequestWithContext(t.Context(), "GET", server.URL+s.base()+"/logbook.zip", nil)
	ok(t, err)
	answer, err := server.Client().Do(r)
	ok(t, err)
	defer answer.Body.Close()
	data, err := io.ReadAll(answer.Body)
	if err == nil && answer.StatusCode == http.StatusOK {
		t.Errorf("it ended as if it were whole, after %d bytes", len(data))
	}
	if _, err := zip.NewReader(bytes.NewReader(data), int64(len(data))); err == nil {
		t.Error("what came passes for a whole zip")
	}
}
