package main

import (
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

// rateMix is what twenty requests are: sixteen pages and four writes. Project
// default: a club in the evening, when people look more than they type.
var rateMix = []string{
	"today", "load", "morning", "run", "today", "rehab", "load", "upload", "mornings", "today",
	"runs", "form", "ramp", "load", "settings", "today", "morning", "run", "runners", "asset",
}

// TestRate sends requests at a steady rate to a server on the demo's journal, each
// at its time whether or not those before it were answered, and measures from that
// time on. It says how long they took, and fails for an answer that is an error
// and for a write that was acknowledged and is not kept; never for the time.
//
// TIDEMARK_RATE names the requests a second, TIDEMARK_RATE_SECONDS for how long, 60
// by default.
func TestRate(t *testing.T) {
	if os.Getenv("TIDEMARK_RATE") == "" {
		t.Skip("TIDEMARK_RATE names the requests a second, as 200")
	}
	rate, seconds := numberFrom(t, "TIDEMARK_RATE", 200), numberFrom(t, "TIDEMARK_RATE_SECONDS", 60)
	dir := filepath.Join(t.TempDir(), "club")
	today := load.Date(2026, time.June, 1)
	tell(t, "demo", "--on", today.String(), "--dir", dir, "--json")
	db := filepath.Join(dir, "tidemark.db")
	p := started(t, "serve", "--solo", "--quiet", "--on", today.String(), "--addr", "127.0.0.1:0", "--db", db)
	kept := newLedger()
	c := newCrowd(t, p.address, db, today, kept)
	c.send(rate, time.Duration(seconds)*time.Second)
	must(t, p.Process.Signal(syscall.SIGTERM))
	if err := p.Wait(); err != nil {
		t.Errorf("stopped: %v", err)
	}
	t.Log(c.took)
	for what, n := range c.faults {
		t.Errorf("%d times: %s", n, what)
	}
	checked(t, db)
	if missing := kept.lost(t, booksOf(t, db)...); len(missing) > 0 {
		t.Errorf("acknowledged and lost: %q", missing)
	}
	t.Logf("%d writes were acknowledged, each is kept", kept.total())
}

func numberFrom(t *testing.T, variable string, otherwise int) int {
	t.Helper()
	text := os.Getenv(variable)
	if text == "" {
		return otherwise
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		t.Fatalf("%s: %q is no number", variable, text)
	}
	return n
}

// booksOf are the books of all runners of a journal, open until the test ends.
func booksOf(t *testing.T, db string) (books []*journal.Book) {
	t.Helper()
	store, err := sqlite.Open(t.Context(), db, sqlite.Options{})
	must(t, err)
	t.Cleanup(func() { store.Close() })
	j := journal.New(store, func() load.Instant { return 0 }, versions)
	all, err := j.Runners(t.Context(), journal.Local)
	must(t, err)
	for _, r := range all {
		book, err := j.Open(t.Context(), journal.Local, r.ID)
		must(t, err)
		books = append(books, book)
	}
	return books
}

// crowd is everybody who looks and writes.
type crowd struct {
	hands  []*hand
	runs   [][]string // addresses of runs, by hand
	assets []string

	mu     sync.Mutex
	took   timings
	faults map[string]int
}

func newCrowd(t *testing.T, address, db string, today load.Day, kept *ledger) *crowd {
	t.Helper()
	c := &crowd{took: make(timings), faults: make(map[string]int)}
	for _, book := range booksOf(t, db) {
		runner, err := book.Runner(t.Context())
		must(t, err)
		h := newHand(address, string(runner.ID), today, kept)
		if len(c.hands) > 0 {
			h.client = c.hands[0].client
		}
		complaints, err := book.Complaints(t.Context())
		must(t, err)
		if len(complaints) == 0 {
			must(t, h.follow())
		}
		sessions, err := book.Sessions(t.Context())
		must(t, err)
		var runs []string
		for i := range sessions {
			runs = append(runs, h.base()+"/runs/"+sessions[i].ID)
		}
		c.hands, c.runs = append(c.hands, h), append(c.runs, runs)
	}
	for _, m := range regexp.MustCompile(`(?:href|src)="(/static/[^"]+)"`).FindAllStringSubmatch(pageAt(t, address), -1) {
		c.assets = append(c.assets, c.hands[0].server+m[1])
	}
	return c
}

// send begins requests at a rate, and returns when the last was answered.
func (c *crowd) send(rate int, lasting time.Duration) {
	var wait sync.WaitGroup
	began, each := time.Now(), time.Second/time.Duration(rate)
	for n := range int(lasting / each) {
		due := began.Add(time.Duration(n) * each)
		time.Sleep(time.Until(due))
		wait.Go(func() {
			kind := rateMix[n%len(rateMix)]
			err := c.do(kind, n)
			c.note(kind, time.Since(due), err)
		})
	}
	wait.Wait()
}

func (c *crowd) note(kind string, took time.Duration, err error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.took[kind] = append(c.took[kind], took)
	if err != nil {
		c.faults[kind+": "+err.Error()]++
	}
}

// do sends one request, about the runners in turn.
func (c *crowd) do(kind string, n int) error {
	turn := n / len(rateMix)
	who := (turn + n) % len(c.hands)
	h := c.hands[who]
	switch kind {
	case "morning":
		return h.morning(n)
	case "upload":
		return h.upload(n, 1)
	case "form":
		if turn%2 == 0 {
			return h.exercise(n)
		}
		return h.race(n)
	case "run":
		return h.page(c.runs[who][n%len(c.runs[who])])
	case "today":
		return h.page(h.base())
	case "runners":
		return h.page(h.server + "/runners")
	case "asset":
		return h.page(c.assets[turn%len(c.assets)])
	}
	return h.page(h.base() + "/" + kind)
}

// page reads a page to its end, as a browser that takes compressed ones.
func (h *hand) page(address string) error {
	r, err := h.client.Get(address)
	if err != nil {
		return err
	}
	defer r.Body.Close()
	if _, err := io.Copy(io.Discard, r.Body); err != nil {
		return err
	}
	if r.StatusCode != http.StatusOK {
		return errAnswer{r.StatusCode}
	}
	return nil
}

// timings are how long requests took, by kind.
type timings map[string][]time.Duration

// String is a table, with all of them in the last row.
func (t timings) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n%-10s %7s %9s %9s %9s\n", "", "count", "p50 ms", "p99 ms", "max ms")
	kinds, all := make([]string, 0, len(t)), []time.Duration(nil)
	for kind, took := range t {
		kinds, all = append(kinds, kind), append(all, took...)
	}
	slices.Sort(kinds)
	for _, kind := range kinds {
		row(&b, kind, t[kind])
	}
	row(&b, "all", all)
	return b.String()
}

func row(b *strings.Builder, kind string, took []time.Duration) {
	slices.Sort(took)
	at := func(share float64) float64 { // by nearest rank
		return float64(took[max(0, min(len(took)-1, int(share*float64(len(took))+0.5)-1))].Microseconds()) / 1000
	}
	fmt.Fprintf(b, "%-10s %7d %9.1f %9.1f %9.1f\n", kind, len(took), at(0.5), at(0.99), at(1))
}
