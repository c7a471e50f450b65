package letter

import (
	"context"

	"github.com/prometheus/client_golang/prometheus"
)

// Metrics counts letters; nobody's name or address is in it.
type Metrics struct {
	tries   *prometheus.CounterVec
	waiting prometheus.Gauge
	oldest  prometheus.Gauge
}

// NewMetrics registers the metrics. It panics if they are there already.
func NewMetrics(with prometheus.Registerer) *Metrics {
	m := &Metrics{
		tries:   prometheus.NewCounterVec(prometheus.CounterOpts{Name: "tidemark_letters_total", Help: "Tries to send a letter, by what became of them."}, []string{"outcome"}),
		waiting: prometheus.NewGauge(prometheus.GaugeOpts{Name: "tidemark_letters_waiting", Help: "People to whom a letter waits to be sent."}),
		oldest:  prometheus.NewGauge(prometheus.GaugeOpts{Name: "tidemark_letters_waiting_seconds", Help: "How long the oldest letter has waited; 0: none does."}),
	}
	for _, outcome := range []string{"sent", "failed"} {
		m.tries.WithLabelValues(outcome) // so that it is there with nothing in it
	}
	with.MustRegister(m.tries, m.waiting, m.oldest)
	return m
}

// tried counts one try.
func (m *Metrics) tried(sent bool) {
	switch {
	case m == nil:
	case sent:
		m.tries.WithLabelValues("sent").Inc()
	default:
		m.tries.WithLabelValues("failed").Inc()
	}
}

// count tells what waits after a round.
func (r *Rounds) count(ctx context.Context) {
	if r.Metrics == nil {
		return
	}
	people, since, err := r.Journal.LettersWaiting(ctx)
	if err != nil {
		return // the round before has logged as much
	}
	r.Metrics.waiting.Set(float64(people))
	r.Metrics.oldest.Set(0)
	if people > 0 {
		r.Metrics.oldest.Set(r.Now().Sub(since).Seconds())
	}
}
