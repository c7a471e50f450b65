package chart

import (
	"fmt"
	"time"

	"tidemark/load"
)

// The pictures that labels must fit into, in pixels; project defaults. A phone
// shows 60 days in 348 of its 390 pixels.
const (
	deskWidth  = 950.0
	phoneWidth = 348.0
	phoneDay   = 5.8
	labelWidth = 46.0
	labelGap   = 4.0
)

// weeklyDays is the longest span with a tick a week; beyond it has one a month.
// Project default.
const weeklyDays = 100

// dayTicks returns the ticks of a span of days. A span too short to hold a Monday
// has one at its start.
func dayTicks(first load.Day, days int) []Tick {
	var ticks []Tick
	for i := range days {
		if label, ok := dayLabel(first+load.Day(i), days > weeklyDays); ok {
			ticks = append(ticks, Tick{At: float64(i) / float64(days), Label: label})
		}
	}
	if len(ticks) == 0 {
		ticks = []Tick{{Label: first.Noon().Format("2 Jan")}}
	}
	place(ticks, deskWidth, phoneDay*float64(days))
	return ticks
}

// dayLabel returns the label of a day that has a tick. January says its year.
func dayLabel(day load.Day, monthly bool) (label string, ok bool) {
	noon := day.Noon()
	switch {
	case !monthly:
		return noon.Format("2 Jan"), noon.Weekday() == time.Monday
	case noon.Month() == time.January:
		return noon.Format("Jan 2006"), noon.Day() == 1
	}
	return noon.Format("Jan"), noon.Day() == 1
}

// place takes the labels away that would not fit into a picture wide pixels wide,
// and marks those that would not fit into a narrow one. The first that fits stays
// in both: a picture without a single label cannot be read.
func place(ticks []Tick, wide, narrow float64) {
	const apart = labelWidth + labelGap
	lastWide, lastNarrow, kept := -apart, -apart, false
	for i := range ticks {
		t := &ticks[i]
		if x := t.At * wide; x-lastWide < apart || wide-x < labelWidth {
			t.Label, t.Minor = "", true
			continue
		}
		lastWide = t.At * wide
		x := t.At * narrow
		if t.Minor = kept && (x-lastNarrow < apart || narrow-x < labelWidth); !t.Minor {
			lastNarrow, kept = x, true
		}
	}
}

// elapsedSteps are the distances between ticks of elapsed time; longer runs have
// multiples of the last. Project default.
var elapsedSteps = []time.Duration{
	10 * time.Second, 30 * time.Second, time.Minute, 2 * time.Minute, 5 * time.Minute,
	10 * time.Minute, 15 * time.Minute, 20 * time.Minute, 30 * time.Minute,
	time.Hour, 2 * time.Hour, 3 * time.Hour, 6 * time.Hour, 12 * time.Hour, 24 * time.Hour,
}

// mostElapsed is how many steps of elapsed time a picture has at most, so that
// every label fits on a phone.
const mostElapsed = 6

// elapsedTicks returns the ticks of a run that took total, which is above zero.
func elapsedTicks(total time.Duration) []Tick {
	step := elapsedSteps[len(elapsedSteps)-1]
	step *= (total + mostElapsed*step - 1) / (mostElapsed * step)
	for _, s := range elapsedSteps {
		if total <= mostElapsed*s {
			step = s
			break
		}
	}
	var ticks []Tick
	for at := time.Duration(0); at <= total; at += step {
		ticks = append(ticks, Tick{At: float64(at) / float64(total), Label: elapsedLabel(at, step)})
	}
	place(ticks, deskWidth, phoneWidth)
	return ticks
}

// elapsedLabel writes elapsed time in the unit that suits the steps of an axis:
// seconds, minutes, or hours and minutes.
func elapsedLabel(at, step time.Duration) string {
	switch {
	case step < time.Minute:
		return fmt.Sprintf("%d s", at/time.Second)
	case step <= 20*time.Minute:
		return fmt.Sprintf("%d min", at/time.Minute)
	}
	return fmt.Sprintf("%d:%02d h", at/time.Hour, at%time.Hour/time.Minute)
}
