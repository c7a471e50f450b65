package chart_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"strconv"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/web/chart"
)

var (
	pathData = regexp.MustCompile(`^(M[0-9]+ [0-9]+(L[0-9]+ [0-9]+|[HV][0-9]+|Z)+)*$`)
	numbers  = regexp.MustCompile(`[0-9]+`)
)

// TestPictures draws 2000 random histories and runs, absurd ones among them: every
// fraction lies from 0 to 1, every path holds nothing but what it may and stays in
// the box, and the same series give the same picture.
func TestPictures(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 12))
	for range 2000 {
		first, n := monday+load.Day(r.IntN(2000)), 1+r.IntN(400)
		days, sessions := invented(r, first, n)
		m := load.Measures[r.IntN(len(load.Measures))]
		draw := func() chart.Tideline {
			return chart.NewTideline(m, days, sessions, first, first+load.Day(n-1))
		}
		checkTideline(t, draw())
		if !reflect.DeepEqual(draw(), draw()) {
			t.Error("two pictures of one series differ")
		}
		points := inventedCourse(r)
		for _, s := range []chart.Series{chart.Speed, chart.Heart, chart.Altitude} {
			checkProfile(t, chart.NewProfile(points, s))
		}
		if t.Failed() {
			t.Fatalf("%v of %d days from %v: %v %v\n%v", m, n, first, days, sessions, points)
		}
	}
}

// invented returns rows that hang together by nothing but their days.
func invented(r *rand.Rand, first load.Day, n int) (days []load.DayRow, sessions []load.SessionRow) {
	size := math.Pow(10, float64(r.IntN(9)-4))
	amount := func() float64 { return max(0, r.NormFloat64()) * size }
	for i := r.IntN(n + 1); i < n; i++ {
		row := load.DayRow{
			Date: first + load.Day(i), State: load.Recorded, Load: amount(),
			HeldTidemark: mark(amount()), Tidemark: mark(amount()),
		}
		if i > 0 && len(days) > 0 && r.IntN(3) > 0 {
			row.HeldTidemark, row.Tidemark = days[len(days)-1].HeldTidemark, days[len(days)-1].Tidemark
		}
		if r.IntN(4) == 0 {
			row.State = load.Unknown
		}
		days = append(days, row)
		for range r.IntN(3) {
			s := session(row.Date, amount(), amount(), r.ExpFloat64(), load.SpikeClass(r.IntN(5)))
			sessions = append(sessions, s)
		}
	}
	return days, sessions
}

func inventedCourse(r *rand.Rand) []load.ProfilePoint {
	n := 1 + r.IntN(300)
	each := time.Duration(1 + r.Int64N(int64(10*time.Minute)))
	points := make([]load.ProfilePoint, n)
	for i := range points {
		points[i] = load.ProfilePoint{
			Elapsed: time.Duration(i)*each + (each+1)/2,
			Speed:   load.Speed(r.Float64() * 40), Heart: load.BPM(r.IntN(256)),
			Altitude: load.Metres(r.NormFloat64() * 3000), Has: load.Fields(r.Uint32()),
		}
	}
	return points
}

func checkTideline(t *testing.T, p chart.Tideline) {
	t.Helper()
	for _, b := range p.Bars {
		checkFractions(t, "bar", b.At, b.At+b.Width, b.Height, b.Surface)
		if b.Surface > b.Height {
			t.Errorf("the surface %v is above the bar's end %v", b.Surface, b.Height)
		}
	}
	for _, s := range append(p.Water, p.Dashed...) {
		checkFractions(t, "step", s.From, s.To, s.Level)
	}
	covered := 0.0
	for _, s := range append(p.Unknown, p.Base...) {
		checkFractions(t, "span", s.From, s.To)
		covered += s.To - s.From
	}
	if math.Abs(covered-1) > 1e-9 {
		t.Errorf("base line and unknown days cover %v", covered)
	}
	if p.Worst != nil {
		checkFractions(t, "callout", p.Worst.At, p.Worst.Height)
	}
	checkAxes(t, p.Rules, p.Ticks)
	for _, path := range []string{p.UnderPath(), p.OverPath(), p.WaterArea(), p.WaterLine(), p.DashedLine(), p.BaseLine()} {
		checkPath(t, path)
	}
}

func checkProfile(t *testing.T, p chart.Profile) {
	t.Helper()
	for _, line := range p.Line {
		if len(line) < 2 {
			t.Errorf("a line of %d points", len(line))
		}
		for _, at := range line {
			checkFractions(t, "point", at.X, at.Y)
		}
	}
	if p.Line != nil {
		checkAxes(t, p.Rules, p.Ticks)
	}
	checkPath(t, p.Path())
}

func checkAxes(t *testing.T, rules []chart.Rule, ticks []chart.Tick) {
	t.Helper()
	if len(rules) < 2 || len(rules) > 4 {
		t.Errorf("%d rules", len(rules))
	}
	for _, r := range rules {
		checkFractions(t, "rule", r.At)
		if _, err := strconv.ParseFloat(r.Label, 64); err != nil {
			t.Errorf("rule %q", r.Label)
		}
	}
	for _, tick := range ticks {
		checkFractions(t, "tick", tick.At)
	}
}

func checkFractions(t *testing.T, what string, fractions ...float64) {
	t.Helper()
	for _, f := range fractions {
		if !(f >= 0 && f <= 1) {
			t.Errorf("%s at %v", what, f)
		}
	}
}

func checkPath(t *testing.T, path string) {
	t.Helper()
	if !pathData.MatchString(path) {
		t.Errorf("path %q", path)
	}
	for _, n := range numbers.FindAllString(path, -1) {
		if v, err := strconv.Atoi(n); err != nil || v > 10000 {
			t.Errorf("%s is outside the box", n)
		}
	}
}

func TestPercent(t *testing.T) {
	for _, test := range []struct {
		fraction         float64
		percent, fromTop string
	}{
		{0, "0%", "100%"},
		{0.372, "37.2%", "62.8%"},
		{0.37249, "37.2%", "62.8%"},
		{0.5, "50%", "50%"},
		{1, "100%", "0%"},
	} {
		if got := chart.Percent(test.fraction); got != test.percent {
			t.Errorf("%v is %s, want %s", test.fraction, got, test.percent)
		}
		if got := chart.PercentDown(test.fraction); got != test.fromTop {
			t.Errorf("%v counted from the top is %s, want %s", test.fraction, got, test.fromTop)
		}
	}
}
