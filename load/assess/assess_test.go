package assess_test

import (
	"fmt"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
)

var monday = load.Date(2026, time.March, 2)

// season is twelve weeks of 14, 8, 8 and 8 km at 6 min a km, then one run of
// 18 km: 29 % over the longest of the 30 days before, and over the limit of 15.4.
func season() *load.Input {
	in := &load.Input{Today: monday + 84}
	for i := range 85 {
		km := []float64{14, 0, 8, 0, 8, 0, 8}[i%7]
		if i == 84 {
			km = 18
		}
		if km == 0 {
			continue
		}
		day := monday + load.Day(i)
		s := load.Session{ID: day.String(), Day: day, Start: load.InstantOf(day.Noon()), Sport: load.Running}
		s.End = s.Start.Add(time.Duration(6*km) * time.Minute)
		s.Measures.Set(load.Distance, load.Distance.Of(km))
		s.Measures.Set(load.Time, load.Time.Of(6*km))
		in.Sessions = append(in.Sessions, s)
	}
	return in
}

func TestAssess(t *testing.T) {
	in := season()
	tests := []struct {
		measure  load.Measure
		acute    float64 // 18 + 3 x 8 km, at 6 min
		headroom bool
	}{
		{load.Distance, 42, true},
		{load.Time, 252, true},
		{load.Exertion, 0, false},
		{load.Steps, 0, false},
	}
	for _, tt := range tests {
		t.Run(tt.measure.String(), func(t *testing.T) {
			p := assess.Assess(in, nil, assess.Query{Measure: tt.measure, From: in.Today - 6, To: in.Today}, nil)
			if len(p.Days) != 7 || len(p.Sessions) != 4 || p.Days[6].Acute != tt.acute {
				t.Errorf("%d days, %d sessions, %v; want 7, 4, %v", len(p.Days), len(p.Sessions), p.Days[6].Acute, tt.acute)
			}
			if (p.Headroom != nil) != tt.headroom {
				t.Errorf("headroom %+v, want one: %v", p.Headroom, tt.headroom)
			}
			// Findings are about distance whatever is looked at.
			if len(p.Findings) != 1 || p.Findings[0].Rule != load.RuleSessionSpike {
				t.Errorf("findings %+v, want one session-spike", p.Findings)
			}
		})
	}
}

func TestAssessCountsTheDaysOwnRuns(t *testing.T) {
	in := season()
	p := assess.Assess(in, nil, assess.Query{Measure: load.Distance, From: in.Today, To: in.Today}, nil)
	if p.Headroom.Amount != 0 || p.Headroom.Decides != load.LimitDay {
		t.Errorf("%d by %s after 18 km of 15.4 today, want nothing by the day", p.Headroom.Amount, p.Headroom.Decides)
	}
}

// A diary of minutes alone is watched in minutes: 30 min every other day, then
// 150 min: the week of 600 stands over 1.3 x 120 and over it by 30.
func TestMinutesAreWatchedToo(t *testing.T) {
	in := &load.Input{Today: monday + 57}
	for i := 0; i < 58; i += 2 {
		s := load.Session{ID: fmt.Sprint(i), Day: monday + load.Day(i), Sport: load.Running, NoStart: true, Typed: true}
		s.Start = load.InstantOf(s.Day.Noon())
		minutes := 30.0
		if i >= 50 {
			minutes = 150
		}
		s.Measures.Set(load.Time, load.Time.Of(minutes))
		in.Sessions = append(in.Sessions, s)
	}
	p := assess.Assess(in, nil, assess.Query{Measure: load.Distance, From: in.Today, To: in.Today}, nil)
	if len(p.Findings) != 1 || p.Findings[0].Rule != load.RuleWeekJump || p.Findings[0].Unit != "min" {
		t.Errorf("findings %+v, want a week-jump in minutes", p.Findings)
	}
}

// One run more is typed with its minutes alone than has a distance: the minutes
// are watched, unless two of those are excluded.
func TestExcludedDoesNotChooseTheMeasure(t *testing.T) {
	for _, excluded := range []bool{false, true} {
		in := season()
		long := in.Sessions[len(in.Sessions)-1].ID // 18 km, 29 % over
		n := len(in.Sessions)
		for i := range n + 1 {
			s := load.Session{ID: fmt.Sprint(i), Day: monday + load.Day(i%80), Sport: load.Running, NoStart: true, Typed: true}
			s.Start, s.Excluded = load.InstantOf(s.Day.Noon()), excluded && i < 2
			s.Measures.Set(load.Time, load.Time.Of(1))
			in.Sessions = append(in.Sessions, s)
		}
		p := assess.Assess(in, nil, assess.Query{Measure: load.Distance, From: in.Today, To: in.Today}, nil)
		spike := len(p.Findings) > 0 && p.Findings[len(p.Findings)-1].Subject == long
		if spike != excluded { // spikes are found in distances alone
			t.Errorf("excluded %v: findings %+v", excluded, p.Findings)
		}
	}
}

func TestAssessNothing(t *testing.T) {
	p := assess.Assess(&load.Input{Today: monday}, nil, assess.Query{Measure: load.Distance, From: monday - 83, To: monday}, nil)
	if !p.Empty || len(p.Days) != 0 || len(p.Findings) != 0 || p.Headroom.State != load.Provisional {
		t.Errorf("%+v, want nothing but a provisional headroom", p)
	}
}

func TestOtherLimitsAreJoined(t *testing.T) {
	in := season()
	in.Sessions, in.Today = in.Sessions[:48], monday+83
	hold := []load.Limit{{Rule: "hold", Why: "held by the clinician"}}
	p := assess.Assess(in, nil, assess.Query{Measure: load.Distance, From: in.Today, To: in.Today}, hold)
	if p.Headroom.Decides != "hold" || p.Headroom.Amount != 0 {
		t.Errorf("%d by %s, want nothing by hold", p.Headroom.Amount, p.Headroom.Decides)
	}
}

func ExampleAssess() {
	in := season()
	in.Today++ // the day after
	p := assess.Assess(in, nil, assess.Query{Measure: load.Distance, From: in.Today, To: in.Today}, nil)
	fmt.Printf("%.1f km by the %s limit\n", load.Distance.In(p.Headroom.Amount), p.Headroom.Decides)
	fmt.Println(p.Findings[0].Evidence[0].Text)
	// Output:
	// 7.4 km by the week limit
	// 18.0 km is 29 % over the longest run of the 30 days before (14.0 km)
}
