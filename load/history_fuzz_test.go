package load_test

import (
	"encoding/binary"
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
)

// invented builds a runner from bytes: eight a session, with days, hours, zones,
// lengths, surfaces, verdicts and kinds of every sort, overlapping and not.
func invented(data []byte) *load.Input {
	in := &load.Input{Today: monday, Verdicts: make(map[string]load.Verdict), Settings: switchedOn}
	for i := 0; len(data) >= 8; i++ {
		word := binary.LittleEndian.Uint64(data)
		data = data[8:]
		take := func(n uint64) int { v := word % n; word /= n; return int(v) }
		offset := time.Duration(take(27)-12) * time.Hour
		start := load.InstantOf(monday.Noon()).Add(time.Duration(take(400*24*4)) * 15 * time.Minute)
		metres, kind := take(60_000), take(16)
		s := load.Session{
			ID: fmt.Sprint(i), Start: start, End: start.Add(time.Duration(take(300)) * time.Minute),
			Zone: load.Zone{Offset: offset}, Day: load.DayOf(start.In(offset)),
			Sport: load.Running, Distance: load.Metres(metres),
			Race: kind == 1, Typed: kind == 2 || kind == 3, NoStart: kind == 3, HasPositions: kind < 8,
		}
		switch kind {
		case 4:
			s.Surface = load.Treadmill
		case 5:
			s.Sport = load.Cycling
		case 6:
			in.Rests = append(in.Rests, s.Day)
		case 7:
			in.Complaints = append(in.Complaints, load.DaySpan{First: s.Day, Last: s.Day + load.Day(take(40))})
		}
		if kind != 8 {
			s.Measures.Set(load.Distance, load.Amount(metres)*1000)
		}
		s.Measures.Set(load.Time, load.Amount(s.End-s.Start))
		s.Moving = s.End.Sub(s.Start)
		if kind%3 == 0 {
			s.HeartMean, s.HeartPeak, s.HeartCovered = 150, load.BPM(140+kind*4), s.Moving*time.Duration(kind)/12
			s.HeartTimes.Add(100+kind*9, s.Moving.Milliseconds())
		}
		if kind != 9 {
			s.Measures.Set(load.Tendon, load.Amount(metres)*1100)
			s.Speeds.Add(20+metres%20, s.Moving.Milliseconds()/2)
			s.Speeds.Add(30, s.Moving.Milliseconds()/2)
		}
		s.Ascent, s.HasAscent = load.Metres(metres%700), kind%2 == 0
		s.Shoe = []string{"", "blue", "grey"}[metres%3]
		if kind == 10 {
			in.Races = append(in.Races, load.PlannedRace{Day: s.Day, Distance: load.Distance.Of(10)})
		}
		if kind == 11 {
			in.Gaps = append(in.Gaps, load.Gap{DaySpan: load.DaySpan{First: s.Day + 1, Last: s.Day + 20}, Answer: load.GapRan, Runs: 3, Longest: 9_000_000})
		}
		in.Verdicts[s.ID] = load.Verdict(take(5))
		in.Sessions = append(in.Sessions, s)
		in.Today = max(in.Today, s.Day-load.Day(take(3)))
	}
	return in
}

// switchedOn is everything that is off unless somebody asks for it.
var switchedOn = func() load.Schedule {
	var changes []load.Change
	for key, v := range map[string]float64{
		"ratio-rule": 1, "monotone-rule": 1, "heart-max": 180, "heart-rest": 55, "novice": 1, "strike": 3,
		"baseline-longest-km": 8, "baseline-week-km": 20, "baseline-longest-min": 50, "baseline-week-min": 130, "baseline-runs": 3,
	} {
		changes = append(changes, load.Change{Key: key, From: monday + 3, Value: v})
	}
	sched, err := load.NewSchedule(changes)
	if err != nil {
		panic(err)
	}
	return sched
}()

// FuzzHistory holds what must be true of every runner, however odd.
func FuzzHistory(f *testing.F) {
	f.Add([]byte{})
	for _, n := range []uint64{1, 7, 1 << 40, 1<<63 + 12345, 0x9E3779B97F4A7C15} {
		var seed []byte
		for i := range uint64(30) {
			seed = binary.LittleEndian.AppendUint64(seed, n*(i+1))
		}
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		in := invented(data[:min(len(data), 8*60)])
		for _, m := range load.Measures {
			checkHistory(t, in, m)
			if m == load.Distance || m == load.Heart {
				checkWith(t, in, m)
				checkUntil(t, in, m, load.Day(len(data)%30))
			}
		}
	})
}

// checkWith lays a history out without one session and then with it: the same as with
// all from the start.
func checkWith(t *testing.T, in *load.Input, m load.Measure) {
	t.Helper()
	n := len(in.Sessions)
	if n == 0 {
		return
	}
	at := (n * 7) % n
	rest := *in
	rest.Sessions = append(append([]load.Session{}, in.Sessions[:at]...), in.Sessions[at+1:]...)
	all := *in
	all.Sessions = append(append([]load.Session{}, rest.Sessions...), in.Sessions[at])
	before := load.NewHistory(&rest, m)
	was := laidOut(before, &rest, m)
	if diff := cmp.Diff(laidOut(load.NewHistory(&all, m), &all, m), laidOut(before.With(in.Sessions[at]), &all, m), undefined); diff != "" {
		t.Fatalf("%v with session %d added (-from the start +added):\n%s", m, at, diff)
	}
	if diff := cmp.Diff(was, laidOut(before, &rest, m), undefined); diff != "" {
		t.Fatalf("%v: adding a session changed the history before:\n%s", m, diff)
	}
}

var undefined = cmp.AllowUnexported(load.Value{})

// everything is what a history says.
type everything struct {
	Days     []load.DayRow
	Sessions []load.SessionRow
	Gaps     []load.DaySpan
	Rooms    []load.Headroom
	Triggers []load.Trigger
}

func laidOut(h *load.History, in *load.Input, m load.Measure) (e everything) {
	e.Days, e.Sessions, e.Gaps = h.DayRows(monday-30, in.Today), h.SessionRows(monday-30, in.Today), h.Gaps()
	if !m.Limited() {
		return e
	}
	for day := max(monday, in.Today-40); day <= in.Today; day++ {
		e.Rooms = append(e.Rooms, h.Headroom(day, late(day), nil))
	}
	e.Triggers = h.Triggers()
	return e
}

func checkHistory(t *testing.T, in *load.Input, m load.Measure) {
	h := load.NewHistory(in, m)
	rows := h.DayRows(monday-30, in.Today+30)
	for i := range rows {
		row := &rows[i]
		if i > 0 && row.Date != rows[i-1].Date+1 || row.State.String() == "" || row.Acute < 0 {
			t.Fatalf("%v %v: %+v", m, row.Date, row)
		}
		held, _ := row.HeldTidemark.Get()
		if plain, _ := row.Tidemark.Get(); held > plain {
			t.Fatalf("%v %v: held tidemark %v over the plain %v", m, row.Date, held, plain)
		}
		if coupled, ok := row.RatioCoupled.Get(); ok && (coupled < 0 || coupled > 4+1e-9) {
			t.Fatalf("%v %v: coupled ratio %v", m, row.Date, coupled)
		}
		if !m.Limited() {
			continue
		}
		room := h.Headroom(row.Date, late(row.Date), nil)
		if room.State == load.RaceDay {
			continue // no limit speaks
		}
		if room.Amount < 0 || room.Decides == "" || len(room.Limits) == 0 {
			t.Fatalf("%v %v: %+v", m, row.Date, room)
		}
		for _, l := range room.Limits {
			if l.Limit < 0 || l.Value < 0 || l.Room() < room.Amount || l.Why == "" {
				t.Fatalf("%v %v: %+v in %+v", m, row.Date, l, room)
			}
		}
	}
	if m == load.Distance || m == load.Time {
		checkFindings(t, h.Triggers())
	}
	if m.Limited() {
		load.Imagine(in, m, in.Today+3, m.Of(5), nil)
	}
}

func checkFindings(t *testing.T, triggers []load.Trigger) {
	seen := make(map[string]bool)
	for _, f := range load.Episodes(triggers) {
		if seen[f.ID] || f.LastDay < f.Day || f.Advice == "" || len(f.Evidence) == 0 {
			t.Fatalf("finding %+v", f)
		}
		seen[f.ID] = true
	}
}
