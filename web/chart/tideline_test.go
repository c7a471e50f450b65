package chart_test

import (
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"tidemark/load"
	"tidemark/web/chart"
)

// monday is the first day of these pictures: 9 February 2026, a Monday.
var monday = load.Date(2026, time.February, 9)

// near is what float64 divisions may differ by.
var near = cmpopts.EquateApprox(0, 1e-12)

// day is one row of a picture in km, held being both tidemarks unless plain is
// given; zero is none.
type day struct {
	load, held, plain float64
	unknown           bool
}

// rows lays days out from first on.
func rows(first load.Day, days ...day) []load.DayRow {
	var out []load.DayRow
	for i, d := range days {
		row := load.DayRow{
			Date: first + load.Day(i), State: load.Recorded, Load: d.load,
			HeldTidemark: mark(d.held), Tidemark: mark(max(d.held, d.plain)),
		}
		if d.unknown {
			row.State = load.Unknown
		}
		out = append(out, row)
	}
	return out
}

func mark(v float64) load.Value {
	if v == 0 {
		return load.Undefined(load.ReasonNoTidemark)
	}
	return load.Known(v)
}

// session is a row of km against a tidemark that is held; spike is a share, and
// zero for a session without a tidemark.
func session(day load.Day, km, held, spike float64, class load.SpikeClass) load.SessionRow {
	row := load.SessionRow{
		Day: day, Load: load.Distance.Of(km), HeldTidemark: mark(held), Tidemark: mark(held),
		Spike: load.Undefined(load.ReasonNoTidemark), Class: class,
	}
	if held > 0 {
		row.Spike = load.Known(spike)
	}
	return row
}

// tenDays draws ten days of distance from monday on. With 20 km as the highest
// value the top is 1.15 x 20 = 23 km, so that 2.3 km are a tenth of the height and
// each column is a tenth of the width.
func tenDays(days []load.DayRow, sessions ...load.SessionRow) chart.Tideline {
	return chart.NewTideline(load.Distance, days, sessions, monday, monday+9)
}

// The bars of ten days, of which the fourth is looked at: column 0.3 to 0.4, the bar
// 0.62 of it with 0.19 to each side: 0.319 to 0.381. Another day holds 20 km, so
// that the top is 23.
func TestBars(t *testing.T) {
	on := monday + 3
	for _, test := range []struct {
		name            string
		load, held      float64
		sessions        []load.SessionRow
		height, surface float64
		over, spike     bool
		under, ink      string
	}{
		{
			// 9.2/23 = 0.4.
			name: "under the water", load: 9.2, held: 11.5,
			sessions: []load.SessionRow{session(on, 9.2, 11.5, -0.2, load.NoSpike)},
			height:   0.4, surface: 0.4, under: "M3190 10000V6000H3810V10000Z",
		},
		{
			// 18.4/23 = 0.8 and 17.25/23 = 0.75; no spike up to 10 % (6.7 %).
			name: "over, no spike", load: 18.4, held: 17.25,
			sessions: []load.SessionRow{session(on, 18.4, 17.25, 0.0667, load.NoSpike)},
			height:   0.8, surface: 0.75, over: true,
			under: "M3190 10000V2500H3810V10000Z", ink: "M3190 2500V2000H3810V2500Z",
		},
		{
			// 11.5/23 = 0.5; the notch is 150 deep in the middle of the bar.
			name: "a spike", load: 18.4, held: 11.5,
			sessions: []load.SessionRow{session(on, 18.4, 11.5, 0.6, load.ModerateSpike)},
			height:   0.8, surface: 0.5, over: true, spike: true,
			under: "M3190 10000V5000H3810V10000Z", ink: "M3190 5000V2000L3500 2150L3810 2000V5000Z",
		},
		{
			// (18.4 - 0.23)/23 = 0.79: the part over is 100 high, and so is its notch.
			name: "a notch no deeper than what is over", load: 18.4, held: 18.17,
			sessions: []load.SessionRow{session(on, 18.4, 18.17, 0.2, load.SmallSpike)},
			height:   0.8, surface: 0.79, over: true, spike: true,
			under: "M3190 10000V2100H3810V10000Z", ink: "M3190 2100V2000L3500 2100L3810 2000V2100Z",
		},
		{
			name: "twice under the water", load: 18.4, held: 11.5,
			sessions: []load.SessionRow{
				session(on, 9.2, 11.5, -0.2, load.NoSpike), session(on, 9.2, 11.5, -0.2, load.NoSpike),
			},
			height: 0.8, surface: 0.8, under: "M3190 10000V2000H3810V10000Z",
		},
		{
			// 13.8 - 11.5 = 2.3 km over: a tenth of the height, from the top down.
			name: "one of two over", load: 18.4, held: 11.5,
			sessions: []load.SessionRow{
				session(on, 4.6, 11.5, -0.6, load.NoSpike), session(on, 13.8, 11.5, 0.2, load.SmallSpike),
			},
			height: 0.8, surface: 0.7, over: true, spike: true,
			under: "M3190 10000V3000H3810V10000Z", ink: "M3190 3000V2000L3500 2150L3810 2000V3000Z",
		},
		{
			// A session of 18.4 km of which 6.9 were run after midnight: 6.9 km over
			// would reach down to 4.6, and the water stands at 9.2.
			name: "past midnight", load: 11.5, held: 9.2,
			sessions: []load.SessionRow{session(on, 18.4, 9.2, 1, load.ModerateSpike)},
			height:   0.5, surface: 0.4, over: true, spike: true,
			under: "M3190 10000V6000H3810V10000Z", ink: "M3190 6000V5000L3500 5150L3810 5000V6000Z",
		},
		{
			// The tidemark of the 30 x 24 h left out a run that the day still holds.
			name: "a spike under the water", load: 9.2, held: 11.5,
			sessions: []load.SessionRow{session(on, 9.2, 11.5, 0.15, load.SmallSpike)},
			height:   0.4, surface: 0.4, spike: true, under: "M3190 10000V6000L3500 6150L3810 6000V10000Z",
		},
		{
			name: "without a tidemark", load: 9.2,
			sessions: []load.SessionRow{session(on, 9.2, 0, 0, load.Unclassed)},
			height:   0.4, surface: 0.4, under: "M3190 10000V6000H3810V10000Z",
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			days := rows(monday, day{load: 20}, day{}, day{}, day{load: test.load, held: test.held})
			got := tenDays(days, test.sessions...)
			want := chart.Bar{
				Day: on, At: 0.319, Width: 0.062, Height: test.height, Surface: test.surface,
				Over: test.over, Spike: test.spike,
			}
			if len(got.Bars) != 2 {
				t.Fatalf("%d bars, want 2", len(got.Bars))
			}
			if diff := cmp.Diff(want, got.Bars[1], near); diff != "" {
				t.Error(diff)
			}
			got.Bars = got.Bars[1:]
			if got.UnderPath() != test.under || got.OverPath() != test.ink {
				t.Errorf("under %s, over %s", got.UnderPath(), got.OverPath())
			}
		})
	}
}

// 0.4, nothing, then 0.5: 9.2 and 11.5 of 23 km. The plain tidemark differs by
// 0.1 km (0.4 % of the top, not seen), then stands at 0.8 and at 0.6; where nothing
// is held it differs whatever it is.
func TestWater(t *testing.T) {
	got := tenDays(rows(monday,
		day{held: 9.2}, day{held: 9.2}, day{held: 9.2, plain: 9.3}, day{held: 9.2, plain: 18.4},
		day{plain: 18.4}, day{plain: 18.4},
		day{held: 11.5, plain: 13.8}, day{held: 11.5}, day{held: 11.5}, day{load: 20, held: 11.5},
	))
	if diff := cmp.Diff([]chart.Step{{0, 0.4, 0.4}, {0.6, 1, 0.5}}, got.Water, near); diff != "" {
		t.Error("water:", diff)
	}
	if diff := cmp.Diff([]chart.Step{{0.3, 0.6, 0.8}, {0.6, 0.7, 0.6}}, got.Dashed, near); diff != "" {
		t.Error("dashed:", diff)
	}
	wantPath(t, "area", got.WaterArea(), "M0 10000V6000H4000V10000ZM6000 10000V5000H10000V10000Z")
	wantPath(t, "line", got.WaterLine(), "M0 6000H4000M6000 5000H10000")
	wantPath(t, "dashed", got.DashedLine(), "M3000 6000V2000H6000V4000H7000V5000")
}

// The water steps from 0.4 to 0.5 without a gap, just where a dashed line drops back
// to 0.4; one over nothing but the bottom goes down to it on both sides.
func TestWaterSteps(t *testing.T) {
	got := tenDays(rows(monday,
		day{held: 9.2}, day{held: 9.2, plain: 18.4}, day{held: 11.5}, day{held: 11.5}, day{}, day{plain: 4.6}, day{}, day{load: 20},
	))
	wantPath(t, "area", got.WaterArea(), "M0 10000V6000H2000V5000H4000V10000Z")
	wantPath(t, "line", got.WaterLine(), "M0 6000H2000V5000H4000")
	wantPath(t, "dashed", got.DashedLine(), "M1000 6000V2000H2000V6000M5000 10000V8000H6000V10000")
}

func wantPath(t *testing.T, what, got, want string) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %s, want %s", what, got, want)
	}
}

// The third, fourth and last of ten days are unknown, and one of them holds a run
// without the measure's amount beside one with it.
func TestUnknownDays(t *testing.T) {
	days := make([]day, 10)
	days[2] = day{unknown: true}
	days[3] = day{unknown: true, load: 20}
	days[9] = day{unknown: true}
	got := tenDays(rows(monday, days...))
	if diff := cmp.Diff([]chart.Span{{0.2, 0.4}, {0.9, 1}}, got.Unknown, near); diff != "" {
		t.Error("unknown:", diff)
	}
	if diff := cmp.Diff([]chart.Span{{0, 0.2}, {0.4, 0.9}}, got.Base, near); diff != "" {
		t.Error("base:", diff)
	}
	wantPath(t, "base", got.BaseLine(), "M0 10000H2000M4000 10000H9000")
	if len(got.Bars) != 1 {
		t.Errorf("%d bars, want that of the fourth day", len(got.Bars))
	}
}

// The callout stands over the middle of its column: (i + 0.5)/10. On a phone of 348
// pixels its text of about 130 takes 0.37 of the width, half of it 0.19.
func TestWorst(t *testing.T) {
	for at, anchor := range []string{"start", "start", "middle", "middle", "middle", "middle", "middle", "middle", "end", "end"} {
		days := make([]day, 10)
		days[at] = day{load: 20, held: 12.35}
		on := monday + load.Day(at)
		got := tenDays(rows(monday, days...),
			session(monday-1, 30, 10, 2, load.LargeSpike), // before the picture
			session(on, 20, 12.35, 0.6194, load.ModerateSpike),
			session(monday+10, 30, 10, 2, load.LargeSpike), // after it
		)
		want := &chart.Callout{
			Day: on, At: float64(at)/10 + 0.05, Height: 20.0 / 23, Text: "20.0 km, 62 % over", Anchor: anchor,
		}
		if diff := cmp.Diff(want, got.Worst, near); diff != "" {
			t.Error(diff)
		}
	}
}

// The largest spike wins, not the longest session; of equals the earlier; a class
// of none has no callout, and neither has a session without a tidemark.
func TestWhichIsWorst(t *testing.T) {
	small := session(monday+1, 20, 16, 0.25, load.SmallSpike)
	moderate := session(monday+4, 8, 5, 0.6, load.ModerateSpike)
	again := session(monday+6, 8, 5, 0.6, load.ModerateSpike)
	none := session(monday+2, 11, 10, 0.1, load.NoSpike)
	first := session(monday, 20, 0, 0, load.Unclassed)
	early := session(monday, 12, 5, 1.4, load.LargeSpike)
	early.Provisional = true
	for _, test := range []struct {
		name     string
		sessions []load.SessionRow
		text     string
		day      load.Day
	}{
		{"largest", []load.SessionRow{first, small, none, moderate}, "8.0 km, 60 % over", monday + 4},
		{"of equals the earlier", []load.SessionRow{moderate, again}, "8.0 km, 60 % over", monday + 4},
		{"small", []load.SessionRow{small, none}, "20.0 km, 25 % over", monday + 1},
		{"none", []load.SessionRow{first, none}, "", 0},
		{"not a provisional one", []load.SessionRow{early, small}, "20.0 km, 25 % over", monday + 1},
		{"a provisional one after it", []load.SessionRow{small, early}, "20.0 km, 25 % over", monday + 1},
		{"a provisional one for want of others", []load.SessionRow{early, none}, "12.0 km, 140 % over", monday},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := tenDays(rows(monday, make([]day, 10)...), test.sessions...).Worst
			if got == nil {
				got = &chart.Callout{}
			}
			if got.Text != test.text || got.Day != test.day {
				t.Errorf("%q on %v, want %q on %v", got.Text, got.Day, test.text, test.day)
			}
		})
	}
}

// Nothing is known of anybody: a scale of a usual run, 10 km. 1.15 x 10 = 11.5 at
// the top, rules up to 0.92 of it.
func TestEmptyHistory(t *testing.T) {
	got := chart.NewTideline(load.Distance, nil, nil, monday, monday+83)
	want := chart.Tideline{
		Days: 84, First: monday, Unit: "km", Top: 11.5, Ticks: got.Ticks, Base: []chart.Span{{0, 1}},
		Rules: []chart.Rule{{2.5 / 11.5, "2.5"}, {5 / 11.5, "5"}, {7.5 / 11.5, "7.5"}, {10 / 11.5, "10"}},
	}
	if diff := cmp.Diff(want, got, near); diff != "" {
		t.Error(diff)
	}
	for _, p := range []string{got.UnderPath(), got.OverPath(), got.WaterArea(), got.WaterLine(), got.DashedLine()} {
		wantPath(t, "of nothing", p, "")
	}
	wantPath(t, "base", got.BaseLine(), "M0 10000H10000")
}

// A runner's first run, 4 km on the sixth of seven days, with history from there on:
// one bar of 4/4.6, no water, no callout. Its column begins at 5/7.
func TestOneRun(t *testing.T) {
	got := chart.NewTideline(load.Distance, rows(monday+5, day{load: 4}, day{plain: 4}),
		[]load.SessionRow{session(monday+5, 4, 0, 0, load.Unclassed)}, monday, monday+6)
	want := []chart.Bar{{
		Day: monday + 5, At: 5.19 / 7, Width: 0.62 / 7, Height: 4 / 4.6, Surface: 4 / 4.6,
	}}
	if diff := cmp.Diff(want, got.Bars, near); diff != "" {
		t.Error(diff)
	}
	if got.Worst != nil || got.Water != nil {
		t.Errorf("worst %v, water %v", got.Worst, got.Water)
	}
	// The run is not held yet, so the plain tidemark alone stands on the day after.
	if diff := cmp.Diff([]chart.Step{{6.0 / 7, 1, 4 / 4.6}}, got.Dashed, near); diff != "" {
		t.Error(diff)
	}
}

// Rows outside the span are left out, so that one series serves two pictures.
func TestSpanOfALongerSeries(t *testing.T) {
	days := rows(monday-2, day{load: 50}, day{load: 50}, day{load: 20}, day{load: 50})
	got := chart.NewTideline(load.Distance, days, nil, monday, monday)
	if len(got.Bars) != 1 || math.Abs(got.Top-23) > 1e-9 {
		t.Errorf("%d bars under %v, want 1 under 23", len(got.Bars), got.Top)
	}
}

func TestImpossibleSpans(t *testing.T) {
	for name, last := range map[string]load.Day{"none": monday - 1, "401 days": monday + 400} {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if recover() == nil {
					t.Error("no panic")
				}
			}()
			chart.NewTideline(load.Distance, nil, nil, monday, last)
		})
	}
	if got := chart.NewTideline(load.Distance, nil, nil, monday, monday+399).Days; got != 400 {
		t.Errorf("%d days, want 400", got)
	}
}

// The third of ten columns is 0.2 to 0.3.
func TestMiddle(t *testing.T) {
	if got := tenDays(nil).Middle(monday + 2); math.Abs(got-0.25) > 1e-12 {
		t.Errorf("middle %v, want 0.25", got)
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic on a day that is not in the picture")
		}
	}()
	tenDays(nil).Middle(monday + 10)
}

// TestPlanned: what is planned stands as outlines in columns after the last day, on the same
// scale, and rest has none.
func TestPlanned(t *testing.T) {
	first := load.Date(2026, time.March, 2)
	days := []load.DayRow{{Date: first, Load: 10}, {Date: first + 1}}
	tide := chart.NewTidelineAhead(load.RunTime, days, nil, first, first+1, []float64{0, 40})
	if tide.Days != 4 || len(tide.Planned) != 1 || tide.Top < 40 {
		t.Fatalf("%d days, %+v, top %v; want 4 days with one planned under the top", tide.Days, tide.Planned, tide.Top)
	}
	// The fourth of four columns begins at three quarters; a bar of 62 % stands in its middle.
	if b := tide.Planned[0]; b.Day != first+3 || math.Abs(b.At-(0.75+0.19*0.25)) > 1e-9 || math.Abs(b.Height-40/tide.Top) > 1e-9 {
		t.Errorf("%+v", b)
	}
	if plain := chart.NewTideline(load.RunTime, days, nil, first, first+1); plain.Days != 2 || len(plain.Planned) != 0 {
		t.Errorf("%+v without a plan", plain)
	}
}
