package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"text/tabwriter"
	"time"

	"github.com/schollz/progressbar/v3"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
	"tidemark/web/api/wire"
	"tidemark/web/words"
)

// report tells what became of each file: with --json one object a line as soon
// as its commit is done, else a table at the end.
type report struct {
	app    *app
	runner journal.Runner
	lines  *json.Encoder
	bar    *progressbar.ProgressBar

	counts  wire.Counts
	runs    int
	others  int
	refused []intake.Result
	noted   map[load.NoteCode]int
	first   load.Day
	last    load.Day
}

func newReport(a *app, runner journal.Runner, files int) *report {
	r := &report{app: a, runner: runner, noted: make(map[load.NoteCode]int)}
	if a.JSON {
		r.lines = json.NewEncoder(a.out)
		r.lines.SetEscapeHTML(false)
	}
	if a.errTerminal && !a.Quiet && !a.JSON {
		r.bar = progressbar.NewOptions(files,
			progressbar.OptionSetWriter(a.err), progressbar.OptionSetDescription("reading"),
			progressbar.OptionShowCount(), progressbar.OptionClearOnFinish(), progressbar.OptionThrottle(100*time.Millisecond),
			progressbar.OptionSetTheme(progressbar.Theme{Saucer: "~", SaucerHead: "~", SaucerPadding: " ", BarStart: "|", BarEnd: "|"}))
	}
	return r
}

// step moves the bar by one file.
func (r *report) step() {
	if r.bar != nil {
		_ = r.bar.Add(1) // a bar that cannot be drawn stops nothing
	}
}

// add tells of one recording. Files that systems put into archives are not
// counted.
func (r *report) add(res intake.Result) {
	if errors.Is(res.Err, ingest.ErrAside) {
		return
	}
	r.counts.Files++
	out := wire.FromSessions(res.Path, res.Sum, res.Added, res.Sessions)
	switch {
	case res.Err != nil:
		r.counts.Refused++
		r.refused = append(r.refused, res)
		out = wire.FromRefusal(res.Path, res.Err)
	case res.Added:
		r.counts.Added++
		r.count(res.Sessions)
	default:
		r.counts.Kept++
	}
	if r.lines != nil {
		_ = r.lines.Encode(out) // a reader that went away is no reason to stop keeping
	}
}

func (r *report) count(sessions []load.Session) {
	for i := range sessions {
		s := &sessions[i]
		if s.Sport == load.Running {
			r.runs++
		} else {
			r.others++
		}
		for _, note := range s.Notes {
			r.noted[note.Code]++
		}
		if r.runs+r.others == 1 || s.Day < r.first {
			r.first = s.Day
		}
		if r.runs+r.others == 1 || s.Day > r.last {
			r.last = s.Day
		}
	}
}

// close ends the report with its summary.
func (r *report) close() {
	if r.bar != nil {
		_ = r.bar.Finish()
	}
	switch {
	case r.lines != nil:
		_ = r.lines.Encode(wire.Summary{Summary: r.counts})
	case !r.app.Quiet:
		r.table()
	}
	if r.lines == nil && r.app.Quiet {
		for _, res := range r.refused {
			fmt.Fprintf(r.app.err, "tidemark: refused: %s: %v\n", res.Path, res.Err)
		}
	}
}

func (r *report) table() {
	w := tabwriter.NewWriter(r.app.out, 0, 0, 2, ' ', tabwriter.AlignRight)
	what := ""
	if r.counts.Added > 0 {
		what = fmt.Sprintf("%s, %d other", words.Plural(r.runs, "run"), r.others)
		if r.first < r.last {
			what += fmt.Sprintf(", %s to %s", words.Day(r.first), words.Day(r.last))
		} else if r.runs+r.others > 0 {
			what += ", " + words.Day(r.first)
		}
	}
	fmt.Fprintf(w, "%d\t added\t\n%d\t already kept\t\n%d\t refused\t\n", r.counts.Added, r.counts.Kept, r.counts.Refused)
	_ = w.Flush()
	if what != "" {
		fmt.Fprintln(r.app.out, "\nNew for "+r.runner.Name+": "+what+".")
	}
	if len(r.refused) > 0 {
		fmt.Fprintln(r.app.out, "\nRefused:")
	}
	for _, res := range r.refused {
		fmt.Fprintf(r.app.out, "  %s\n      %v\n", res.Path, res.Err)
	}
	if n := r.noted[load.NoteTruncated] + r.noted[load.NoteChecksum] + r.noted[load.NoteSize]; n > 0 {
		fmt.Fprintf(r.app.out, "\n%d damaged but read as far as they go; tidemark inspect FILE says more.\n", n)
	}
}
