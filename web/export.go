package web

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"

	"tidemark/load"
	"tidemark/web/export"
)

// noTrack is what a reader is told who asks for the track of a run without one.
const noTrack = "This recording has no positions that can be used, as on a treadmill or in a diary, so there is no GPX of it. " +
	"The table of all runs holds its numbers, and the page of the run has its file as it was added."

// runsCSV sends all recordings as a table.
func (s *Server) runsCSV(w http.ResponseWriter, r *http.Request, v *visit) error {
	in, err := v.book.Input(r.Context(), v.today)
	if err != nil {
		return err
	}
	var table bytes.Buffer
	if err := export.CSV(&table, in.Sessions, load.Doubles(in.Sessions), in.Settings); err != nil {
		return err
	}
	return attach(w, typeCSV, "tidemark-runs.csv", &table)
}

const typeCSV = "text/csv; charset=utf-8"

// loadCSV sends the days of the load page as a table.
func (s *Server) loadCSV(w http.ResponseWriter, r *http.Request, v *visit) error {
	q, err := queryOf(r.URL.Query(), v.today)
	if err != nil {
		return err
	}
	p, err := v.picture(r.Context(), q)
	if err != nil {
		return err
	}
	var table bytes.Buffer
	if err := export.Days(&table, q.Measure, p.Days); err != nil {
		return err
	}
	return attach(w, typeCSV, fmt.Sprintf("tidemark-%v-%v-to-%v.csv", q.Measure, q.From, q.To), &table)
}

// runGPX sends the cleaned track of one recording.
func (s *Server) runGPX(w http.ResponseWriter, r *http.Request, v *visit) error {
	rec, err := v.recording(r)
	if err != nil {
		return err
	}
	var track bytes.Buffer
	err = export.GPX(&track, &rec.activity, &rec.session)
	if errors.Is(err, export.ErrNoTrack) {
		return &problem{http.StatusNotFound, noTrack, err}
	}
	if err != nil {
		return err
	}
	return attach(w, "application/gpx+xml", "tidemark-"+rec.session.Day.String()+".gpx", &track)
}

// attach sends a whole file to be kept under a plain name.
func attach(w http.ResponseWriter, kind, name string, content *bytes.Buffer) error {
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	_, err := content.WriteTo(w)
	return err
}
