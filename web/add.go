package web

import (
	"context"
	"encoding/base64"
	"encoding/csv"
	"encoding/json"
	"errors"
	"html/template"
	"net/http"
	"strings"
	"sync"

	"golang.org/x/sync/semaphore"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/web/api/intake"
	"tidemark/web/api/wire"
	"tidemark/web/words"
)

// addPage is where files are handed in, and what became of them.
type addPage struct {
	page
	Most    string // of one file
	Done    bool
	Counts  wire.Counts
	Results []addResult
	Unshown int          // results that are only counted and in the report
	Report  template.URL // the report as a table, empty: too large for a page
	Fault   string       // why not everything was read

	rows [][]string // of the report
}

// addResult is what became of one recording.
type addResult struct {
	Path    string
	Outcome string // as the import command says it
	Text    string // why it was refused
	Runs    []addedRun
	More    int // runs beyond those
}

// outcomeRefused is the outcome that somebody has to do something about.
const outcomeRefused = "refused"

// addedRun is a recording that is in the logbook now.
type addedRun struct {
	Text    string `json:"text"`
	Address string `json:"address"`
}

// mostRuns is how many runs of one file are named; a diary may hold years.
const mostRuns = 3

// typeLines is the type of answers of one JSON object a line.
const typeLines = "application/x-ndjson"

func (s *Server) add(w http.ResponseWriter, _ *http.Request, v *visit) error {
	return s.render(w, http.StatusOK, "add", s.addPage(v))
}

func (s *Server) addPage(v *visit) addPage {
	return addPage{page: v.page("Add runs", "add"), Most: size(s.Limits.Raw)}
}

// upload takes in every file of a form. To a script it tells of each as soon as
// it is kept; others get the page with all of them.
func (s *Server) upload(w http.ResponseWriter, r *http.Request, v *visit) error {
	opt, err := s.intake(v.runner)
	if err != nil {
		return err
	}
	if err := s.uploads.Acquire(r.Context(), 1); err != nil {
		return err
	}
	free := sync.OnceFunc(func() { s.uploads.Release(1) })
	defer free()
	defer s.Metrics.uploading()()
	r.Body = http.MaxBytesReader(w, newPatient(w, r.Body, s.pause), maxUpload)
	parts, err := r.MultipartReader()
	if err != nil {
		return &problem{http.StatusBadRequest, "What was sent is no form with files.", err}
	}
	up := &uploading{parts: parts, limit: opt.Limits.Raw, free: semaphore.NewWeighted(maxWaiting)}
	tell, step, end := s.teller(w, r, v)
	tell = s.Metrics.counting(tell)
	ctx := context.WithoutCancel(r.Context()) // what came whole is kept, whoever went away
	err = intake.Take(ctx, v.book, up.files(ctx), opt, tell, step)
	free() // what follows needs no memory to speak of, and others wait
	if err == nil {
		err = up.err
	}
	if err == nil || errors.Is(err, errCut) {
		if refreshErr := v.book.Refresh(ctx, v.today); refreshErr != nil {
			s.Log.Error("refresh after upload", "error", refreshErr)
		}
	}
	return end(err)
}

// uploadLine is what a script hears of one recording. File is the number of the
// file in the form, from 0.
type uploadLine struct {
	File int `json:"file"`
	wire.Imported
	Runs []addedRun `json:"runs"`
	More int        `json:"more"` // runs beyond those
	Rows [][]string `json:"rows"` // of the report
}

// teller returns how each result is told, and how the answer ends.
func (s *Server) teller(w http.ResponseWriter, r *http.Request, v *visit) (tell func(intake.Result), step func(intake.Step), end func(error) error) {
	if strings.Contains(r.Header.Get("Accept"), typeLines) {
		return s.tellLines(w, v)
	}
	out := s.addPage(v)
	out.Done = true
	tell = func(res intake.Result) {
		if errors.Is(res.Err, ingest.ErrAside) {
			return
		}
		out.Counts.Add(wireOf(res).Outcome)
		out.rows = append(out.rows, wire.ReportRows(wireOf(res), res.Sessions)...)
		if res.Err == nil && len(out.Results) >= mostResults {
			out.Unshown++
			return
		}
		out.Results = append(out.Results, resultOf(res, v))
	}
	end = func(err error) error {
		status := http.StatusOK
		out.Results, out.Report = refusedFirst(out.Results), reportLink(out.rows)
		switch {
		case errors.Is(err, errCut):
			status, out.Fault = http.StatusBadRequest, title(err.Error())+". What the list says is kept; hand in the rest, or everything again: nothing is added twice."
			if errors.Is(err, errTooMuch) {
				status = http.StatusRequestEntityTooLarge
			}
		case err != nil && len(out.Results) == 0:
			return err
		case err != nil:
			p := problemOf(err)
			s.Log.Error("take in upload", "error", err)
			status, out.Fault = p.status, p.text+" What the list says is kept."
		case len(out.Results) == 0:
			status, out.Done = http.StatusUnprocessableEntity, false
			out.Fault = "No file was chosen."
		}
		return s.render(w, status, "add", out)
	}
	return tell, func(intake.Step) {}, end
}

// refusedFirst brings to the top what there is something to do about.
func refusedFirst(results []addResult) []addResult {
	var refused, others []addResult
	for _, r := range results {
		if r.Outcome == outcomeRefused {
			refused = append(refused, r)
		} else {
			others = append(others, r)
		}
	}
	return append(refused, others...)
}

// tellLines writes one JSON object a line, each as soon as its file is kept.
func (s *Server) tellLines(w http.ResponseWriter, v *visit) (tell func(intake.Result), step func(intake.Step), end func(error) error) {
	told := false // since the last flush: many are told after one commit
	w.Header().Set("Content-Type", typeLines)
	control, lines := http.NewResponseController(w), json.NewEncoder(w)
	// Else the server reads what is left of the body itself as soon as some of
	// the answer is out, and the files are torn.
	_ = control.EnableFullDuplex() // recorders in tests and HTTP/2 need none
	tell = func(res intake.Result) {
		if errors.Is(res.Err, ingest.ErrAside) {
			return
		}
		out, said := wireOf(res), resultOf(res, v)
		rows := wire.ReportRows(out, res.Sessions)
		_ = lines.Encode(uploadLine{res.File, *out, said.Runs, said.More, rows}) // a reader that went away stops nothing
		told = true
	}
	step = func(s intake.Step) {
		if s.More > 0 {
			_ = lines.Encode(map[string]int{"more": s.More})
			told = true
		}
		if told {
			_ = control.Flush()
			told = false
		}
	}
	end = func(err error) error {
		if err != nil {
			_ = lines.Encode(map[string]string{"error": problemText(err)})
		}
		_ = control.Flush()
		return nil
	}
	return tell, step, end
}

// wireOf says what became of a recording as the import command does.
func wireOf(res intake.Result) *wire.Imported {
	out := wire.FromSessions(res.Path, res.Sum, res.Added, res.Sessions)
	if res.Err != nil {
		out = wire.FromRefusal(res.Path, res.Err)
	}
	return &out
}

// What a page shows of an upload; project defaults.
const (
	mostResults = 200     // recordings that were not refused
	mostReport  = 2 << 20 // bytes of a report within a page
)

// reportLink is a report as an address that holds it, for browsers without scripts.
func reportLink(rows [][]string) template.URL {
	if len(rows) == 0 {
		return ""
	}
	var text strings.Builder
	table := csv.NewWriter(&text)
	_ = table.Write(wire.ReportColumns) // a builder takes everything
	_ = table.WriteAll(rows)
	if text.Len() > mostReport {
		return ""
	}
	return template.URL("data:text/csv;charset=utf-8;base64," + base64.StdEncoding.EncodeToString([]byte(text.String())))
}

func problemText(err error) string {
	if errors.Is(err, errCut) {
		return title(err.Error()) + "."
	}
	return problemOf(err).text
}

// resultOf says what became of a recording.
func resultOf(res intake.Result, v *visit) addResult {
	out := addResult{Path: res.Path}
	switch {
	case res.Err != nil:
		out.Outcome, out.Text = outcomeRefused, res.Err.Error()
		return out
	case res.Added:
		out.Outcome = "added"
	default:
		out.Outcome = "already kept"
	}
	for i := range res.Sessions {
		if i == mostRuns {
			out.More = len(res.Sessions) - mostRuns
			break
		}
		one := &res.Sessions[i]
		text := kinds[one.Sport] + " of " + words.Day(one.Day)
		if f := figuresOf(one); f.Distance != "" {
			text += ", " + f.Distance
		}
		if damaged(one.Notes) {
			text += ", damaged: read as far as it goes"
		}
		out.Runs = append(out.Runs, addedRun{text, v.link.Base() + "/runs/" + one.ID})
	}
	return out
}

func damaged(notes load.Notes) bool {
	return notes.Has(load.NoteTruncated) || notes.Has(load.NoteChecksum) || notes.Has(load.NoteSize)
}
