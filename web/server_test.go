package web_test

import (
	"bytes"
	"fmt"
	"io"
	"log/slog"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
	"tidemark/web"
)

// The tests stand on a Sunday in May, at noon where the runner lives.
var (
	today = load.Date(2026, time.May, 3)
	noon  = time.Date(2026, time.May, 3, 10, 0, 0, 0, time.UTC)
)

// site is a server on a new journal with one runner.
type site struct {
	t       testing.TB
	server  *web.Server
	journal *journal.Journal
	store   journal.Store
	runner  journal.Runner
	log     *bytes.Buffer
}

func newSite(t *testing.T) *site { return openSite(t) }

func openSite(t testing.TB) *site {
	t.Helper()
	store, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "a.db"), sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	s := &site{t: t, log: new(bytes.Buffer), store: store}
	s.journal = s.onClock(func() time.Time { return noon })
	if s.runner, err = s.journal.AddRunner(t.Context(), "Nell Ashby", "Europe/Oslo", today-20); err != nil {
		t.Fatal(err)
	}
	s.server = web.New(web.Options{
		Journal: s.journal, Now: func() time.Time { return noon }, Limits: ingest.DefaultLimits,
		Log: slog.New(slog.NewTextHandler(s.log, nil)),
	})
	return s
}

// onClock is the journal with another clock.
func (s *site) onClock(now func() time.Time) *journal.Journal {
	clock := func() load.Instant { return load.InstantOf(now()) }
	return journal.New(s.store, clock, journal.Versions{Decoder: ingest.Version, Model: load.Version, Rules: load.RulesVersion})
}

// base is the start of the runner's addresses.
func (s *site) base() string { return "/r/" + string(s.runner.ID) }

// compressed is a request of a browser, which takes gzip.
func compressed(target string) *http.Request {
	r := request("GET", target, nil)
	r.Header.Set("Accept-Encoding", "gzip")
	return r
}

func (s *site) do(r *http.Request) *httptest.ResponseRecorder {
	s.t.Helper()
	w := httptest.NewRecorder()
	s.server.ServeHTTP(w, r)
	return w
}

func request(method, target string, body io.Reader) *http.Request {
	r := httptest.NewRequest(method, target, body)
	r.Host = "127.0.0.1:8080"
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return r
}

// get answers a page, which must be there.
func (s *site) get(target string) string {
	s.t.Helper()
	w := s.do(request("GET", target, nil))
	if w.Code != http.StatusOK {
		s.t.Fatalf("GET %s: %d\n%s", target, w.Code, w.Body)
	}
	return w.Body.String()
}

func (s *site) post(target string, form url.Values) *httptest.ResponseRecorder {
	s.t.Helper()
	r := request("POST", target, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return s.do(r)
}

// upload hands in files by name and content.
func (s *site) upload(files ...[2]string) *httptest.ResponseRecorder {
	s.t.Helper()
	return s.do(s.uploading(files...))
}

func (s *site) uploading(files ...[2]string) *http.Request {
	s.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for _, f := range files {
		part, err := form.CreateFormFile("files", f[0])
		if err != nil {
			s.t.Fatal(err)
		}
		if _, err := io.WriteString(part, f[1]); err != nil {
			s.t.Fatal(err)
		}
	}
	if err := form.Close(); err != nil {
		s.t.Fatal(err)
	}
	r := request("POST", s.base()+"/add", &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return r
}

// diary writes a run on each of the days before today.
func diary(runs map[int]float64) string {
	var b strings.Builder
	b.WriteString("date,start,kind,distance_km,duration_min,rpe\n")
	for back := 4000; back >= 0; back-- {
		if km, ok := runs[back]; ok {
			fmt.Fprintf(&b, "%s,07:30,run,%.2f,%.0f,4\n", today-load.Day(back), km, km*6)
		}
	}
	return b.String()
}

// steady is three runs a week for ten weeks, 8 km on Sundays and 5 on two other
// days, and one of 15.2 km three Sundays ago.
func steady() map[int]float64 {
	runs := make(map[int]float64)
	for week := range 10 {
		runs[7*week+7], runs[7*week+5], runs[7*week+3] = 8, 5, 5
	}
	runs[21] = 15.2
	return runs
}

func (s *site) steady() {
	s.t.Helper()
	if w := s.upload([2]string{"diary.csv", diary(steady())}); w.Code != http.StatusOK {
		s.t.Fatalf("upload: %d\n%s", w.Code, w.Body)
	}
}

// sessions are what is in the logbook.
func (s *site) sessions() []load.Session {
	s.t.Helper()
	book, err := s.journal.Open(s.t.Context(), journal.Local, s.runner.ID)
	if err != nil {
		s.t.Fatal(err)
	}
	all, err := book.Sessions(s.t.Context())
	if err != nil {
		s.t.Fatal(err)
	}
	return all
}

func wantIn(t *testing.T, page string, texts ...string) {
	t.Helper()
	page = strings.ReplaceAll(page, "\u00a0", " ")
	for _, text := range texts {
		if !strings.Contains(page, text) {
			t.Errorf("the page does not say %q", text)
		}
	}
}

func wantNotIn(t *testing.T, page string, texts ...string) {
	t.Helper()
	for _, text := range texts {
		if strings.Contains(page, text) {
			t.Errorf("the page holds %q", text)
		}
	}
}

// TestAnswers goes through the addresses and what they answer to.
func TestAnswers(t *testing.T) {
	s := newSite(t)
	s.steady()
	b := s.base()
	run := b + "/runs/" + s.sessions()[0].ID
	tests := []struct {
		name, method, target string
		status               int
		text                 string
	}{
		{"home", "GET", "/", 200, "within your limits today"},
		{"today", "GET", b, 200, "within your limits today"},
		{"load", "GET", b + "/load", 200, "Seven days against the three sevens before"},
		{"load in minutes", "GET", b + "/load?measure=time", 200, "min a day"},
		{"load in effort", "GET", b + "/load?measure=exertion", 200, "What you did, in effort min."},
		{"a year", "GET", b + "/load?from=2025-05-04", 200, "within your limits today"},
		{"before the first run", "GET", b + "/load?to=2020-05-03", 200, "Nothing was known yet in these days"},
		{"runs", "GET", b + "/runs", 200, "recordings in the logbook"},
		{"runs of long ago", "GET", b + "/runs?until=2001-01-01", 200, "None is as old as that"},
		{"a run", "GET", run, 200, "What the file could not know"},
		{"its file", "GET", run + "/original", 200, "date,start,kind"},
		{"only its head", "HEAD", b, 200, ""},
		{"add", "GET", b + "/add", 200, "Add what your watch recorded"},
		{"rests on", "GET", "/rests-on", 200, "Frandsen et al. 2025"},
		{"runners", "GET", "/runners", 200, "Nell Ashby"},

		{"no such page", "GET", "/nowhere", 404, "There is no page at this address."},
		{"no such asset", "GET", "/static/style.css", 404, "There is no page"},
		{"no such runner", "GET", "/r/nobody/load", 404, "nothing at this address"},
		{"no such run", "GET", b + "/runs/none", 404, "nothing at this address"},
		{"no such run's file", "GET", b + "/runs/none/original", 404, "nothing at this address"},
		{"another method", "DELETE", b, 405, "cannot be used that way"},
		{"a measure that is none", "GET", b + "/load?measure=watts", 422, "no measure"},
		{"a day that is none", "GET", b + "/load?to=tomorrow", 422, "no date"},
		{"a day ahead", "GET", b + "/load?to=2026-05-04", 422, "has not come yet"},
		{"days the wrong way round", "GET", b + "/load?from=2026-05-02&to=2026-05-01", 422, "is after the last"},
		{"more than a picture holds", "GET", b + "/load?from=1990-01-01", 422, "366 days"},
		{"runs until nonsense", "GET", b + "/runs?until=x", 422, "no date"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := s.do(request(tt.method, tt.target, nil))
			if w.Code != tt.status {
				t.Errorf("status %d, want %d", w.Code, tt.status)
			}
			wantIn(t, w.Body.String(), tt.text)
		})
	}
}

// TestSecured looks at what every answer carries, and at requests that are none
// of ours.
func TestSecured(t *testing.T) {
	s := newSite(t)
	for _, target := range []string{"/", "/nowhere", s.base() + "/load"} {
		w := s.do(request("GET", target, nil))
		policy := w.Header().Get("Content-Security-Policy")
		for _, part := range []string{"default-src 'none'", "script-src 'nonce-", "style-src 'nonce-", "form-action 'self'", "base-uri 'none'", "frame-ancestors 'none'"} {
			if !strings.Contains(policy, part) {
				t.Errorf("%s: policy %q lacks %s", target, policy, part)
			}
		}
		_, rest, _ := strings.Cut(policy, "'nonce-")
		nonce, _, _ := strings.Cut(rest, "'")
		if n := strings.Count(w.Body.String(), `nonce="`+nonce+`"`); n != 2 || len(nonce) < 20 {
			t.Errorf("%s: the nonce %q stands %d times in the page, want 2", target, nonce, n)
		}
		if again := s.do(request("GET", target, nil)).Header().Get("Content-Security-Policy"); again == policy {
			t.Errorf("%s: the nonce was used twice", target)
		}
		for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "Cache-Control": "private, no-cache"} {
			if got := w.Header().Get(name); got != want {
				t.Errorf("%s: %s is %q, want %q", target, name, got, want)
			}
		}
	}

	other := request("GET", "/", nil)
	other.Host = "logbook.example"
	if w := s.do(other); w.Code != http.StatusMisdirectedRequest {
		t.Errorf("another host: %d, want 421", w.Code)
	}
	for header, value := range map[string]string{"Sec-Fetch-Site": "cross-site", "Origin": "http://elsewhere.example"} {
		r := s.uploading([2]string{"diary.csv", diary(steady())})
		r.Header.Del("Sec-Fetch-Site")
		r.Header.Set(header, value)
		w := s.do(r)
		if w.Code != http.StatusForbidden {
			t.Errorf("%s %s: %d, want 403", header, value, w.Code)
		}
		wantIn(t, w.Body.String(), "sent from another site")
	}
	if n := len(s.sessions()); n != 0 {
		t.Errorf("%d sessions were kept of what another site sent", n)
	}
}

// assetsOf are the addresses that a page loads.
func assetsOf(page string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`"(/static/[^"]+)"`).FindAllStringSubmatch(page, -1) {
		out = append(out, m[1])
	}
	return out
}

func TestAssets(t *testing.T) {
	s := newSite(t)
	types := map[string]string{".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
	addresses := assetsOf(s.get("/"))
	if len(addresses) != len(types) {
		t.Errorf("the page loads %v", addresses)
	}
	for _, address := range addresses {
		w := s.do(request("GET", address, nil))
		want := types[path.Ext(address)]
		if w.Code != 200 || !strings.HasPrefix(w.Header().Get("Content-Type"), want) || !strings.Contains(w.Header().Get("Cache-Control"), "immutable") {
			t.Errorf("%s: %d %v", address, w.Code, w.Header())
		}
	}
}

// TestLog sees that the log names no runner, run or question.
func TestLog(t *testing.T) {
	s := newSite(t)
	s.steady()
	id := s.sessions()[0].ID
	s.get(s.base() + "/runs/" + id)
	s.get("/?if=14")
	text := s.log.String()
	wantIn(t, text, "route=/r/{runner}/runs/{id}", "method=GET", "status=200")
	wantNotIn(t, text, string(s.runner.ID), id, "if=14", "Nell")
}

// A form that is too large is refused before it is read.
func TestLargeForm(t *testing.T) {
	s := newSite(t)
	s.steady()
	w := s.post(s.base()+"/runs/"+s.sessions()[0].ID, url.Values{"exertion": {strings.Repeat("7", 100<<10)}})
	if w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("status %d, want 413", w.Code)
	}
	wantIn(t, w.Body.String(), "64 kB is the most")
}
