package chart_test

import (
	"math"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/web/chart"
)

// The top is 1.15 times the highest value and rules go up to 0.92 of that, 1.058
// times the highest. The step is the smallest round number of which fewer than five
// fit below. Worked in the comments: limit, limit / 5, step.
func TestRules(t *testing.T) {
	for _, test := range []struct {
		measure load.Measure
		highest float64
		labels  string
	}{
		{load.Distance, 15.2, "5 10 15"},           // 16.08, 3.22, 5
		{load.Distance, 9, "2 4 6 8"},              // 9.52, 1.90, 2
		{load.Distance, 10, "2.5 5 7.5 10"},        // 10.58, 2.12, 2.5
		{load.Distance, 20, "5 10 15 20"},          // 21.16, 4.23, 5
		{load.Distance, 4.7, "1 2 3 4"},            // 4.97, 0.99, 1
		{load.Distance, 5, "2 4"},                  // 5.29, 1.06, 2
		{load.Distance, 1.2, "0.5 1"},              // 1.27, 0.25, 0.5
		{load.Distance, 0.3, "0.1 0.2 0.3"},        // 0.317, 0.063, 0.1
		{load.Distance, 0.95, "0.25 0.5 0.75 1"},   // 1.005, 0.201, 0.25
		{load.Distance, 0.016, "0.005 0.01 0.015"}, // 0.0169, 0.0034, 0.005
		{load.Time, 45, "10 20 30 40"},             // 47.6, 9.52, 10
		{load.Exertion, 420, "100 200 300 400"},    // 444, 88.9, 100
		{load.Steps, 12400, "5000 10000"},          // 13119, 2624, 5000
	} {
		t.Run(test.measure.String()+" "+test.labels, func(t *testing.T) {
			got := chart.NewTideline(test.measure, rows(monday, day{load: test.highest}), nil, monday, monday)
			var labels []string
			for _, r := range got.Rules {
				labels = append(labels, r.Label)
			}
			if s := strings.Join(labels, " "); s != test.labels {
				t.Errorf("rules %s, want %s", s, test.labels)
			}
			if got.Unit != test.measure.Unit() || math.Abs(got.Top-1.15*test.highest) > 1e-9*test.highest {
				t.Errorf("top %v %s", got.Top, got.Unit)
			}
		})
	}
}
