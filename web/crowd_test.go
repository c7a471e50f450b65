package web_test

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/journaltest"
)

// gather makes a crowd of n with so many weeks behind them, and lets people in as grants say.
func (s *shared) gather(n, weeks int, grants func(n int) []journal.Grant) []journal.RunnerID {
	s.t.Helper()
	v := journal.Versions{Decoder: ingest.Version, Model: load.Version, Rules: load.RulesVersion}
	ids, err := journaltest.Crowd(s.t.Context(), s.store, v, today, 0, n, weeks, grants)
	if err != nil {
		s.t.Fatal(err)
	}
	return ids
}

// hurt opens a complaint of somebody.
func (s *shared) hurt(id journal.RunnerID, n int) {
	s.t.Helper()
	b, err := s.journal.Open(s.t.Context(), journal.Local, id)
	if err != nil {
		s.t.Fatal(err)
	}
	if err := journaltest.CrowdHurts(s.t.Context(), b, today, n); err != nil {
		s.t.Fatal(err)
	}
}

// weighs is how many bytes a page has as it is sent.
func (v *visitor) weighs(t testing.TB, target string) int {
	r, w := compressed(target), httptest.NewRecorder()
	r.AddCookie(v.cookie)
	v.server.ServeHTTP(w, r)
	if w.Code != http.StatusOK || w.Header().Get("Content-Encoding") != "gzip" {
		t.Fatalf("%s: %d %v", target, w.Code, w.Header())
	}
	return w.Body.Len()
}

// TestCrowd: the names of a crowd are those of different people.
func TestCrowd(t *testing.T) {
	seen := make(map[string]int)
	for n := range 5000 {
		if m, ok := seen[journaltest.CrowdName(n)]; ok {
			t.Fatalf("%d and %d are both %s", m, n, journaltest.CrowdName(n))
		}
		seen[journaltest.CrowdName(n)] = n
	}
}
