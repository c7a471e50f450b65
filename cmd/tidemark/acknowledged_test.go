package main

import (
	"bufio"
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
)

// ledger is what a server acknowledged: what must be in the journal whatever
// becomes of the server.
type ledger struct {
	mu   sync.Mutex
	said map[string]int // how often, by what it was
}

func newLedger() *ledger { return &ledger{said: make(map[string]int)} }

func (l *ledger) put(what string) {
	l.mu.Lock()
	l.said[what]++
	l.mu.Unlock()
}

// snapshot is what was acknowledged until now.
func (l *ledger) snapshot() *ledger {
	l.mu.Lock()
	defer l.mu.Unlock()
	out := newLedger()
	for what, n := range l.said {
		out.said[what] = n
	}
	return out
}

// total is how much was acknowledged.
func (l *ledger) total() (n int) {
	for _, times := range l.snapshot().said {
		n += times
	}
	return n
}

// lost lists what was acknowledged and is not in the books.
func (l *ledger) lost(t *testing.T, books ...*journal.Book) (missing []string) {
	t.Helper()
	kept := make(map[string]int)
	for _, b := range books {
		runner, err := b.Runner(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		keptIn(t, b, string(runner.ID), kept)
	}
	for what, n := range l.snapshot().said {
		if kept[what] < n {
			missing = append(missing, fmt.Sprintf("%s: %d of %d", what, kept[what], n))
		}
	}
	return missing
}

func keptIn(t *testing.T, b *journal.Book, runner string, kept map[string]int) {
	t.Helper()
	races, err := b.Races(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range races {
		kept[raceWritten(runner, r.Name)]++
	}
	originals, err := b.Originals(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range originals {
		kept[fileWritten(runner, hex.EncodeToString(o.Sum[:]))]++
	}
	entries, err := b.Entries(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range entries {
		if m.Next != nil && m.Stiffness != nil {
			kept[morningWritten(runner, m.Day, int(*m.Next), *m.Stiffness)]++
		}
	}
	plan, err := b.Plan(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range plan.Done {
		kept[exerciseWritten(runner, d.Note)]++
	}
}

// What was written, by runner and what tells it from all others.
func raceWritten(runner, name string) string     { return runner + ": race " + name }
func fileWritten(runner, sum string) string      { return runner + ": file " + sum }
func exerciseWritten(runner, note string) string { return runner + ": exercise " + note }
func morningWritten(runner string, day load.Day, next, stiffness int) string {
	return fmt.Sprintf("%s: morning of %v, %d, %d min", runner, day, next, stiffness)
}

// hand writes about one runner through the pages, as a browser would.
type hand struct {
	server, runner, complaint string
	today                     load.Day
	client                    *http.Client
	kept                      *ledger
}

// newHand returns one that follows no redirection: that it is told to go on is
// the acknowledgement.
func newHand(address, runner string, today load.Day, kept *ledger) *hand {
	client := &http.Client{
		Transport:     &http.Transport{MaxIdleConnsPerHost: 64},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
	return &hand{strings.TrimSuffix(address, "/"), runner, "ach-mid-left", today, client, kept}
}

func (h *hand) base() string { return h.server + "/r/" + h.runner }

// errAnswer is an answer that is none of those a write should get.
type errAnswer struct{ status int }

func (e errAnswer) Error() string { return fmt.Sprintf("answered with status %d", e.status) }

// form posts one form. Without an error it was acknowledged.
func (h *hand) form(at string, form url.Values) error {
	r, err := h.client.PostForm(h.base()+at, form)
	if err != nil {
		return err
	}
	defer r.Body.Close()
	_, _ = io.Copy(io.Discard, r.Body) // the status is the acknowledgement
	if r.StatusCode != http.StatusSeeOther {
		return errAnswer{r.StatusCode}
	}
	return nil
}

// follow opens the complaint that mornings and exercises are about.
func (h *hand) follow() error {
	return h.form("/hurts", url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {(h.today - 700).String()}, "pain": {"1"}, "stiffness": {"5"}})
}

func (h *hand) race(n int) error {
	name := fmt.Sprint("race ", n)
	err := h.form("/races", url.Values{"day": {(h.today + 1 + load.Day(n%300)).String()}, "name": {name}, "distance": {"10"}})
	if err == nil {
		h.kept.put(raceWritten(h.runner, name))
	}
	return err
}

func (h *hand) morning(n int) error {
	day, next, stiffness := h.today-load.Day(n%40), n%3, n%31
	err := h.form("/mornings", url.Values{
		"complaint": {h.complaint}, "day": {day.String()}, "next": {fmt.Sprint(next)}, "stiffness": {fmt.Sprint(stiffness)}, "back": {"today"},
	})
	if err == nil {
		h.kept.put(morningWritten(h.runner, day, next, stiffness))
	}
	return err
}

func (h *hand) exercise(n int) error {
	note := fmt.Sprint("time ", n)
	err := h.form("/rehab/"+h.complaint+"/log", url.Values{
		"exercise": {"stand_raise_2"}, "day": {(h.today - load.Day(n%20)).String()}, "sets": {"3"}, "reps": {"15"}, "pain": {"1"}, "note": {note}, "keep": {"yes"},
	})
	if err == nil {
		h.kept.put(exerciseWritten(h.runner, note))
	}
	return err
}

// upload hands in short runs of which there is none yet. A file is acknowledged
// with its line, also if the answer breaks off after it.
func (h *hand) upload(n, files int) error {
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for i := range files {
		part, err := form.CreateFormFile("files", fmt.Sprintf("%d-%d.gpx", n, i))
		if err != nil {
			return err
		}
		start := h.today.Noon().AddDate(0, 0, -1-n%600).Add(time.Duration(n/600*4+i) * time.Minute)
		if _, err := io.WriteString(part, shortGPX(start)); err != nil {
			return err
		}
	}
	if err := form.Close(); err != nil {
		return err
	}
	r, err := http.NewRequest(http.MethodPost, h.base()+"/add", &body)
	if err != nil {
		return err
	}
	r.Header.Set("Content-Type", form.FormDataContentType())
	r.Header.Set("Accept", "application/x-ndjson")
	answer, err := h.client.Do(r)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return errAnswer{answer.StatusCode}
	}
	return h.told(answer.Body, files)
}

// told reads the lines of an upload.
func (h *hand) told(body io.Reader, files int) error {
	lines := bufio.NewReader(body)
	for n := 0; ; n++ {
		line, err := lines.ReadBytes('\n')
		switch {
		case err == io.EOF && len(line) == 0 && n == files:
			return nil
		case err != nil: // a line that is cut was not said
			return fmt.Errorf("%d of %d files were told: %w", n, files, err)
		}
		var told struct {
			wire.Imported
			Error string
		}
		if err := json.Unmarshal(line, &told); err != nil {
			return err
		}
		if told.Outcome != "added" || told.SHA256 == nil {
			return fmt.Errorf("a file was %s, %s", told.Outcome, line)
		}
		h.kept.put(fileWritten(h.runner, *told.SHA256))
	}
}

// shortGPX is a run of two minutes along a meridian in the open sea, at 3 m/s.
func shortGPX(start time.Time) string {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0"?><gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1"><trk><type>running</type><trkseg>`)
	for i := range 24 {
		// 15 m are 0.000135 degrees of latitude.
		fmt.Fprintf(&b, `<trkpt lat="%.6f" lon="2.5"><ele>5</ele><time>%s</time></trkpt>`,
			56+0.000135*float64(i), start.Add(time.Duration(i)*5*time.Second).UTC().Format(time.RFC3339))
	}
	b.WriteString(`</trkseg></trk></gpx>`)
	return b.String()
}
