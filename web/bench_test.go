package web_test

import (
	"compress/gzip"
	"io"
	"net/http/httptest"
	"testing"

	"tidemark/web"
)

// years is four runs a week for so many years.
func years(n int) map[int]float64 {
	runs := make(map[int]float64)
	for week := range 52 * n {
		for i, km := range []float64{10, 6, 5, 7} {
			runs[7*week+2*i+1] = km + float64(week%5)/2
		}
	}
	return runs
}

// BenchmarkLoadPage renders the load page of a journal of five years, and of one
// of ten, as a browser asks for it.
func BenchmarkLoadPage(b *testing.B) {
	for _, bench := range []struct {
		name, query string
		years       int
	}{{"5 years", "", 5}, {"10 years", "", 10}, {"5 years, a year shown", "?from=2025-05-04", 5}} {
		b.Run(bench.name, func(b *testing.B) {
			s := openSite(b)
			s.upload([2]string{"diary.csv", diary(years(bench.years))})
			target := s.base() + "/load" + bench.query
			s.get(target)
			b.ResetTimer()
			for b.Loop() {
				s.server.ServeHTTP(httptest.NewRecorder(), compressed(target))
			}
			b.ReportMetric(float64(weight(b, s.server, target)), "bytes-sent")
		})
	}
}

// TestWeight holds the load page against the budget: 60 kB as it is sent, with
// all that it loads.
func TestWeight(t *testing.T) {
	s := newSite(t)
	s.upload([2]string{"diary.csv", diary(years(5))})
	for _, query := range []string{"", "?from=2025-05-04"} {
		total := weight(t, s.server, s.base()+"/load"+query)
		for _, asset := range assetsOf(s.get("/")) {
			total += weight(t, s.server, asset)
		}
		t.Logf("load page%s with its assets: %d bytes", query, total)
		if total > 60_000 {
			t.Errorf("load page%s with its assets: %d bytes, want at most 60,000", query, total)
		}
	}
}

// weight is the length of an answer as it is sent.
func weight(t testing.TB, s *web.Server, target string) int64 {
	t.Helper()
	w := httptest.NewRecorder()
	s.ServeHTTP(w, compressed(target))
	if w.Code != 200 || w.Header().Get("Content-Encoding") != "gzip" {
		t.Fatalf("%s: %d %v", target, w.Code, w.Header())
	}
	n := int64(w.Body.Len())
	r, err := gzip.NewReader(w.Body)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(io.Discard, r); err != nil {
		t.Fatal(err)
	}
	return n
}
