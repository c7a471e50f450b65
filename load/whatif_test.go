package load_test

import (
	"slices"
	"testing"
	"time"

	"tidemark/load"
)

func TestImagine(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, evenWeeks...), Today: monday + load.Day(len(evenWeeks)) - 1}
	tests := []struct {
		name   string
		ahead  load.Day
		km     float64
		over   []string
		class  load.SpikeClass
		acute  float64 // with the run in it
		change float64
	}{
		// The next Monday: 24 km in the six days before, 14 + 24 in the seven before that.
		{"tomorrow, as long as the longest", 1, 14, nil, load.NoSpike, 38, 0},
		{"tomorrow, over the session and the day", 1, 16, []string{load.LimitSession, load.LimitDay}, load.SmallSpike, 40, 2},
		{"tomorrow, over everything", 1, 30, []string{load.LimitSession, load.LimitDay, load.LimitWeek}, load.LargeSpike, 54, 16},
		// Thursday: 16 km since Friday; 38 in the seven days up to the Thursday before.
		{"in four days", 4, 14, nil, load.NoSpike, 14 + 16, 14 + 16 - 38},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := load.Imagine(in, load.Distance, in.Today+tt.ahead, load.Distance.Of(tt.km), nil)
			if !slices.Equal(w.Over, tt.over) {
				t.Errorf("over %v, want %v", w.Over, tt.over)
			}
			if w.Session.Class != tt.class || w.Row.Acute != tt.acute || number(t, "change", w.Row.WeekChange) != tt.change {
				t.Errorf("%s, %v km in seven days, change %+v; want %s, %v, %v", w.Session.Class, w.Row.Acute, w.Row.WeekChange, tt.class, tt.acute, tt.change)
			}
		})
	}
	if n := len(in.Sessions); n != 48 {
		t.Errorf("the input now has %d sessions, want 48: a question changes nothing", n)
	}
}

// A second run of the day counts against the day and the week, not as one with
// the first.
func TestImagineASecondRun(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, append(slices.Clone(evenWeeks), 10)...), Today: monday + load.Day(len(evenWeeks))}
	w := load.Imagine(in, load.Distance, in.Today, load.Distance.Of(6), nil)
	if !slices.Equal(w.Over, []string{load.LimitDay}) { // 16 km of 15.4
		t.Errorf("over %v, want the day", w.Over)
	}
	if w.Session.ID != "imagined" || w.Session.Class != load.NoSpike {
		t.Errorf("session %+v, want one of its own without a spike", w.Session)
	}
}

// Wherever the runner is, the imagined run is one of its own on its day.
func TestImagineAnywhere(t *testing.T) {
	at := func(day load.Day, instant load.Instant, hours int, offset time.Duration) load.Session {
		s := run(day, 10)
		s.Start, s.End, s.Zone.Offset = instant, instant.Add(time.Duration(hours)*time.Hour), offset
		return s
	}
	noon := load.InstantOf(monday.Noon())
	tests := []struct {
		name string
		s    load.Session
		on   load.Day
	}{
		{"Auckland, 00:45 of the next day", at(monday+1, noon.Add(-15*time.Minute), 1, 13*time.Hour), monday},
		{"Honolulu, 23:30 of the day before", at(monday-1, noon.Add(-150*time.Minute), 2, -10*time.Hour), monday},
		{"a day and a night", at(monday, noon.Add(-10*time.Hour), 24, 0), monday},
		{"before the first run", at(monday+5, noon.Add(120*time.Hour), 1, 0), monday},
		{"far ahead", at(monday, noon, 1, 0), monday + 900},
	}
	for _, tt := range tests {
		in := &load.Input{Sessions: []load.Session{tt.s}, Today: monday}
		w := load.Imagine(in, load.Distance, tt.on, load.Distance.Of(5), nil)
		if w.Session.ID != "imagined" || w.Row.Date != tt.on || w.Row.Load < 5 {
			t.Errorf("%s: session %+v, %v km on %v", tt.name, w.Session, w.Row.Load, w.Row.Date)
		}
	}
}
