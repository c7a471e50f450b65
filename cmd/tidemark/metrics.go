package main

import (
	"errors"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"tidemark/web"
)

// metricsServer tells numbers about this process under /metrics, in the open text
// formats that collectors of metrics read.
type metricsServer struct {
	listener net.Listener
	server   *http.Server
}

// metricsTime bounds one answer; project default.
const metricsTime = 10 * time.Second

func newMetricsServer(l net.Listener, registry *prometheus.Registry, journal string, log *slog.Logger) *metricsServer {
	registry.MustRegister(collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}), fileSizes(journal))
	errorLog := slog.NewLogLogger(log.Handler(), slog.LevelWarn)
	metrics := promhttp.HandlerFor(registry, promhttp.HandlerOpts{EnableOpenMetrics: true, ErrorLog: errorLog})
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", onlyHere(metrics))
	return &metricsServer{l, &http.Server{
		Handler: mux, ReadTimeout: metricsTime, WriteTimeout: metricsTime, IdleTimeout: 2 * time.Minute, ErrorLog: errorLog,
	}}
}

// onlyHere refuses a name of another machine that leads to this one: a page in a
// browser on it would read the metrics so.
func onlyHere(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host, _, err := net.SplitHostPort(r.Host)
		if err != nil {
			host = r.Host
		}
		if !web.Loopback(host) {
			http.Error(w, "not under this name", http.StatusMisdirectedRequest)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// start answers until done is called.
func (m *metricsServer) start() (done func()) {
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		_ = m.server.Serve(m.listener) // until Close
	}()
	return func() {
		_ = m.server.Close()
		<-ended
	}
}

// fileSizes tells how much room the journal takes, the log beside it apart.
func fileSizes(journal string) prometheus.Collector {
	sizes := make(collectorList, 0, 2)
	for part, path := range map[string]string{"journal": journal, "log": journal + "-wal"} {
		sizes = append(sizes, prometheus.NewGaugeFunc(prometheus.GaugeOpts{
			Name: "tidemark_journal_bytes", Help: "Size of the journal's file, and of its write-ahead log.", ConstLabels: prometheus.Labels{"file": part},
		}, func() float64 { return fileSize(path) }))
	}
	return sizes
}

// fileSize is 0 for a file that is not there, and -1 for one that cannot be looked at.
func fileSize(path string) float64 {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return 0
	case err != nil:
		return -1
	}
	return float64(info.Size())
}

// collectorList collects from each.
type collectorList []prometheus.Collector

func (l collectorList) Describe(to chan<- *prometheus.Desc) {
	for _, c := range l {
		c.Describe(to)
	}
}

func (l collectorList) Collect(to chan<- prometheus.Metric) {
	for _, c := range l {
		c.Collect(to)
	}
}
