package web_test

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/go-chi/chi/v5"

	"tidemark/ingest"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
	"tidemark/web"
)

// marks are what people say, name and are called in this test, and what stands in
// addresses that are secrets. None of it may come into a log. The name of a home zone may:
// that a machine does not know it is for the host to mend.
var marks = []string{
	"Quibblesnoot", // the runner, and in the names of files
	"zanzibarly",   // in every text that is typed
	"83.4375", "123.4375", "19.0625",
	"ach-mid", "not-settled", "flared",
	"mozzarella", // in addresses and headers that are nobody's
	"gorgonzola", // what a panic holds
}

// faulty is a store that can be made to fail as a bug would.
type faulty struct {
	journal.Store
	panics bool
	delay  time.Duration
}

func (f *faulty) View(ctx context.Context, do func(journal.Tx) error) error {
	if f.panics {
		panic("the gorgonzola of zanzibarly appears twice")
	}
	time.Sleep(f.delay)
	return f.Store.View(ctx, do)
}

// TestLogHoldsNothingOfAnybody plays pages, answers, refusals and failures with
// marks in all that a person can say, and looks for the marks in the log.
func TestLogHoldsNothingOfAnybody(t *testing.T) {
	var log bytes.Buffer
	path := filepath.Join(t.TempDir(), "a.db")
	store, err := sqlite.Open(t.Context(), path, sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	broken := &faulty{Store: store}
	s := &site{t: t, log: &log, store: broken}
	s.journal = s.onClock(func() time.Time { return noon })
	if s.runner, err = s.journal.AddRunner(t.Context(), "Nell Quibblesnoot", "Europe/Oslo", today-20); err != nil {
		t.Fatal(err)
	}
	s.server = web.New(web.Options{
		Journal: s.journal, Now: func() time.Time { return noon }, Limits: ingest.DefaultLimits,
		Log: slog.New(slog.NewJSONHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug})),
	})
	runs := s.play()
	secret := s.openFeed()
	s.get("/feed/" + secret + ".ics")
	all := append([]string{secret}, marks...)
	s.misuse()
	s.everyPage(runs)
	for _, fault := range []struct {
		name   string
		begins func()
		ends   func()
	}{
		{"a bug", func() { broken.panics = true }, func() { broken.panics = false }},
		{"a damaged file", func() { change(t, path, `UPDATE original_content SET packed = x'00'`) }, func() {}},
		{"a home that is nowhere", func() { change(t, path, `UPDATE runner SET home = 'Atlantis/Deep', revision = revision + 1`) }, func() {}},
		{"a journal that is gone", func() { store.Close() }, func() {}},
	} {
		before := strings.Count(log.String(), `"level":"ERROR"`)
		fault.begins()
		s.everyPage(runs)
		fault.ends()
		if strings.Count(log.String(), `"level":"ERROR"`) == before {
			t.Errorf("%s: no failure is in the log", fault.name)
		}
	}
	looked := 0
	for line := range strings.Lines(log.String()) {
		var fields map[string]any
		if err := json.Unmarshal([]byte(line), &fields); err != nil {
			t.Fatalf("%v in %s", err, line)
		}
		for _, mark := range all {
			if strings.Contains(strings.ToLower(line), strings.ToLower(mark)) {
				t.Errorf("%q is in the log:\n%s", mark, line)
			}
		}
		looked++
	}
	if looked < 200 || !strings.Contains(log.String(), `"route":"/r/{runner}/runs/{id}"`) {
		t.Errorf("only %d lines were looked at, or none of a run", looked)
	}
}

// play says things with marks in them and returns the addresses of the runs.
func (s *site) play() (runs []string) {
	s.t.Helper()
	b := s.base()
	s.upload([2]string{"Quibblesnoot-zanzibarly.csv", diary(map[int]float64{9: 19.0625, 7: 8, 5: 6, 2: 5})},
		[2]string{"Quibblesnoot.gpx", gpx(noon.AddDate(0, 0, -7), 30)}, [2]string{"zanzibarly.pdf", "nothing of the kind, zanzibarly"})
	for _, run := range s.sessions() {
		runs = append(runs, run.ID)
	}
	if len(runs) < 4 {
		s.t.Fatalf("%d runs", len(runs))
	}
	for _, p := range []struct {
		at     string
		form   url.Values
		status int
	}{
		{"/runs/" + runs[0], url.Values{"seen": {"0"}, "note": {"zanzibarly"}, "was-note": {""}, "shoe": {"zanzibarly"}, "was-shoe": {""}, "distance": {"19.0625"}, "was-distance": {""}}, 303},
		{"/runs/" + runs[0], url.Values{"seen": {"3"}, "exertion": {"zanzibarly"}, "was-exertion": {""}}, 422},
		{"/hurts", url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {(today - 9).String()}, "pain": {"1"}, "stiffness": {"5"}, "note": {"zanzibarly"}}, 303},
		{"/hurts", url.Values{"site": {"zanzibarly"}, "side": {"left"}}, 422},
		{"/mornings", url.Values{"complaint": {"ach-mid-left"}, "day": {today.String()}, "next": {"5"}, "stiffness": {"45"}}, 303},
		{"/mornings", url.Values{"complaint": {"zanzibarly"}, "day": {today.String()}, "next": {"5"}}, 404},
		{"/mornings", url.Values{"complaint": {"ach-mid-left"}, "day": {"zanzibarly"}}, 422},
		{"/races", url.Values{"day": {(today + 40).String()}, "name": {"zanzibarly"}, "distance": {"123.4375"}}, 303},
		{"/races", url.Values{"day": {"zanzibarly"}}, 422},
		{"/rehab/ach-mid-left/prescribe", url.Values{"programme": {"combined"}, "started": {today.String()}, "why": {"zanzibarly"}}, 303},
		{"/rehab/ach-mid-left/log", url.Values{"exercise": {"stand_raise_2"}, "day": {today.String()}, "sets": {"3"}, "reps": {"15"}, "weight": {"83.4375"}, "note": {"zanzibarly"}, "keep": {"yes"}}, 303},
		{"/happened", url.Values{"flag": {"numb"}, "why": {"zanzibarly"}}, 303},
		{"/settings", url.Values{"group": {"limits"}, "from": {today.String()}, "session-share": {"zanzibarly"}}, 422},
	} {
		if w := s.post(b+p.at, p.form); w.Code != p.status {
			s.t.Fatalf("%s: %d, want %d\n%s", p.at, w.Code, p.status, w.Body)
		}
	}
	return runs
}

// openFeed returns the secret of a calendar.
func (s *site) openFeed() string {
	s.t.Helper()
	s.post(s.base()+"/ramp", url.Values{})
	book, err := s.journal.Open(s.t.Context(), journal.Local, s.runner.ID)
	if err != nil {
		s.t.Fatal(err)
	}
	secret, err := book.OpenFeed(s.t.Context())
	if err != nil {
		s.t.Fatal(err)
	}
	return secret
}

// misuse asks for what is not there and sends what should not come.
func (s *site) misuse() {
	for _, target := range []string{"/mozzarella", "/r/mozzarella", "/feed/mozzarella.ics", "/static/mozzarella", s.base() + "/load?measure=mozzarella", s.base() + "/runs/mozzarella"} {
		for _, method := range []string{"GET", "POST", "MOZZARELLA"} {
			r := request(method, target, strings.NewReader("mozzarella=zanzibarly"))
			for _, header := range []string{"User-Agent", "Referer", "Cookie", "Authorization", "X-Forwarded-For", "X-Request-Id", "Content-Type"} {
				r.Header.Set(header, "mozzarella")
			}
			s.do(r)
		}
	}
	r := request("GET", "/", nil)
	r.Host = "mozzarella.example"
	s.do(r)
	r = request("POST", s.base()+"/races", nil)
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	r.Header.Set("Origin", "https://mozzarella.example")
	s.do(r)
}

// everyPage asks for every route that there is, as itself and with a form.
func (s *site) everyPage(runs []string) {
	s.t.Helper()
	fill := regexp.MustCompile(`\{(\w+)\}`)
	err := chi.Walk(s.server.Routes(), func(method, route string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		for _, run := range runs[:2] {
			target := fill.ReplaceAllStringFunc(route, func(name string) string {
				return map[string]string{"{runner}": string(s.runner.ID), "{id}": run, "{complaint}": "ach-mid-left"}[name]
			})
			if method == http.MethodPost {
				s.post(target, url.Values{"zanzibarly": {"zanzibarly"}, "note": {"zanzibarly"}, "day": {today.String()}, "why": {"zanzibarly"}})
				continue
			}
			s.do(request(method, target, nil))
		}
		return nil
	})
	if err != nil {
		s.t.Fatal(err)
	}
}

// change writes into the journal behind its back.
func change(t *testing.T, path, statement string) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.ExecContext(t.Context(), statement); err != nil {
		t.Fatal(fmt.Errorf("%s: %w", statement, err))
	}
}
