package chart_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
	"tidemark/web/chart"
)

func ticks(first load.Day, days int) []chart.Tick {
	return chart.NewTideline(load.Distance, nil, nil, first, first+load.Day(days-1)).Ticks
}

// In columns: "16 Feb@7" is the label at the left edge of the eighth, "(23 Feb)@14" a
// minor one, "-@77" a tick without a label. A label of 46 pixels needs
// 46 / (950/84) = 4.1 columns of 84 before the right end on a desk, and
// 46 / 5.8 = 7.9 on a phone, where two Mondays are 40.6 pixels apart.
func TestDayTicks(t *testing.T) {
	for _, test := range []struct {
		name  string
		first load.Day
		days  int
		want  string
	}{
		{"12 weeks from a Monday", monday, 84, "9 Feb@0 (16 Feb)@7 23 Feb@14 (2 Mar)@21 9 Mar@28 (16 Mar)@35 " +
			"23 Mar@42 (30 Mar)@49 6 Apr@56 (13 Apr)@63 20 Apr@70 (27 Apr)@77"},
		// From a Tuesday the first Monday is column 6 and the last, 83, has no room.
		{"12 weeks to a Monday", monday + 1, 84, "16 Feb@6 (23 Feb)@13 2 Mar@20 (9 Mar)@27 16 Mar@34 (23 Mar)@41 " +
			"30 Mar@48 (6 Apr)@55 13 Apr@62 (20 Apr)@69 27 Apr@76 -@83"},
		// Columns of 22.6 pixels: 46 need 2.03, and the last Monday is 7 from the end.
		{"six weeks", monday, 42, "9 Feb@0 (16 Feb)@7 23 Feb@14 (2 Mar)@21 9 Mar@28 (16 Mar)@35"},
		{"a week from a Wednesday", monday + 2, 7, "16 Feb@5"},
		{"a week from a Monday", monday, 7, "9 Feb@0"},
		{"no Monday", monday + 1, 3, "10 Feb@0"},
		{"one day", monday + 1, 1, "10 Feb@0"},
		// 9 February + 182 days ends on 9 August. Columns of 5.22 pixels: 46 need
		// 8.8, and 1 August (173) has 9 left; on a phone 9 x 5.8 = 52.2.
		{"half a year", monday, 182, "Mar@20 Apr@51 May@81 Jun@112 Jul@142 Aug@173"},
		// From 5 May 2025; ends on 3 May 2026. 1 May 2026 (361) has 3 columns left.
		{"a year", load.Date(2025, time.May, 5), 364, "Jun@27 Jul@57 Aug@88 Sep@119 Oct@149 Nov@180 Dec@210 " +
			"Jan 2026@241 Feb@272 Mar@300 Apr@331 -@361"},
	} {
		t.Run(test.name, func(t *testing.T) {
			var got []string
			for _, tick := range ticks(test.first, test.days) {
				label := tick.Label
				switch {
				case label == "":
					label = "-"
				case tick.Minor:
					label = "(" + label + ")"
				}
				got = append(got, fmt.Sprintf("%s@%.4g", label, tick.At*float64(test.days)))
			}
			if diff := cmp.Diff(test.want, strings.Join(got, " ")); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// Whatever day a picture begins on, no label of 46 pixels touches the next or the
// right edge: on a desk of 950 pixels, and without the minor ones on a phone of 5.8
// pixels a day. There is always one that can be read, and on a phone of a week or
// less it alone may need more than the picture has.
func TestTicksNeverCollide(t *testing.T) {
	for _, days := range []int{1, 7, 14, 30, 42, 60, 84, 100, 101, 182, 364, 400} {
		for start := range load.Day(366) {
			all := ticks(monday+start, days)
			labelled := collisions(t, all, 950, 46, false)
			narrow := collisions(t, all, math.Max(46*2, 5.8*float64(days)), 46, true)
			if labelled == 0 || narrow == 0 {
				t.Errorf("%d days from %v: %d labels, %d on a phone", days, monday+start, labelled, narrow)
			}
			if t.Failed() {
				t.Fatalf("%d days from %v", days, monday+start)
			}
		}
	}
}

// collisions reports overlapping labels and returns how many there are.
func collisions(t *testing.T, ticks []chart.Tick, width, label float64, narrow bool) (n int) {
	t.Helper()
	end, last := 0.0, ""
	for _, tick := range ticks {
		if tick.Label == "" || narrow && tick.Minor {
			continue
		}
		n++
		x := tick.At * width
		if x < end {
			t.Errorf("%s at %.1f runs into %s, which ends at %.1f", tick.Label, x, last, end)
		}
		if end, last = x+label, tick.Label; end > width && n > 1 {
			t.Errorf("%s ends at %.1f of %.0f", last, end, width)
		}
	}
	return n
}
