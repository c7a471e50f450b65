package load_test

import (
	"slices"
	"testing"
	"time"

	"tidemark/load"
)

// room returns the headroom in km on the day after the story.
func room(t *testing.T, idle int, km ...float64) load.Headroom {
	t.Helper()
	h := history(t, idle, km...)
	day := monday + load.Day(len(km)-1+idle)
	return h.Headroom(day, late(day), nil)
}

func limitOf(room load.Headroom, rule string) (load.Limit, bool) {
	i := slices.IndexFunc(room.Limits, func(l load.Limit) bool { return l.Rule == rule })
	if i < 0 {
		return load.Limit{}, false
	}
	return room.Limits[i], true
}

// Twelve even weeks: 14 km on Monday, 8 on Wednesday, Friday and Sunday: 38 km.
var evenWeeks = repeat(12, 14, 0, 8, 0, 8, 0, 8)

// TestLimits holds each limit against the rule of the model, worked by hand.
func TestLimits(t *testing.T) {
	tests := []struct {
		name         string
		idle         int
		km           []float64
		rule         string
		value, limit float64 // km
	}{
		{"session: the longest and 10 %", 1, evenWeeks, load.LimitSession, 0, 15.4},
		{"session: at least half a kilometre", 1, repeat(12, 3, 0, 3, 0, 3, 0, 3), load.LimitSession, 0, 3.5},
		{"day: the best day and 10 %, less what was run", 0, append(evenWeeks, 6), load.LimitDay, 6, 15.4},
		{"week: 30 % of 38 is 11.4", 1, evenWeeks, load.LimitWeek, 24, 38 + 11.4}, // Tue to Sun of the last week
		{"week: no more than 12 km", 1, repeat(12, 20, 0, 20, 0, 20, 0, 30), load.LimitWeek, 70, 90 + 12},
		{"week: no less than 2 km", 1, repeat(12, 1, 0, 1, 0, 1, 0, 2), load.LimitWeek, 4, 5 + 2},
		// The seven days up to the Mondays have 20, 22, 30 and 38 km, each more than
		// 5 % over the one before; since the last Monday there were 33.
		{"week: none after three that grew", 1, slices.Concat(repeat(4, 5, 0, 5, 0, 5, 0, 5),
			repeat(1, 7, 0, 7, 0, 7, 0, 7), repeat(1, 9, 0, 9, 0, 9, 0, 9), repeat(1, 11, 0, 11, 0, 11, 0, 11)), load.LimitWeek, 33, 38},
		// 10 days since the last run: the median run is 8 km, the median day too, and
		// three quarters of the best held week of 38 are 28.5. The session decides.
		{"break of 10 days", 10, evenWeeks, load.LimitBreak, 0, 8},
		{"break of 14 days", 14, evenWeeks, load.LimitBreak, 0, 8},
		{"break of 15 days: half", 15, evenWeeks, load.LimitBreak, 0, 4},
		{"break of 28 days: half", 28, evenWeeks, load.LimitBreak, 0, 4},
		// 20 min at 2.4 m/s.
		{"break of 29 days: some easy minutes", 29, evenWeeks, load.LimitBreak, 0, 2.88},
		{"a beginner: some easy minutes", 2, []float64{3}, load.LimitBreak, 0, 2.88},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, ok := limitOf(room(t, tt.idle, tt.km...), tt.rule)
			if !ok {
				t.Fatalf("no limit %s in %+v", tt.rule, room(t, tt.idle, tt.km...))
			}
			if v, m := load.Distance.In(l.Value), load.Distance.In(l.Limit); !near(v, tt.value, 1e-6) || !near(m, tt.limit, 1e-6) {
				t.Errorf("%s: %v of %v km, want %v of %v (%s)", tt.rule, v, m, tt.value, tt.limit, l.Why)
			}
		})
	}
}

func TestLimitsInMinutes(t *testing.T) {
	// The even weeks at 6 min a km: 84 min the longest, 228 min a week.
	in := &load.Input{Sessions: daily(monday, evenWeeks...), Today: monday + load.Day(len(evenWeeks))}
	room := load.NewHistory(in, load.Time).Headroom(in.Today, late(in.Today), nil)
	for rule, want := range map[string]float64{load.LimitSession: 92.4, load.LimitWeek: 228 + 60} { // 30 % were 68.4
		l, _ := limitOf(room, rule)
		if got := load.Time.In(l.Limit); !near(got, want, 1e-6) {
			t.Errorf("%s at most %v min, want %v", rule, got, want)
		}
	}
}

func TestNoWeekLimitDuringABreak(t *testing.T) {
	if l, ok := limitOf(room(t, 10, evenWeeks...), load.LimitWeek); ok {
		t.Errorf("week limit %+v while the break's own week stands in for it", l)
	}
}

// TestBreakIsLiftedByWeeksWithRuns: after 20 days off the limit is half, a week
// with runs later the median, another week later none.
func TestBreakIsLiftedByWeeksWithRuns(t *testing.T) {
	back := append(slices.Clone(evenWeeks), repeat(20, 0)...)
	tests := []struct {
		name  string
		after []float64
		limit float64 // km of the break limit on the day after; 0: lifted
	}{
		{"at the return", nil, 4},
		{"six days later", []float64{4, 0, 4, 0, 4, 0}, 4},
		{"a week later", []float64{4, 0, 4, 0, 4, 0, 0}, 8},
		{"two weeks later", repeat(2, 4, 0, 4, 0, 4, 0, 0), 0},
		{"two weeks later, the second without a run", append([]float64{4, 0, 4, 0, 4, 0, 0}, 0, 0, 0, 0), 8},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, ok := limitOf(room(t, 1, append(slices.Clone(back), tt.after...)...), load.LimitBreak)
			if ok != (tt.limit > 0) || !near(load.Distance.In(l.Limit), tt.limit, 1e-6) {
				t.Errorf("break limit %v km (%v), want %v", load.Distance.In(l.Limit), ok, tt.limit)
			}
		})
	}
}

// TestBadRunGivesNoGrowth: while a run that a morning spoke against is the
// longest by its own length, or as long, the limits do not grow from it, whether
// all of the 14 km runs were bad or only the oldest or newest that counts.
func TestBadRunGivesNoGrowth(t *testing.T) {
	today := monday + load.Day(len(evenWeeks))
	tests := []struct {
		name    string
		verdict load.Verdict
		on      []load.Day // days ago
		session float64
		week    float64
	}{
		{"the oldest unsettled", load.Unsettled, []load.Day{28}, 14, 38},
		{"the newest unsettled", load.Unsettled, []load.Day{7}, 14, 38},
		{"the newest flared", load.Flared, []load.Day{7}, 14, 38},
		{"one of a whole week before", load.Unsettled, []load.Day{14}, 14, 38},
		{"too old to count for the session", load.Unsettled, []load.Day{35}, 15.4, 38},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			in := &load.Input{Sessions: daily(monday, evenWeeks...), Today: today, Verdicts: make(map[string]load.Verdict)}
			for _, ago := range tt.on {
				in.Verdicts[run(today-ago, 14).ID] = tt.verdict
			}
			room := load.NewHistory(in, load.Distance).Headroom(today, late(today), nil)
			for rule, want := range map[string]float64{load.LimitSession: tt.session, load.LimitDay: tt.session, load.LimitWeek: tt.week} {
				l, _ := limitOf(room, rule)
				if got := load.Distance.In(l.Limit); !near(got, want, 1e-6) {
					t.Errorf("%s at most %v km, want %v", rule, got, want)
				}
			}
		})
	}
}

// A flared morning never gives more room than an unsettled one.
func TestWorseMorningGivesNoMore(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, evenWeeks...), Today: monday + load.Day(len(evenWeeks))}
	in.Sessions = append(in.Sessions, run(monday+64, 14.9))
	id := run(monday+64, 14.9).ID
	var rooms []load.Amount
	for _, v := range []load.Verdict{load.Unsettled, load.Flared} {
		in.Verdicts = map[string]load.Verdict{id: v}
		rooms = append(rooms, load.NewHistory(in, load.Distance).Headroom(in.Today, late(in.Today), nil).Amount)
	}
	if rooms[1] > rooms[0] {
		t.Errorf("%d mm after a flared morning, %d after an unsettled one", rooms[1], rooms[0])
	}
}

// TestFirstWeeksAreBounded: before there is a whole week to grow from, the week is
// held against what was run until a week ago, or three first runs of 2.88 km.
func TestFirstWeeksAreBounded(t *testing.T) {
	tests := []struct {
		first, week float64 // km; the most of any seven days after the first week
	}{
		{10, 13 * 1.3}, // 10 and 30 %, once more in the third week
		{30, 39 * 1.3},
		{3, (8.64 + 2.592) * 1.3}, // 3 x 2.88 and 30 %
	}
	for _, tt := range tests {
		km := brim{[]float64{tt.first, 0, 0, 0, 0, 0, 0}, 0, everyDay, 60, 2}.fill()
		for i := 13; i < len(km); i++ {
			if got := sum(km[i-6 : i+1]); got > tt.week+1e-5 {
				t.Errorf("first run %v km: %.2f km in the seven days to day %d, want at most %.2f", tt.first, got, i, tt.week)
			}
		}
	}
}

// After one single run and a break there is no more than three quarters of a
// beginner's week: 6.48 km.
func TestBreakAfterOneRun(t *testing.T) {
	km := brim{[]float64{15}, 9, everyDay, 60, 1}.fill()
	if got := sum(km[10:17]); got > 6.48+1e-5 || got < 6 {
		t.Errorf("%.2f km in the week after, want 6.48", got)
	}
}

// A first run that counts nothing, as a race does, leaves the easy minutes.
func TestNothingCountsBeforeABreak(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, 10), Today: monday + 12}
	in.Sessions[0].Race = true
	room := load.NewHistory(in, load.Distance).Headroom(in.Today, late(in.Today), nil)
	if got := load.Distance.In(room.Amount); got != 2.88 {
		t.Errorf("%v km by %s, want 2.88", got, room.Decides)
	}
}

// Thirty metres on the way are no run that ends a break.
func TestStubEndsNoBreak(t *testing.T) {
	km := append(slices.Clone(evenWeeks), 0, 0, 0, 0, 0, 0, 0.03, 0, 0, 0, 0, 0, 0)
	l, ok := limitOf(room(t, 0, km...), load.LimitBreak)
	if !ok || load.Distance.In(l.Limit) != 8 {
		t.Errorf("break limit %+v (%v), want the median of 8 km", l, ok)
	}
}

// An estimate of 40 km on a treadmill is no base to grow from.
func TestTreadmillIsNoBase(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, evenWeeks...), Today: monday + load.Day(len(evenWeeks))}
	belt := run(monday+71, 40)
	belt.Surface = load.Treadmill
	in.Sessions = append(in.Sessions, belt)
	room := load.NewHistory(in, load.Distance).Headroom(in.Today, late(in.Today), nil)
	for rule, want := range map[string]float64{load.LimitSession: 15.4, load.LimitDay: 15.4, load.LimitWeek: 1.3 * (38 + 14)} {
		if l, _ := limitOf(room, rule); !near(load.Distance.In(l.Limit), min(want, 38+14+12), 1e-6) {
			t.Errorf("%s at most %v km, want %v", rule, load.Distance.In(l.Limit), want)
		}
	}
}

// What was run after midnight counts for its own day, though it is one effort
// with what began before.
func TestRunOverMidnight(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, evenWeeks...), Today: monday + load.Day(len(evenWeeks)) + 1}
	before, after := run(in.Today-1, 0.1), run(in.Today, 15.3)
	before.Start = load.InstantOf(in.Today.Noon().Add(-12*time.Hour - 5*time.Minute))
	before.End = before.Start.Add(time.Minute)
	after.Start = before.Start.Add(10 * time.Minute)
	after.End = after.Start.Add(90 * time.Minute)
	in.Sessions = append(in.Sessions, before, after)
	room := load.NewHistory(in, load.Distance).Headroom(in.Today, late(in.Today), nil)
	if l, _ := limitOf(room, load.LimitDay); !near(load.Distance.In(l.Value), 15.3, 1e-9) {
		t.Errorf("run today %v km, want 15.3", load.Distance.In(l.Value))
	}
}

func TestAfterARace(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, append(slices.Clone(evenWeeks), 0, 21)...)}
	last := len(in.Sessions) - 1
	in.Sessions[last].Race = true
	race := in.Sessions[last].Day
	tests := []struct {
		days  load.Day
		state load.HeadroomState
		most  float64 // of the race limit in km; -1: none
	}{
		{1, load.HeldBack, 0}, {3, load.HeldBack, 0}, // three days held
		{4, load.Open, 7}, {10, load.Open, 7}, // then half of 14 km for seven days
		{11, load.Open, -1},
	}
	for _, tt := range tests {
		in.Today = race + tt.days
		in.Rests = []load.Day{race + 1, race + 5, race + 9}
		room := load.NewHistory(in, load.Distance).Headroom(in.Today, late(in.Today), nil)
		l, ok := limitOf(room, load.LimitRace)
		if room.State != tt.state || ok != (tt.most >= 0) || ok && load.Distance.In(l.Limit) != tt.most {
			t.Errorf("%d days after: %s, race limit %v (%v), want %s, %v", tt.days, room.State, load.Distance.In(l.Limit), ok, tt.state, tt.most)
		}
	}
}

// Three days held are three days held, also when the week is used up; and what
// the limits of the day left decides whether a race was over them.
func TestRacesAndOtherLimits(t *testing.T) {
	marathon := append(slices.Clone(evenWeeks), 42)
	off := append(append(slices.Clone(evenWeeks), repeat(20, 0)...), 15)
	tests := []struct {
		name  string
		km    []float64
		state load.HeadroomState
		by    string
	}{
		{"more than a week's room", marathon, load.HeldBack, load.LimitRace},
		{"15 km with room for 4 after a break", off, load.HeldBack, load.LimitRace},
		{"a first run of 2 km, with room for 2.88", []float64{2}, load.Provisional, load.LimitBreak},
	}
	for _, tt := range tests {
		in := &load.Input{Sessions: daily(monday, tt.km...), Today: monday + load.Day(len(tt.km))}
		in.Sessions[len(in.Sessions)-1].Race = true
		room := load.NewHistory(in, load.Distance).Headroom(in.Today, late(in.Today), nil)
		if room.State != tt.state || room.Decides != tt.by {
			t.Errorf("%s: %s by %s, want %s by %s", tt.name, room.State, room.Decides, tt.state, tt.by)
		}
	}
	h := history(t, 1, evenWeeks...)
	day := monday + load.Day(len(evenWeeks))
	if got := h.Headroom(day, late(day), []load.Limit{{Rule: "red-flag"}}); got.State != load.HeldBack {
		t.Errorf("a red flag leaves the state %s, want held", got.State)
	}
}

func TestHeadroomStates(t *testing.T) {
	tests := []struct {
		name string
		idle int
		km   []float64
		want load.HeadroomState
	}{
		{"twelve weeks", 1, evenWeeks, load.Open},
		{"three weeks", 1, evenWeeks[:21], load.Provisional},
		{"nothing known of the last days", 12, evenWeeks, load.Uncertain},
	}
	for _, tt := range tests {
		if got := room(t, tt.idle, tt.km...).State; got != tt.want {
			t.Errorf("%s: %s, want %s", tt.name, got, tt.want)
		}
	}
	empty := load.NewHistory(&load.Input{Today: monday}, load.Distance).Headroom(monday, late(monday), nil)
	if empty.State != load.Provisional || load.Distance.In(empty.Amount) != 2.88 || empty.Decides != load.LimitBreak {
		t.Errorf("without a run: %+v, want 2.88 km by break, provisional", empty)
	}
}

func TestUsual(t *testing.T) {
	sundays := []float64{10, 12, 9, 14, 13, 11} // median of six: (11+12)/2
	var km []float64
	for _, long := range sundays {
		km = append(km, 5, 0, 0, 0, 0, 0, long)
	}
	usual := room(t, 7, km...).Usual // a Sunday again
	if got := number(t, "usual", usual); got != 11.5 {
		t.Errorf("usual Sunday %v km, want 11.5", got)
	}
	if got := room(t, 2, km...).Usual.Reason(); got != load.ReasonHistory { // a Tuesday
		t.Errorf("usual Tuesday: %q, want history", got)
	}
}

func TestOtherLimitsEnterAsValues(t *testing.T) {
	h := history(t, 1, evenWeeks...)
	day := monday + load.Day(len(evenWeeks))
	got := h.Headroom(day, late(day), []load.Limit{{Rule: "ramp", Limit: load.Distance.Of(4)}})
	if got.Decides != "ramp" || load.Distance.In(got.Amount) != 4 {
		t.Errorf("%v km by %s, want 4 by ramp", load.Distance.In(got.Amount), got.Decides)
	}
}

func TestSettingsHoldFromTheirDay(t *testing.T) {
	sched, err := load.NewSchedule([]load.Change{{Key: "session-share", From: monday + 80, Value: 0.2}})
	if err != nil {
		t.Fatal(err)
	}
	in := &load.Input{Sessions: daily(monday, evenWeeks...), Settings: sched, Today: monday + 84}
	h := load.NewHistory(in, load.Distance)
	for day, want := range map[load.Day]float64{monday + 79: 15.4, monday + 80: 16.8, monday + 84: 16.8} {
		l, _ := limitOf(h.Headroom(day, late(day), nil), load.LimitSession)
		if got := load.Distance.In(l.Limit); !near(got, want, 1e-6) {
			t.Errorf("%v: session at most %v km, want %v", day, got, want)
		}
	}
}
