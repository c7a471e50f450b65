package main

import (
	"cmp"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
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
	pieces int         // that the bar knows of
	table  *csv.Writer // nil: none is wanted
	file   *os.File
	each   bool // tell each file as it is kept, rather than all at the end

	counts   wire.Counts
	runs     int
	mornings int
	entries  int // of a whole logbook
	others   int
	refused  []intake.Result
	noted    map[load.NoteCode]int
	first    load.Day
	last     load.Day
}

// newReport begins a report. If path is not empty, what becomes of each file goes
// there too, as a table.
func newReport(a *app, files int, path string) (*report, error) {
	r := &report{app: a, pieces: files, noted: make(map[load.NoteCode]int)}
	if path != "" {
		file, err := os.Create(path)
		if err != nil {
			return nil, &failure{exitUse, fmt.Errorf("write report: %w", err), ""}
		}
		r.file, r.table = file, csv.NewWriter(file)
		_ = r.table.Write(wire.ReportColumns) // errors are kept until close
	}
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
	return r, nil
}

// step moves the bar. A bar that cannot be drawn stops nothing.
func (r *report) step(s intake.Step) {
	if r.bar == nil {
		return
	}
	if s.More > 0 {
		r.pieces += s.More
		r.bar.ChangeMax(r.pieces)
	}
	_ = r.bar.Add(s.Done)
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
		if !r.each {
			r.refused = append(r.refused, res)
		}
		out = wire.FromRefusal(res.Path, res.Err)
	case res.Added:
		r.counts.Added++
		r.count(res.Sessions)
		r.mornings += res.Mornings
		r.entries += res.Entries
	default:
		r.counts.Kept++
	}
	if r.table != nil {
		_ = r.table.WriteAll(wire.ReportRows(&out, res.Sessions)) // errors are kept until close
	}
	if r.each && r.lines == nil {
		r.tellOne(&res)
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
func (r *report) close() error {
	if r.bar != nil {
		_ = r.bar.Finish()
	}
	switch {
	case r.lines != nil:
		_ = r.lines.Encode(wire.Summary{Summary: r.counts})
	case r.each:
	case r.app.Quiet:
		for _, res := range r.refused {
			fmt.Fprintf(r.app.err, "tidemark: refused: %s: %v\n", res.Path, res.Err)
		}
	default:
		r.tell()
	}
	if r.table == nil {
		return nil
	}
	r.table.Flush()
	if err := cmp.Or(r.table.Error(), r.file.Close()); err != nil {
		return fmt.Errorf("write report: %w", err)
	}
	return nil
}

func (r *report) tell() {
	w := tabwriter.NewWriter(r.app.out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(w, "%d\t added\t\n%d\t already kept\t\n%d\t refused\t\n", r.counts.Added, r.counts.Kept, r.counts.Refused)
	_ = w.Flush()
	if r.counts.Added > 0 {
		fmt.Fprintln(r.app.out, "\nNew for "+r.runner.Name+": "+r.what()+".")
	}
	r.tellRefused()
	if n := r.noted[load.NoteTruncated] + r.noted[load.NoteChecksum] + r.noted[load.NoteSize]; n > 0 {
		fmt.Fprintf(r.app.out, "\n%d damaged but read as far as they go; tidemark inspect FILE says more.\n", n)
	}
}

// what says what is new.
func (r *report) what() string {
	what := fmt.Sprintf("%s, %d other", words.Plural(r.runs, "run"), r.others)
	if r.mornings > 0 {
		what = words.Plural(r.mornings, "morning")
		if r.runs+r.others > 0 {
			what += fmt.Sprintf(", %s, %d other", words.Plural(r.runs, "run"), r.others)
		}
	}
	switch {
	case r.first < r.last:
		what += fmt.Sprintf(", %s to %s", words.Day(r.first), words.Day(r.last))
	case r.runs+r.others > 0:
		what += ", " + words.Day(r.first)
	}
	switch {
	case r.entries == 1:
		what += "; 1 entry of the logbook"
	case r.entries > 1:
		what += fmt.Sprintf("; %d entries of the logbook", r.entries)
	}
	return what
}

// fewStrangers is how many files that are no recordings are listed one by one.
const fewStrangers = 5

// tellRefused lists the refused. Whole exports are full of files that are no
// recordings: many of them are summed up by their endings.
func (r *report) tellRefused() {
	strangers := make(map[string]int)
	total := 0
	for _, res := range r.refused {
		if errors.Is(res.Err, ingest.ErrUnknownFormat) {
			strangers[ending(res.Path)]++
			total++
		}
	}
	if total > fewStrangers {
		fmt.Fprintf(r.app.out, "\n%d files are no recordings: %s.\n", total, byCount(strangers))
	}
	head := "\nRefused:"
	for _, res := range r.refused {
		if total > fewStrangers && errors.Is(res.Err, ingest.ErrUnknownFormat) {
			continue
		}
		if head != "" {
			fmt.Fprintln(r.app.out, head)
			head = ""
		}
		fmt.Fprintf(r.app.out, "  %s\n      %v\n", res.Path, res.Err)
	}
}

// ending is how the name of a file ends, in small letters.
func ending(path string) string {
	path = path[strings.LastIndexByte(path, '!')+1:]
	if e := strings.ToLower(filepath.Ext(path)); e != "" {
		return e
	}
	return "no ending"
}

// byCount lists endings, the most frequent first.
func byCount(counts map[string]int) string {
	names := slices.SortedFunc(maps.Keys(counts), func(a, b string) int {
		return cmp.Or(cmp.Compare(counts[b], counts[a]), cmp.Compare(a, b))
	})
	for i, name := range names {
		names[i] = fmt.Sprintf("%d %s", counts[name], name)
	}
	return strings.Join(names, ", ")
}
