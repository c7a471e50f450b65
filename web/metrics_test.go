package web_test

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"tidemark/web"
)

// TestMetrics asks for what can be counted by hand, and looks for anybody in it.
func TestMetrics(t *testing.T) {
	registry := prometheus.NewRegistry()
	s := newSite(t)
	broken := &faulty{Store: s.store}
	s.store = broken
	s.journal = s.onClock(func() time.Time { return noon })
	s.operated(web.Operation{Metrics: web.NewMetrics(registry)})
	s.get("/")
	s.get("/")
	s.do(request("HEAD", s.base(), nil))
	s.do(request("GET", "/nowhere/"+string(s.runner.ID), nil))
	s.do(request("EVIL", s.base(), nil))
	s.upload([2]string{"diary.csv", diary(map[int]float64{3: 5})}, [2]string{"x.pdf", "nothing of the kind"})
	s.upload([2]string{"diary.csv", diary(map[int]float64{3: 5})})
	foreign := request("POST", s.base()+"/races", nil)
	foreign.Header.Set("Sec-Fetch-Site", "cross-site")
	s.do(foreign)
	broken.panics = true
	s.do(request("GET", s.base()+"/load", nil))
	broken.panics = false

	text := exposed(t, registry)
	for _, want := range []string{
		`tidemark_http_requests_total{method="GET",route="/",status="200"} 2`,
		`tidemark_http_requests_total{method="HEAD",route="/r/{runner}",status="200"} 1`,
		`tidemark_http_requests_total{method="GET",route="none",status="404"} 1`,
		`tidemark_http_requests_total{method="other",route="none",status="405"} 1`,
		`tidemark_http_requests_total{method="POST",route="/r/{runner}/add",status="200"} 2`,
		`tidemark_http_requests_total{method="POST",route="none",status="403"} 1`,
		`tidemark_http_requests_total{method="GET",route="/r/{runner}/load",status="500"} 1`,
		`tidemark_http_request_duration_seconds_count{route="/"} 2`,
		`tidemark_upload_files_total{outcome="added"} 1`,
		`tidemark_upload_files_total{outcome="kept"} 1`,
		`tidemark_upload_files_total{outcome="refused"} 1`,
		`tidemark_uploads_in_progress 0`,
		`tidemark_panics_total 1`,
	} {
		if !strings.Contains(text, want+"\n") {
			t.Errorf("not exposed: %s", want)
		}
	}
	for _, word := range []string{string(s.runner.ID), "Nell", "Ashby", "EVIL", "diary", today.String()} {
		if strings.Contains(text, word) {
			t.Errorf("%q is in the metrics", word)
		}
	}
	labels := regexp.MustCompile(`[{,](\w+)="`).FindAllStringSubmatch(text, -1)
	for _, l := range labels {
		if !slices.Contains([]string{"method", "route", "status", "outcome", "le"}, l[1]) {
			t.Errorf("a label is called %s", l[1])
		}
	}
	if len(labels) < 20 {
		t.Errorf("only %d labels:\n%s", len(labels), text)
	}
}

func exposed(t *testing.T, from prometheus.Gatherer) string {
	t.Helper()
	w := httptest.NewRecorder()
	promhttp.HandlerFor(from, promhttp.HandlerOpts{}).ServeHTTP(w, httptest.NewRequest("GET", "/metrics", nil))
	if w.Code != http.StatusOK {
		t.Fatalf("status %d", w.Code)
	}
	return w.Body.String()
}
