package chart_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
	"tidemark/web/chart"
)

// course lays values out as the middles of equal stretches of a run of total; a
// negative one is absent.
func course(total time.Duration, values ...float64) []load.ProfilePoint {
	points := make([]load.ProfilePoint, len(values))
	each := total / time.Duration(len(values))
	for i, v := range values {
		points[i].Elapsed = time.Duration(i)*each + each/2
		if v >= 0 {
			points[i].Speed, points[i].Heart, points[i].Altitude = load.Speed(v), load.BPM(v), load.Metres(v)
			points[i].Has = load.HasSpeed | load.HasHeart | load.HasAltitude
		}
	}
	return points
}

// Ten stretches of 2 min; the fifth and sixth are a pause and the eighth stands
// alone between another two. 120 to 180 bpm: a range of 60 over steps of 20
// (60/4 = 15, so more than that) is 120, 140, 160, 180. The middles are at 0.05,
// 0.15 and so on; the lone value is a piece from 0.7 to 0.8.
func TestProfile(t *testing.T) {
	got := chart.NewProfile(course(20*time.Minute, 120, 150, 180, 150, -1, -1, -1, 135, -1, 165), chart.Heart)
	want := chart.Profile{
		Unit: "bpm", Low: 120, High: 180,
		Line: [][]chart.Point{
			{{0.05, 0}, {0.15, 0.5}, {0.25, 1}, {0.35, 0.5}},
			{{0.7, 0.25}, {0.8, 0.25}},
			{{0.9, 0.75}, {1, 0.75}},
		},
		Rules: []chart.Rule{{0, "120"}, {1.0 / 3, "140"}, {2.0 / 3, "160"}, {1, "180"}},
		// Six steps of 5 min would hold 30; four of them are 20. On a desk a label
		// at 20 min stands on the edge and has no room.
		Ticks: []chart.Tick{{0, "0 min", false}, {0.25, "5 min", false}, {0.5, "10 min", false}, {0.75, "15 min", false}, {1, "", true}},
	}
	if diff := cmp.Diff(want, got, near); diff != "" {
		t.Error(diff)
	}
	wantPath(t, "line", got.Path(), "M500 10000L1500 5000L2500 0L3500 5000M7000 7500L8000 7500M9000 2500L10000 2500")
}

// The ends of the scale are round numbers around the values, and the values are at
// least 4 km/h, 20 bpm or 20 m apart, laid around their middle.
func TestProfileScales(t *testing.T) {
	for _, test := range []struct {
		name   string
		series chart.Series
		values []float64
		unit   string
		rules  string
	}{
		// 2.5 and 3.5 m/s are 9 and 12.6 km/h; widened to 8.8 and 12.8, steps above
		// 1: 2 from 8 to 14.
		{"speed", chart.Speed, []float64{2.5, 3.5}, "km/h", "8 10 12 14"},
		// 1.5 to 5 m/s: 5.4 to 18 km/h, 12.6/4 = 3.15, so 5 from 5 to 20.
		{"speed with a walk", chart.Speed, []float64{1.5, 5}, "km/h", "5 10 15 20"},
		// 0.1 m/s: 0.36 km/h, widened to -1.64 and 2.36 and moved up to 0 and 4:
		// steps above 1 are 2.
		{"hardly moving", chart.Speed, []float64{0.1, 0.1}, "km/h", "0 2 4"},
		// 140 alone: 130 to 150, steps above 5: 10.
		{"one heart rate", chart.Heart, []float64{140, 140}, "bpm", "130 140 150"},
		// 121 to 179: 58/4 = 14.5, so 20.
		{"heart rates", chart.Heart, []float64{121, 179}, "bpm", "120 140 160 180"},
		// 12 m on the flat: 2 to 22; steps of 10 would do from 0 to 30.
		{"flat", chart.Altitude, []float64{12, 12}, "m", "0 10 20 30"},
		// 410 to 1190: 195, so 200 would need 400 to 1200, five rules; 250 from
		// 250 to 1250, five too; 500 from 0 to 1500.
		{"a mountain", chart.Altitude, []float64{410, 1190}, "m", "0 500 1000 1500"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := chart.NewProfile(course(time.Hour, test.values...), test.series)
			var labels []string
			for _, r := range got.Rules {
				labels = append(labels, r.Label)
			}
			if s := strings.Join(labels, " "); s != test.rules || got.Unit != test.unit {
				t.Errorf("rules %s in %s, want %s in %s", s, got.Unit, test.rules, test.unit)
			}
		})
	}
}

// Below the sea: 20 m around -3 are -13 to 7, steps above 5: 10 from -20 to 10.
func TestProfileBelowTheSea(t *testing.T) {
	points := course(time.Hour, 1, 1)
	points[0].Altitude, points[1].Altitude = -3, -3
	got := chart.NewProfile(points, chart.Altitude)
	if got.Low != -20 || got.High != 10 || got.Rules[0].Label != "-20" || len(got.Rules) != 4 {
		t.Errorf("from %v to %v, rules %v", got.Low, got.High, got.Rules)
	}
}

// At most six steps, and no label of 46 pixels without room in 950, or, if it is
// not minor, in 348. "(40 s)" is minor, "-" has no label.
func TestElapsedTicks(t *testing.T) {
	for _, test := range []struct {
		total time.Duration
		want  string
	}{
		// Steps of 77 px on a phone; 40 s is 5 s from the end, 39 px there.
		{45 * time.Second, "0 s 10 s 20 s 30 s (40 s)"},
		// 31 min is over six of 5: steps of 10. The last minute has 31 px on a desk.
		{31 * time.Minute, "0 min 10 min 20 min -"},
		// 50 min: steps of 10, of 69.6 px; the last at the edge.
		{50 * time.Minute, "0 min 10 min 20 min 30 min 40 min -"},
		{2 * time.Hour, "0 min 20 min 40 min 60 min 80 min 100 min -"},
		// 2 h 30: steps of 30 min, the last at the edge.
		{150 * time.Minute, "0:00 h 0:30 h 1:00 h 1:30 h 2:00 h -"},
		// 5 h: of an hour; 4 h 59 leaves 946 - 759 px on a desk.
		{5*time.Hour - time.Minute, "0:00 h 1:00 h 2:00 h 3:00 h 4:00 h"},
		// Six days at most have a tick a day, ten have one in two.
		{10 * 24 * time.Hour, "0:00 h 48:00 h 96:00 h 144:00 h 192:00 h -"},
	} {
		t.Run(test.total.String(), func(t *testing.T) {
			var got []string
			for _, tick := range chart.NewProfile(course(test.total, 1, 1), chart.Speed).Ticks {
				switch {
				case tick.Label == "":
					got = append(got, "-")
				case tick.Minor:
					got = append(got, "("+tick.Label+")")
				default:
					got = append(got, tick.Label)
				}
			}
			if diff := cmp.Diff(test.want, strings.Join(got, " ")); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestProfileOfNothing(t *testing.T) {
	if diff := cmp.Diff(chart.Profile{Unit: "bpm"}, chart.NewProfile(nil, chart.Heart)); diff != "" {
		t.Error("no points:", diff)
	}
	got := chart.NewProfile(course(time.Hour, -1, -1, -1), chart.Heart)
	if got.Line != nil || got.Rules != nil || len(got.Ticks) == 0 || got.Path() != "" {
		t.Errorf("no values: %+v", got)
	}
}
