package web_test

import (
	"bytes"
	"encoding/csv"
	"net/http"
	"slices"
	"strings"
	"testing"

	"tidemark/ingest"
	"tidemark/load"
)

// wantFile asks for a file and checks what it is sent as.
func (s *site) wantFile(target, kind, name string) []byte {
	s.t.Helper()
	w := s.do(request("GET", target, nil))
	if w.Code != http.StatusOK {
		s.t.Fatalf("GET %s: %d\n%s", target, w.Code, w.Body)
	}
	if got := w.Header().Get("Content-Type"); got != kind {
		s.t.Errorf("%s is sent as %q, want %q", target, got, kind)
	}
	if got, want := w.Header().Get("Content-Disposition"), `attachment; filename="`+name+`"`; got != want {
		s.t.Errorf("%s is sent with %q, want %q", target, got, want)
	}
	return w.Body.Bytes()
}

// The table lists every recording, the newest last, and says which count.
func TestRunsCSV(t *testing.T) {
	s := newSite(t)
	start := noon.AddDate(0, 0, -7)
	s.upload(
		[2]string{"a.gpx", gpx(start, 30)}, [2]string{"b.gpx", strings.ReplaceAll(gpx(start, 29), "invented", "other")},
		[2]string{"c.csv", diary(map[int]float64{2: 5, 9: 8})})
	all := s.sessions()
	table := s.wantFile(s.base()+"/runs.csv", "text/csv; charset=utf-8", "tidemark-runs.csv")
	rows, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) != 4 || len(rows) != 5 {
		t.Fatalf("%d rows of %d recordings, want 5 of 4", len(rows), len(all))
	}
	column := func(name string) int { return slices.Index(rows[0], name) }
	doubles := load.Doubles(all)
	if len(doubles) != 1 {
		t.Fatalf("doubles %v, want one", doubles)
	}
	for _, row := range rows[1:] {
		want := "yes"
		if doubles[row[column("id")]] != "" {
			want = "no"
		}
		if got := row[column("counted")]; got != want {
			t.Errorf("%s: counted %q, want %q", row[0], got, want)
		}
	}
	first, last := rows[1], rows[4]
	if first[column("day")] != "2026-04-24" || first[column("distance_km")] != "8" || first[column("duration_min")] != "48" ||
		first[column("start")] != "2026-04-24T07:30:00+02:00" || last[column("day")] != "2026-05-01" {
		t.Errorf("from %v\nto %v", first, last)
	}
}

// A logbook without recordings has a table all the same.
func TestRunsCSVOfNothing(t *testing.T) {
	s := newSite(t)
	table := s.wantFile(s.base()+"/runs.csv", "text/csv; charset=utf-8", "tidemark-runs.csv")
	if n := bytes.Count(table, []byte("\n")); n != 1 || !bytes.HasPrefix(table, []byte("id,day,start,")) {
		t.Errorf("%d lines:\n%s", n, table)
	}
}

// What was added as GPX can be had as GPX again, with as many positions.
func TestRunGPX(t *testing.T) {
	s := newSite(t)
	file := gpx(noon.AddDate(0, 0, -7), 30)
	s.upload([2]string{"a.gpx", file})
	target := s.base() + "/runs/" + s.sessions()[0].ID + "/gpx"
	track := s.wantFile(target, "application/gpx+xml", "tidemark-2026-04-26.gpx")
	d, err := ingest.Decode(track, ingest.Options{Now: load.InstantOf(noon)})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := len(d.Activities[0].Samples), strings.Count(file, "<trkpt"); got != want {
		t.Errorf("%d positions, want %d", got, want)
	}
	if got := d.Activities[0].Start; got != load.InstantOf(noon.AddDate(0, 0, -7)) {
		t.Errorf("it starts at %v", got.Time())
	}
	if w := s.do(request("HEAD", target, nil)); w.Code != http.StatusOK {
		t.Errorf("only its head: %d", w.Code)
	}
}

// Who asks for what is not there is told why.
func TestExportsThatAreNot(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"c.csv", diary(map[int]float64{2: 5})})
	tests := []struct {
		name, target string
		status       int
		text         string
	}{
		{"a track of a typed run", s.base() + "/runs/" + s.sessions()[0].ID + "/gpx", http.StatusNotFound, "so there is no GPX of it"},
		{"a track of no run", s.base() + "/runs/none/gpx", http.StatusNotFound, "nothing at this address"},
		{"a table of nobody", "/r/nobody/runs.csv", http.StatusNotFound, "nothing at this address"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := s.do(request("GET", tt.target, nil))
			if w.Code != tt.status || !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") || w.Header().Get("Content-Disposition") != "" {
				t.Errorf("status %d, want %d; %v", w.Code, tt.status, w.Header())
			}
			wantIn(t, w.Body.String(), tt.text)
		})
	}
}
