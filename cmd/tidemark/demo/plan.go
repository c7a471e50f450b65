package demo

import (
	"time"

	"tidemark/load"
)

// span is how far back the club's watches go: 17 weeks.
const span = 17 * 7

// outing is one line of a training diary.
type outing struct {
	day  int     // of its week, 1 to 7; the long run's day is 7
	km   float64 // as the watch will say it
	kind kind
	as   form
	at   string  // local start, HH:MM; empty: as usual on that weekday
	rpe  float64 // session RPE, 0: not given
	race bool
	note string
}

// kind is what was done.
type kind uint8

const (
	easy    kind = iota
	long         // slower, on the long loop
	brisk        // faster in the middle
	walkRun      // minutes of running and walking in turn
	halting      // with stops at which the watch pauses by itself
	belt         // on a treadmill, under a roof
	ride         // on a bicycle
	stroll       // walked
	rest         // a day off, said so
)

// form is how an outing reached the computer.
type form uint8

const (
	watchFIT      form = iota
	watchTCX           // from an older watch
	watchGPX           // from the watch, by way of another program
	bareGPX            // the same, but nothing says which sport it was
	phoneGPX           // from a phone: positions alone
	watchAndPhone      // FIT and GPX of the same run
	cutFIT             // the copy broke off at 70 %
	gzFIT              // compressed
	zippedFIT          // in an archive with others
	typed              // written by hand
)

// week is seven days of a diary. Week 0 ends on a day that the member's plan
// chooses, week -1 seven days earlier.
type week struct {
	number int
	lines  []outing
}

// dated is an outing on its day.
type dated struct {
	outing
	date load.Day
}

// calendar puts weeks on days, week 0 ending on end.
func calendar(weeks []week, end load.Day) []dated {
	var plan []dated
	for _, w := range weeks {
		for _, o := range w.lines {
			plan = append(plan, dated{o, end + load.Day(7*w.number+o.day-7)})
		}
	}
	return plan
}

// within drops what lies outside the span before today.
func within(plan []dated, today load.Day) []dated {
	var kept []dated
	for _, d := range plan {
		if d.date >= today-span && d.date < today {
			kept = append(kept, d)
		}
	}
	return kept
}

// lastSunday returns the latest Sunday before today.
func lastSunday(today load.Day) load.Day {
	yesterday := today - 1
	return yesterday - load.Day(yesterday.Weekday())
}

// leapDay returns the day of the run that is far too long, so few days before
// today that nobody knows yet how the tendon took it: a Sunday 2 to 5 days before
// if there is one, else a Saturday, else four days before.
func leapDay(today load.Day) load.Day {
	for _, want := range []time.Weekday{time.Sunday, time.Saturday} {
		for back := load.Day(2); back <= 5; back++ {
			if (today - back).Weekday() == want {
				return today - back
			}
		}
	}
	return today - 4
}

// longRunDay returns the first day from leap on that suits a long run: leap
// itself at a weekend, else the next Sunday.
func longRunDay(leap load.Day) load.Day {
	if w := leap.Weekday(); w == time.Saturday || w == time.Sunday {
		return leap
	}
	return leap + load.Day(7-leap.Weekday())
}
