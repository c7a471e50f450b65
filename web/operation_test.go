package web_test

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"
	"time"

	"tidemark/ingest"
	"tidemark/load/journal"
	"tidemark/web"
)

// operated is the site's server as an operation makes it.
func (s *site) operated(o web.Operation) *site {
	s.server = web.New(web.Options{
		Journal: s.journal, Now: func() time.Time { return noon }, Limits: ingest.DefaultLimits,
		Log: slog.New(slog.NewTextHandler(s.log, nil)), Operation: o,
	})
	return s
}

// Health is answered to whoever asks, and says no more than whether all is well.
func TestHealth(t *testing.T) {
	s := newSite(t)
	ask := func(method string) *httptest.ResponseRecorder {
		r := httptest.NewRequest(method, "/health", nil)
		r.Host = "10.0.0.7:8080"
		return s.do(r)
	}
	if w := ask("GET"); w.Code != http.StatusOK || w.Body.String() != "ok\n" {
		t.Errorf("%d %q, want ok", w.Code, w.Body)
	}
	if w := ask("POST"); w.Code != http.StatusMethodNotAllowed {
		t.Errorf("POST: %d, want 405", w.Code)
	}
	if s.log.Len() > 0 {
		t.Errorf("a healthy answer is news:\n%s", s.log)
	}
	if err := s.store.Close(); err != nil {
		t.Fatal(err)
	}
	if w := ask("GET"); w.Code != http.StatusServiceUnavailable || w.Body.String() != "not ok\n" {
		t.Errorf("%d %q of a journal that cannot be read, want not ok", w.Code, w.Body)
	}
	wantIn(t, s.log.String(), "level=ERROR", "closed")
}

// Browsers are told to use HTTPS alone where they reach the server so, and never of
// this machine's own names.
func TestStrictTransport(t *testing.T) {
	for _, c := range []struct {
		https      bool
		host, want string
	}{
		{true, "logbook.example", "max-age=31536000"},
		{true, "logbook.example:8443", "max-age=31536000"},
		{true, "localhost:8080", ""},
		{true, "127.0.0.1:8080", ""},
		{false, "logbook.example", ""},
	} {
		s := newSite(t).operated(web.Operation{HTTPS: c.https})
		r := request("GET", "/health", nil)
		r.Host = c.host
		if got := s.do(r).Header().Get("Strict-Transport-Security"); got != c.want {
			t.Errorf("%s, HTTPS %v: %q, want %q", c.host, c.https, got, c.want)
		}
	}
}

// A browser may post from another address of the server if it was named, and from
// no other.
func TestTrustedOrigins(t *testing.T) {
	s := newSite(t).operated(web.Operation{Origins: []string{"https://logbook.example"}})
	for origin, want := range map[string]int{
		"https://logbook.example": http.StatusSeeOther, "http://logbook.example": http.StatusForbidden,
		"https://logbook.example:444": http.StatusForbidden, "https://elsewhere.example": http.StatusForbidden,
	} {
		r := request("POST", s.base()+"/races", strings.NewReader("day=2026-06-01"))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Del("Sec-Fetch-Site") // as behind a proxy that gives another Host
		r.Header.Set("Origin", origin)
		if w := s.do(r); w.Code != want {
			t.Errorf("from %s: %d, want %d", origin, w.Code, want)
		}
	}
	for origin, ok := range map[string]bool{"https://a.example": true, "https://a.example/": false, "a.example": false, "": false} {
		if err := web.CheckOrigin(origin); (err == nil) != ok {
			t.Errorf("CheckOrigin(%q): %v", origin, err)
		}
	}
}

func TestForwardedFor(t *testing.T) {
	proxies := []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8"), netip.MustParsePrefix("fd00::/8"), netip.MustParsePrefix("127.0.0.1/32")}
	for _, c := range []struct {
		name, peer string
		forwarded  []string
		want       string
	}{
		{"nobody is in between", "192.0.2.1", nil, "192.0.2.1"},
		{"somebody claims to be a proxy", "192.0.2.1", []string{"198.51.100.9"}, "192.0.2.1"},
		{"one proxy", "10.0.0.1", []string{"198.51.100.9"}, "198.51.100.9"},
		{"two proxies", "10.0.0.1", []string{"198.51.100.9, 10.0.0.2"}, "198.51.100.9"},
		{"in two headers", "10.0.0.1", []string{"198.51.100.9", "10.0.0.2"}, "198.51.100.9"},
		{"what a client invented comes first", "10.0.0.1", []string{"203.0.113.5, 198.51.100.9"}, "198.51.100.9"},
		{"invented as a proxy", "10.0.0.1", []string{"10.0.0.9, 198.51.100.9"}, "198.51.100.9"},
		{"nothing but proxies", "10.0.0.1", []string{"10.0.0.3, 10.0.0.2"}, "10.0.0.3"},
		{"the header is missing", "10.0.0.1", nil, "10.0.0.1"},
		{"no address", "10.0.0.1", []string{"unknown"}, "10.0.0.1"},
		{"no address behind a proxy", "10.0.0.1", []string{"198.51.100.9, secret, 10.0.0.2"}, "10.0.0.2"},
		{"an empty part", "10.0.0.1", []string{"198.51.100.9,"}, "10.0.0.1"},
		{"with a port", "10.0.0.1", []string{"198.51.100.9:4711"}, "198.51.100.9"},
		{"of the newer kind", "fd00::1", []string{"2001:db8::7"}, "2001:db8::7"},
		{"with brackets and port", "fd00::1", []string{"[2001:db8::7]:4711"}, "2001:db8::7"},
		{"with brackets", "fd00::1", []string{"[2001:db8::7]"}, "2001:db8::7"},
		{"the older in the newer", "::ffff:10.0.0.1", []string{"::ffff:198.51.100.9"}, "198.51.100.9"},
		{"with an interface", "fd00::1%eth0", []string{"2001:db8::7%eth0"}, "2001:db8::7"},
	} {
		if got := web.ForwardedFor(netip.MustParseAddr(c.peer), c.forwarded, proxies); got != netip.MustParseAddr(c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// A page may take longer than a form may take to come.
func TestSlowPage(t *testing.T) {
	s := newSite(t)
	s.journal = s.slowly(100 * time.Millisecond)
	s.operated(web.Operation{}).server.SetPatience(50*time.Millisecond, time.Hour)
	server := httptest.NewServer(s.server)
	defer server.Close()
	r, err := http.Get(server.URL + s.base() + "/races")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if r.StatusCode != http.StatusOK {
		t.Errorf("status %d", r.StatusCode)
	}
}

// slowly is the journal on a store that takes its time for each view.
func (s *site) slowly(delay time.Duration) *journal.Journal {
	s.store = &faulty{Store: s.store, delay: delay}
	return s.onClock(func() time.Time { return noon })
}

// Whoever looks at where a request is from sees whom a believed proxy names.
func TestRemoteAddr(t *testing.T) {
	for _, c := range []struct {
		proxies []netip.Prefix
		want    string
	}{
		{nil, "192.0.2.1:1234"}, // as httptest has it
		{[]netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")}, "192.0.2.1:1234"},
		{[]netip.Prefix{netip.MustParsePrefix("192.0.2.0/24")}, "198.51.100.9:0"},
	} {
		s := newSite(t).operated(web.Operation{Proxies: c.proxies})
		var got string
		h := s.server.Operated(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) { got = r.RemoteAddr }))
		r := request("GET", "/", nil)
		r.Header.Set("X-Forwarded-For", "198.51.100.9")
		h.ServeHTTP(httptest.NewRecorder(), r)
		if got != c.want {
			t.Errorf("proxies %v: from %s, want %s", c.proxies, got, c.want)
		}
	}
}
