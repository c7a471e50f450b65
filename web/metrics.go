package web

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
	"github.com/prometheus/client_golang/prometheus"

	"tidemark/ingest"
	"tidemark/web/api/intake"
)

// Metrics counts what a server does. No label holds anything of anybody: routes are
// patterns, as in the log.
type Metrics struct {
	requests *prometheus.CounterVec
	duration *prometheus.HistogramVec
	files    *prometheus.CounterVec
	uploads  prometheus.Gauge
	panics   prometheus.Counter
}

// durations are the bounds of the histogram in seconds, from an asset to an upload;
// project default.
var durations = []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 10, 60, 600}

// Outcomes of a recording besides outcomeRefused, as the import command counts them.
const (
	outcomeAdded = "added"
	outcomeKept  = "kept"
)

// NewMetrics registers the metrics. It panics if they are there already.
func NewMetrics(with prometheus.Registerer) *Metrics {
	m := &Metrics{
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "tidemark_http_requests_total", Help: "Requests that were answered.",
		}, []string{"method", "route", "status"}),
		duration: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "tidemark_http_request_duration_seconds", Help: "Time from the head of a request to the end of its answer.", Buckets: durations,
		}, []string{"route"}),
		files: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "tidemark_upload_files_total", Help: "Recordings that were handed in through the pages, by what became of them.",
		}, []string{"outcome"}),
		uploads: prometheus.NewGauge(prometheus.GaugeOpts{Name: "tidemark_uploads_in_progress", Help: "Uploads under way."}),
		panics:  prometheus.NewCounter(prometheus.CounterOpts{Name: "tidemark_panics_total", Help: "Requests that a fault of the program ended."}),
	}
	for _, outcome := range []string{outcomeAdded, outcomeKept, outcomeRefused} {
		m.files.WithLabelValues(outcome) // so that it is there with nothing in it
	}
	with.MustRegister(m.requests, m.duration, m.files, m.uploads, m.panics)
	return m
}

// methods are those that a label and the log may hold; a client may invent others.
var methods = []string{http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodOptions}

// methodOf is the method of a request, or that it is none of those.
func methodOf(r *http.Request) string {
	if !slices.Contains(methods, r.Method) {
		return "other"
	}
	return r.Method
}

// measured counts a request and how long it took, also one that broke off.
func (s *Server) measured(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now()
		defer func() {
			route := chi.RouteContext(r.Context()).RoutePattern()
			if route == "" {
				route = "none"
			}
			status := "none"
			if ww, ok := w.(middleware.WrapResponseWriter); ok && ww.Status() != 0 {
				status = strconv.Itoa(ww.Status())
			}
			s.Metrics.requests.WithLabelValues(methodOf(r), route, status).Inc()
			s.Metrics.duration.WithLabelValues(route).Observe(time.Since(began).Seconds())
		}()
		next.ServeHTTP(w, r)
	})
}

// uploading counts an upload as under way until done is called.
func (m *Metrics) uploading() (done func()) {
	m.uploads.Inc()
	return m.uploads.Dec
}

// counting tells of a file and counts it by what became of it.
func (m *Metrics) counting(tell func(intake.Result)) func(intake.Result) {
	return func(res intake.Result) {
		outcome := outcomeKept
		switch {
		case errors.Is(res.Err, ingest.ErrAside):
			outcome = "aside"
		case res.Err != nil:
			outcome = outcomeRefused
		case res.Added:
			outcome = outcomeAdded
		}
		m.files.WithLabelValues(outcome).Inc()
		tell(res)
	}
}
