package assess_test

import (
	"slices"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/rehab"
)

// story is a runner with a complaint of the left Achilles tendon since day 30, who runs
// on the days of runs, in minutes.
type story struct {
	in       *load.Input
	mornings []rehab.Morning
	c        rehab.Complaint
}

var storyStart = load.Date(2026, time.March, 2)

// tell lays a story of runs by day and minutes out.
func tell(runs map[load.Day]int) *story {
	s := &story{in: &load.Input{}}
	for day := load.Day(0); day < 120; day++ {
		m, ok := runs[day]
		if !ok {
			continue
		}
		at := storyStart + day
		one := load.Session{ID: at.String(), Day: at, Sport: load.Running, Start: load.InstantOf(at.Noon())}
		one.End = one.Start.Add(time.Duration(m) * time.Minute)
		one.Moving, one.RunTime = one.End.Sub(one.Start), one.End.Sub(one.Start)
		for _, measure := range []load.Measure{load.Time, load.RunTime} {
			one.Measures.Set(measure, measure.Of(float64(m)))
		}
		one.Measures.Set(load.Distance, load.Distance.Of(float64(m)/6))
		s.in.Sessions = append(s.in.Sessions, one)
	}
	s.c = rehab.Complaint{
		ID: "ach-mid-left", Site: rehab.AchillesMid, Side: rehab.Left, Onset: storyStart, Steps: []rehab.Step{{Day: storyStart + 30, Status: rehab.Open}},
		Bases: []rehab.Base{{From: storyStart, Pain: number(1), Stiffness: number(5)}},
	}
	return s
}

func number(v float64) *float64 { return &v }

// wake adds a morning: during, after, next, stiffness.
func (s *story) wake(day load.Day, during, after, next uint8, stiffness int) {
	s.mornings = append(s.mornings, rehab.Morning{Complaint: s.c.ID, Day: storyStart + day, During: &during, After: &after, Next: &next, Stiffness: &stiffness})
}

// room is the headroom at the end of a day, by rule.
func (s *story) room(day load.Day) (room load.Headroom, limits map[string]load.Limit) {
	in := *s.in
	in.Today = storyStart + day
	care := assess.Follow(&in, assess.Followed{Complaints: []rehab.Complaint{s.c}, Mornings: s.mornings})
	p := assess.Assess(&in, care, assess.Query{Measure: load.RunTime, From: in.Today, To: in.Today}, nil)
	limits = make(map[string]load.Limit)
	for _, l := range p.Headroom.Limits {
		limits[l.Rule] = l
	}
	return *p.Headroom, limits
}

// usualRuns are 30 min every third day until day 29, the day before the complaint.
func usualRuns(more map[load.Day]int) map[load.Day]int {
	runs := make(map[load.Day]int)
	for day := load.Day(0); day < 30; day += 3 {
		runs[day] = 30
	}
	for day, m := range more {
		runs[day] = m
	}
	return runs
}

// TestSpacing: two rest days, one after four settled runs in a row, one more after a morning
// that was not settled (rehab reference 5.2 C1 and 5.5; values from memory and project
// defaults).
func TestSpacing(t *testing.T) {
	s := tell(usualRuns(map[load.Day]int{30: 10, 33: 10, 36: 10, 39: 10, 42: 10}))
	held := func(day load.Day) bool {
		_, limits := s.room(day)
		l, ok := limits[assess.LimitSpacing]
		return ok && l.Limit == 0
	}
	s.wake(31, 1, 1, 1, 5)
	for day, want := range map[load.Day]bool{30: true, 31: true, 32: true, 33: true} { // on 33 it was run already
		if got := held(day); got != want {
			t.Errorf("day %d: held %v, want %v", day, got, want)
		}
	}
	s.wake(34, 1, 1, 1, 5)
	s.wake(37, 1, 1, 1, 5)
	if !held(38) {
		t.Error("after three settled runs the second day is no rest day any more")
	}
	s.wake(40, 1, 1, 1, 5)
	if held(41) {
		t.Error("after four settled runs two rest days are still asked for")
	}
	s.wake(43, 3, 2, 1, 5) // not settled: one more
	if !held(44) || !held(45) || held(46) {
		t.Errorf("after a morning that was not settled: held %v %v %v on the days after, want three rest days", held(44), held(45), held(46))
	}
}

// TestFlare: nothing until a morning is as usual and three rest days have passed, then 80 %
// of the longest settled run for two runs with three rest days between.
func TestFlare(t *testing.T) {
	s := tell(usualRuns(map[load.Day]int{30: 20, 33: 20, 36: 20, 41: 15}))
	s.wake(31, 1, 1, 1, 5)
	s.wake(34, 1, 1, 1, 5)
	s.wake(37, 4, 4, 3, 20) // 2 above usual
	state := func(day load.Day) load.HeadroomState { r, _ := s.room(day); return r.State }
	if state(38) != load.HeldBack || state(39) != load.HeldBack || state(40) != load.HeldBack {
		t.Errorf("states %v %v %v after a flare that has not come back, want held", state(38), state(39), state(40))
	}
	s.wake(38, 0, 0, 2, 8)
	s.wake(39, 0, 0, 1, 5) // as usual again
	if state(39) != load.HeldBack {
		t.Errorf("state %v on the second rest day, want held", state(39))
	}
	room, limits := s.room(40)
	if got := load.RunTime.In(limits[assess.LimitMorning].Limit); room.State == load.HeldBack || got != 16 { // 80 % of 20
		t.Errorf("state %v, %v min; want 16 on the first day after three of rest: %+v", room.State, got, room.Limits)
	}
	s.wake(42, 1, 1, 1, 5)
	if state(44) != load.HeldBack {
		t.Error("two rest days between the first two runs after a flare, want three")
	}
	if _, limits := s.room(45); load.RunTime.In(limits[assess.LimitMorning].Limit) != 16 {
		t.Errorf("limits of the second run after a flare: %+v, want 16 min", limits)
	}
}

// TestTwoFlares: two in 14 days ask for a week without running.
func TestTwoFlares(t *testing.T) {
	s := tell(usualRuns(map[load.Day]int{30: 20, 36: 20}))
	s.wake(31, 6, 1, 1, 5)
	s.wake(32, 0, 0, 1, 5)
	s.wake(37, 6, 1, 1, 5)
	s.wake(38, 0, 0, 1, 5)
	for day, want := range map[load.Day]load.HeadroomState{43: load.HeldBack, 44: load.Uncertain} {
		if room, _ := s.room(day); (room.State == load.HeldBack) != (want == load.HeldBack) {
			t.Errorf("day %d: %v, want held only for seven days: %+v", day, room.State, room.Limits)
		}
	}
}

// TestComplaintLimit: no more than the longest settled run, and nothing grows before two
// settled run mornings; missing never gives more than unsettled.
func TestComplaintLimit(t *testing.T) {
	s := tell(usualRuns(map[load.Day]int{30: 12, 33: 12, 36: 14}))
	limit := func(day load.Day) (m, c float64) {
		_, limits := s.room(day)
		return load.RunTime.In(limits[assess.LimitMorning].Limit), load.RunTime.In(limits[assess.LimitComplaint].Limit)
	}
	if _, c := limit(33); c != 10 { // nothing has settled yet: the first stage
		t.Errorf("%v min before any morning, want 10", c)
	}
	s.wake(31, 1, 1, 1, 5)
	if _, c := limit(33); c != 12 {
		t.Errorf("%v min after one settled run of 12, want 12", c)
	}
	s.wake(34, 1, 1, 1, 5)
	if _, c := limit(36); c != 15 { // 12 + 3 min
		t.Errorf("%v min after two settled runs of 12, want 15", c)
	}
	if m, c := limit(39); m != 12 || c != 12 {
		t.Errorf("%v and %v min after a run that nobody answered, want 12 and no growth", m, c)
	}
	s.wake(37, 3, 1, 1, 5)
	if m, _ := limit(40); m != 12 {
		t.Errorf("%v min after a morning that was not settled, want the last settled run, 12", m)
	}
}

// TestCareFindings: a flare is a caution that names rule, value and limit; two mornings
// running that were not settled are one too; of nothing followed nothing is said.
func TestCareFindings(t *testing.T) {
	s := tell(usualRuns(map[load.Day]int{30: 12, 33: 12, 36: 12}))
	s.wake(31, 3, 1, 1, 5)
	s.wake(34, 3, 1, 1, 5)
	s.wake(37, 1, 1, 4, 5)
	in := *s.in
	in.Today = storyStart + 38
	find := func(care *assess.Care) (rules []string) {
		for _, f := range assess.Assess(&in, care, assess.Query{Measure: load.Distance, From: in.Today, To: in.Today}, nil).Findings {
			for _, e := range f.Evidence {
				if e.Rule == load.RuleNotSettled || e.Rule == load.RuleMorningFlared {
					if f.Level != load.Caution || e.Text == "" {
						t.Errorf("%+v", f)
					}
					rules = append(rules, e.Rule)
				}
			}
		}
		return rules
	}
	if got := find(assess.Follow(&in, assess.Followed{Complaints: []rehab.Complaint{s.c}, Mornings: s.mornings})); len(got) != 2 || got[0] != load.RuleNotSettled || got[1] != load.RuleMorningFlared {
		t.Errorf("found %v, want not-settled, then morning-flared", got)
	}
	in.Verdicts, in.Complaints = nil, nil
	if got := find(nil); len(got) > 0 {
		t.Errorf("found %v of nothing", got)
	}
}

// TestLaterEpisodes: what comes again weeks later, of the same complaint or the same sign, is
// a finding of its own with a name of its own.
func TestLaterEpisodes(t *testing.T) {
	s := tell(usualRuns(map[load.Day]int{30: 12, 60: 12, 63: 12, 66: 12, 100: 12, 103: 12}))
	s.wake(31, 1, 1, 5, 5) // flares
	for _, day := range []load.Day{61, 64, 67, 101, 104} {
		s.wake(day, 3, 1, 1, 5) // is not settled, as in TestCareFindings
	}
	flag, err := rehab.FindRedFlag("numb")
	if err != nil {
		t.Fatal(err)
	}
	in := *s.in
	in.Today = storyStart + 110
	care := assess.Follow(&in, assess.Followed{
		Complaints: []rehab.Complaint{s.c}, Mornings: s.mornings,
		Flags: []rehab.Raised{
			{Flag: flag, From: storyStart + 2, Lifted: storyStart + 4, IsLifted: true},
			{Flag: flag, From: storyStart + 85, Lifted: storyStart + 86, IsLifted: true},
		},
	})
	seen := make(map[string]bool)
	var rules []string
	for _, f := range assess.Assess(&in, care, assess.Query{Measure: load.Distance, From: in.Today, To: in.Today}, nil).Findings {
		if seen[f.ID] {
			t.Errorf("two findings are called %s", f.ID)
		}
		seen[f.ID] = true
		if load.FindRule(f.Rule).Cause == load.CauseComplaint {
			rules = append(rules, f.Rule)
		}
	}
	want := []string{load.RuleRedFlag, load.RuleMorningFlared, load.RuleNotSettled, load.RuleRedFlag, load.RuleNotSettled}
	if !slices.Equal(rules, want) {
		t.Errorf("found %v, want %v", rules, want)
	}
}

// TestRedFlags: a sign that asks for a doctor at once stops, one that is to be seen leaves the
// limits without growth, one that a clinician leads leaves nothing; lifted, none of it.
func TestRedFlags(t *testing.T) {
	s := tell(usualRuns(nil))
	in := *s.in
	in.Today = storyStart + 29
	room := func(id string, lifted bool) (load.Headroom, []load.Finding) {
		flag, err := rehab.FindRedFlag(id)
		if err != nil {
			t.Fatal(err)
		}
		raised := rehab.Raised{Flag: flag, From: in.Today - 2, Lifted: in.Today, IsLifted: lifted}
		care := assess.Follow(&in, assess.Followed{Flags: []rehab.Raised{raised}})
		p := assess.Assess(&in, care, assess.Query{Measure: load.RunTime, From: in.Today, To: in.Today}, nil)
		return *p.Headroom, p.Findings
	}
	plain, _ := room("rupture", true)
	if plain.State == load.HeldBack {
		t.Errorf("state %v after it was lifted", plain.State)
	}
	for id, want := range map[string]load.HeadroomState{"rupture": load.HeldBack, "clot": load.HeldBack, "night": load.HeldBack, "led": load.LedByClinician} {
		got, findings := room(id, false)
		if got.State != want || got.Amount != 0 {
			t.Errorf("%s: %v, %d; want %v and nothing", id, got.State, got.Amount, want)
		}
		level := load.Stop
		if id == "led" {
			level = load.Caution
		}
		if f := findings[len(findings)-1]; f.Rule != load.RuleRedFlag || f.Level != level {
			t.Errorf("%s: found %s, %v; want a red flag, %v", id, f.Rule, f.Level, level)
		}
	}
	if got, _ := room("numb", false); got.State == load.HeldBack || got.Amount >= plain.Amount {
		t.Errorf("to be seen: %v, %d; want less than %d, without growth", got.State, got.Amount, plain.Amount)
	}
}
