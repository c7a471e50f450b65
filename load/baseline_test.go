package load_test

import (
	"strings"
	"testing"

	"tidemark/load"
)

// answered is a runner who answered the newcomer's questions on a day.
func answered(t *testing.T, on load.Day, answers map[string]float64) load.Schedule {
	t.Helper()
	var changes []load.Change
	for key, v := range answers {
		changes = append(changes, load.Change{Key: key, From: on, Value: v})
	}
	sched, err := load.NewSchedule(changes)
	if err != nil {
		t.Fatal(err)
	}
	return sched
}

// TestBaseline: what a newcomer said stands in for the runs that the logbook lacks, does
// not grow, and is believed for 30 days at most (project defaults).
func TestBaseline(t *testing.T) {
	answers := map[string]float64{"baseline-longest-km": 10, "baseline-week-km": 24, "baseline-runs": 3}
	tests := []struct {
		name    string
		km      []float64
		said    load.Day
		on      load.Day
		want    float64 // km
		decides string
	}{
		{"nothing run", nil, monday, monday, 10, load.LimitSession},
		{"nothing run for 29 days", nil, monday, monday + 29, 10, load.LimitSession},
		{"nothing run for 30", nil, monday, monday + 30, 2.88, load.LimitBreak},                                                  // 20 min at 2.4 m/s
		{"two runs of the first week", []float64{8, 0, 9}, monday, monday + 4, 7, load.LimitWeek},                                // 24 - 17
		{"four weeks later the runs themselves count", repeat(5, 8, 0, 8, 0, 8, 0, 0), monday, monday + 34, 7.2, load.LimitWeek}, // 1.3 x 24 - 24
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			in := &load.Input{Sessions: daily(monday, tt.km...), Today: tt.on, Settings: answered(t, tt.said, answers)}
			room := load.NewHistory(in, load.Distance).Headroom(tt.on, late(tt.on), nil)
			if got := load.Distance.In(room.Amount); !near(got, tt.want, 1e-6) || room.Decides != tt.decides {
				t.Errorf("%v km by %s, want %v by %s: %+v", got, room.Decides, tt.want, tt.decides, room.Limits)
			}
		})
	}
	in := &load.Input{Today: monday, Settings: answered(t, monday, answers)}
	room := load.NewHistory(in, load.Distance).Headroom(monday, late(monday), nil)
	if usual := number(t, "usual", room.Said); usual != 8 || room.State != load.Provisional || !strings.Contains(room.Limits[0].Why, "as you said") {
		t.Errorf("usual %v, %+v; want 24 km in 3 runs, provisional, as said", usual, room)
	}
	if room := load.NewHistory(in, load.RunTime).Headroom(monday, late(monday), nil); room.Decides != load.LimitBreak {
		t.Errorf("%+v: km that were said became minutes", room)
	}
}

// TestRaceDay: a planned race has no number but its class and who accepted it; its
// length makes no warning; three days after one that was over the limits there is no
// run, then for seven half of the longest held one (project defaults).
func TestRaceDay(t *testing.T) {
	race := load.PlannedRace{Day: monday + 42, Name: "Pier ten", Distance: load.Distance.Of(15), By: "local"}
	in := &load.Input{Sessions: daily(monday, repeat(6, 8, 0, 8, 0, 8, 0, 10)...), Races: []load.PlannedRace{race}, Today: race.Day}
	room := load.NewHistory(in, load.Distance).Headroom(race.Day, late(race.Day), nil)
	if room.State != load.RaceDay || room.Race == nil || *room.Race != race || room.RaceClass != load.ModerateSpike { // 15 of 10 km
		t.Errorf("%+v, want a race, moderately over", room)
	}
	in.Sessions = append(in.Sessions, run(race.Day, 15))
	in.Today += 12
	h := load.NewHistory(in, load.Distance)
	for _, tr := range h.Triggers() {
		if tr.Rule == load.RuleSessionSpike && tr.Day == race.Day {
			t.Errorf("found %+v of a race that was accepted", tr)
		}
	}
	if rows := h.SessionRows(race.Day, race.Day); len(rows) != 1 || !rows[0].Race {
		t.Errorf("%+v, want the longest run of the day to be the race", rows)
	}
	for after, want := range map[load.Day]float64{1: 0, 3: 0, 4: 5, 10: 5} {
		room := h.Headroom(race.Day+after, late(race.Day+after), nil)
		if got := load.Distance.In(room.Amount); got != want {
			t.Errorf("%d days after: %v km, want %v: %+v", after, got, want, room.Limits)
		}
	}
	for _, bad := range []load.PlannedRace{{Distance: -1}, {Distance: load.Distance.Of(501)}, {Name: strings.Repeat("x", 101)}, {Name: "a\nb"}, {Name: "\xff"}} {
		if bad.Check() == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
}

// TestBounds: of a week with two days of which nothing is known the sum is at least what
// is known, and at most two long runs more: the nine-tenths of nine days of 8 km and
// one of 20 are 8 (load reference 10.1). A spike over unknown days is an upper bound.
func TestBounds(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, 8, 8, 8, 0, 8, 8, 8, 8, 8, 8, 20, 0, 0, 8), Today: monday + 13}
	in.Gaps = []load.Gap{{DaySpan: load.DaySpan{First: monday + 11, Last: monday + 12}, Answer: load.GapUnknown}}
	rows := load.NewHistory(in, load.Distance).DayRows(monday, in.Today)
	last := rows[13]
	// 8, 8, 8, 20 and 8 are known of the last seven; of eleven running days ten are 8 km.
	if most := number(t, "most", last.AcuteMost); last.Acute != 52 || most != 52+16 || last.KnownDays7 != 5 {
		t.Errorf("%v km, at most %v, %d days known; want 52, 68 and 5", last.Acute, most, last.KnownDays7)
	}
	if !last.UpperBound || last.KnownDays30 != 11 || rows[10].UpperBound {
		t.Errorf("upper bound %v with %d known, %v before the gap; want only the last", last.UpperBound, last.KnownDays30, rows[10].UpperBound)
	}
	if most := number(t, "most", rows[6].AcuteMost); most != rows[6].Acute {
		t.Errorf("at most %v of a week that is known, want its sum %v", most, rows[6].Acute)
	}
}

// TestOddRunners: one run ever, none, one in 2031, forty in a day.
func TestOddRunners(t *testing.T) {
	day := load.Date(2026, 11, 25)
	forty := make([]load.Session, 0, 40)
	for i := range 40 {
		s := run(day, 1)
		s.ID += string(rune('a' + i))
		s.Start += load.Instant(i) * 60_000
		s.End, s.Double = s.Start+30_000, load.DoubleApart
		forty = append(forty, s)
	}
	for name, sessions := range map[string][]load.Session{
		"none": nil, "one ever": {run(day-900, 5)}, "one today": {run(day, 5)}, "in 2031": {run(load.Date(2031, 5, 4), 5)}, "forty in a day": forty,
	} {
		in := &load.Input{Sessions: sessions, Today: day}
		for _, m := range load.Measures {
			checkHistory(t, in, m)
		}
		room := load.NewHistory(in, load.Distance).Headroom(day, late(day), nil)
		if room.Decides == "" || room.Limits[0].Why == "" {
			t.Errorf("%s: %+v", name, room)
		}
	}
	in := &load.Input{Sessions: forty, Today: day}
	if rows := load.NewHistory(in, load.Distance).SessionRows(day, day); len(rows) != 1 || rows[0].Load != load.Distance.Of(40) {
		t.Errorf("%d bouts of forty runs a minute apart, want one of 40 km", len(rows))
	}
}
