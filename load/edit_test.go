package load_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
)

// The watch took half an hour on foot for a ride; the runner knows better.
func ExampleEdit() {
	activity := recording(complete, leg{1800, 2.5, 164})
	activity.Sport = load.Cycling

	var edit load.Edit
	for _, said := range [][2]string{{"kind", "running"}, {"exertion", "3,5"}, {"race", "maybe"}} {
		if err := edit.Set(said[0], said[1]); err != nil {
			fmt.Println(err)
		}
	}
	session := edit.Reduce("example", activity, load.Zone{Name: "UTC", Source: load.ZoneFromFile})

	fmt.Println(session.Sport, session.RunTime)
	exertion, _ := session.Measures.Get(load.Exertion)
	fmt.Println(load.Exertion.In(exertion), load.Exertion.Unit())
	fmt.Println("the file's own:", activity.Sport)
	// Output:
	// race "maybe": want yes or no
	// running 30m0s
	// 105 AU
	// the file's own: cycling
}

func TestEditTable(t *testing.T) {
	seen := make(map[string]bool)
	for _, f := range load.EditTable {
		if seen[f.Key] || f.What == "" || f.Want == "" {
			t.Errorf("field %+v is doubled or lacks a text", f)
		}
		seen[f.Key] = true
		var e load.Edit
		before := f.Of(e)
		if err := e.Set(f.Key, "no\x00such value"); err == nil || !strings.HasSuffix(err.Error(), ": want "+f.Want) {
			t.Errorf("%s: %v, want an error that says %q", f.Key, err, f.Want)
		}
		if err := e.Set(f.Key, ""); err != nil {
			t.Errorf("%s cannot be taken back: %v", f.Key, err)
		}
		if after := f.Of(e); after != before || e != (load.Edit{}) {
			t.Errorf("%s: %q after nothing was said, %q before", f.Key, after, before)
		}
	}
}

func TestEditSet(t *testing.T) {
	tests := []struct {
		key, value string
		want       string // as it is said again
		err        string
	}{
		{"exertion", "0", "0", ""},
		{"exertion", "10", "10", ""},
		{"exertion", "7.25", "7.25", ""},
		{"exertion", "7,5", "7.5", ""},
		{"exertion", "07.50", "7.5", ""},
		{"exertion", "11", "", `exertion "11": want 0 to 10, or in parts as 3x40 7x20`},
		{"exertion", "10.01", "", `exertion "10.01": want 0 to 10, or in parts as 3x40 7x20`},
		{"exertion", "-1", "", `exertion "-1": want 0 to 10, or in parts as 3x40 7x20`},
		{"exertion", "NaN", "", `exertion "NaN": want 0 to 10, or in parts as 3x40 7x20`},
		{"exertion", "Inf", "", `exertion "Inf": want 0 to 10, or in parts as 3x40 7x20`},
		{"exertion", "1e1", "", `exertion "1e1": want 0 to 10, or in parts as 3x40 7x20`},
		{"exertion", "1,2.3", "", `exertion "1,2.3": want 0 to 10, or in parts as 3x40 7x20`},
		{"exertion", ",", "", `exertion ",": want 0 to 10, or in parts as 3x40 7x20`},
		{"exertion", " ", "", `exertion " ": want 0 to 10, or in parts as 3x40 7x20`},
		{"exertion", strings.Repeat("9", 50), "", `exertion "` + strings.Repeat("9", 40) + `": want 0 to 10, or in parts as 3x40 7x20`},
		{"kind", "running", "running", ""},
		{"kind", "swimming", "swimming", ""},
		{"kind", "other", "other", ""},
		{"kind", "unknown", "", `kind "unknown": want running, walking, cycling, swimming or other`},
		{"kind", "Running", "", `kind "Running": want running, walking, cycling, swimming or other`},
		{"race", "yes", "yes", ""},
		{"race", "no", "no", ""},
		{"race", "true", "", `race "true": want yes or no`},
		{"excluded", "yes", "yes", ""},
		{"excluded", "no", "no", ""},
		{"excluded", "1", "", `excluded "1": want yes or no`},
		{"shoe size", "43", "", `find edit field "shoe size": no such field`},
	}
	for _, tt := range tests {
		t.Run(tt.key+" "+tt.value, func(t *testing.T) {
			var e load.Edit
			err := e.Set(tt.key, tt.value)
			if tt.err != "" {
				if err == nil || err.Error() != tt.err {
					t.Errorf("error %v, want %s", err, tt.err)
				}
				if e != (load.Edit{}) {
					t.Errorf("a refused value changed the edit to %+v", e)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got := value(t, e, tt.key); got != tt.want {
				t.Errorf("says %q, want %q", got, tt.want)
			}
		})
	}
}

// What was copied before a change keeps what it said.
func TestEditCopies(t *testing.T) {
	var e load.Edit
	set(t, &e, "exertion", "3", "kind", "walking", "race", "yes", "excluded", "yes")
	before := e
	set(t, &e, "exertion", "8", "kind", "running", "race", "no", "excluded", "")
	for key, want := range map[string]string{"exertion": "3", "kind": "walking", "race": "yes", "excluded": "yes"} {
		if got := value(t, before, key); got != want {
			t.Errorf("%s of the copy is %q, want %q", key, got, want)
		}
	}
	set(t, &e, "exertion", "", "kind", "", "race", "")
	if e != (load.Edit{}) {
		t.Errorf("%+v after all was taken back", e)
	}
}

// set says pairs of field and value.
func set(t *testing.T, e *load.Edit, pairs ...string) {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if err := e.Set(pairs[i], pairs[i+1]); err != nil {
			t.Fatal(err)
		}
	}
}

// value returns what e says in a field.
func value(t *testing.T, e load.Edit, key string) string {
	t.Helper()
	f, err := load.FindEditField(key)
	if err != nil {
		t.Fatal(err)
	}
	return f.Of(e)
}

func edited(t *testing.T, a *load.Activity, pairs ...string) load.Session {
	t.Helper()
	var e load.Edit
	set(t, &e, pairs...)
	return e.Reduce("run", a, utc)
}

// Without a word the session is the file's.
func TestEditOfNothing(t *testing.T) {
	a := recording(complete, leg{600, 2.5, 164})
	a.Exertion, a.HasExertion = 6, true
	if diff := cmp.Diff(reduce(a), edited(t, a), cmp.AllowUnexported(load.Amounts{})); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestEditedExertion(t *testing.T) {
	a := recording(complete, leg{1200, 2.5, 164}) // 20 min
	a.Exertion, a.HasExertion = 6, true
	for said, want := range map[string]float64{"": 120, "0": 0, "4,5": 90, "10": 200} {
		s := edited(t, a, "exertion", said)
		got, ok := s.Measures.Get(load.Exertion)
		if !ok || load.Exertion.In(got) != want {
			t.Errorf("exertion %q for 20 min: %v AU, %v; want %v", said, load.Exertion.In(got), ok, want)
		}
	}
	if a.Exertion != 6 {
		t.Error("the activity was changed")
	}
	a.HasExertion = false
	s := edited(t, a, "exertion", "5")
	if got, ok := s.Measures.Get(load.Exertion); !ok || load.Exertion.In(got) != 100 {
		t.Errorf("%v AU, %v where the file has none; want 100", load.Exertion.In(got), ok)
	}
}

// 1.3 m/s without a sport is not taken for running; nor is it judged once the
// runner has said what it was.
func TestEditedKindIsNotJudged(t *testing.T) {
	a := recording(onTrack, leg{300, 1.3, 0})
	a.Sport = load.UnknownSport
	wantNotes(t, reduce(a), load.NoteSport)
	for _, kind := range []load.Sport{load.Running, load.Walking, load.Cycling, load.Swimming, load.OtherSport} {
		s := edited(t, a, "kind", kind.String())
		if s.Sport != kind || s.Notes.Has(load.NoteSport) {
			t.Errorf("%v became %v with notes %v", kind, s.Sport, s.Notes)
		}
	}
	if a.Sport != load.UnknownSport || len(a.Notes) != 0 {
		t.Error("the activity was changed")
	}
}

// A typed row of half an hour that becomes a run was run as a whole, and one that
// stops being one not at all; a part that the row names stays.
func TestEditedKindOfARow(t *testing.T) {
	const half, part = 30 * time.Minute, 10 * time.Minute
	tests := []struct {
		name      string
		from      load.Sport
		ran       time.Duration // as typed
		to        string
		run, walk time.Duration
	}{
		{"a walk that was a run", load.Walking, 0, "running", half, 0},
		{"a run that was a walk", load.Running, half, "walking", 0, half},
		{"a ride that was a run", load.Cycling, 0, "running", half, 0},
		{"a run that was a ride", load.Running, half, "cycling", 0, 0},
		{"a run in part", load.Running, part, "walking", part, half - part},
		{"the same again", load.Running, part, "running", part, half - part},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a := &load.Activity{
				Sport: tt.from, Start: sunrise, Totals: load.Totals{Elapsed: half, Distance: 4000},
				Typed: &load.Typed{Day: monday, RunTime: tt.ran},
			}
			s := edited(t, a, "kind", tt.to)
			wantTime(t, "run time", s.RunTime, tt.run.Seconds())
			wantTime(t, "walk time", s.WalkTime, tt.walk.Seconds())
			if a.Typed.RunTime != tt.ran || a.Sport != tt.from {
				t.Error("the activity was changed")
			}
		})
	}
}

func TestEditedRaceAndExclusion(t *testing.T) {
	a := &load.Activity{
		Sport: load.Running, Start: sunrise, Totals: load.Totals{Elapsed: time.Hour, Distance: 10000},
		Typed: &load.Typed{Day: monday, Race: true},
	}
	for said, want := range map[string]bool{"": true, "yes": true, "no": false} {
		if s := edited(t, a, "race", said); s.Race != want || s.Excluded {
			t.Errorf("race %q of a race: %v, want %v", said, s.Race, want)
		}
	}
	a.Typed.Race = false
	if s := edited(t, a, "race", "yes", "excluded", "yes"); !s.Race || !s.Excluded {
		t.Errorf("race %v, excluded %v; want both", s.Race, s.Excluded)
	}
}

// excluded takes the runs of these days out of the load.
func excluded(days ...load.Day) func(*load.Input) {
	return func(in *load.Input) {
		for i := range in.Sessions {
			for _, day := range days {
				in.Sessions[i].Excluded = in.Sessions[i].Excluded || in.Sessions[i].Day == day
			}
		}
	}
}

// 10, 20 and 5 km every other day, the 20 km excluded: 15 km in the week, and the
// longest before the last run is 10 km. The day of the 20 km has a record still.
func TestExcludedMakesNoLoad(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, 10, 0, 20, 0, 5), Today: monday + 4}
	excluded(monday + 2)(in)
	for _, m := range []load.Measure{load.Distance, load.Time} {
		h := load.NewHistory(in, m)
		rows, sessions := h.DayRows(monday, monday+4), h.SessionRows(monday, monday+4)
		perKM := map[load.Measure]float64{load.Distance: 1, load.Time: 6}[m]
		if last := rows[4]; last.Acute != 15*perKM || number(t, "tidemark", last.Tidemark) != 10*perKM {
			t.Errorf("%v: acute %v, tidemark %v; want %v and %v", m, last.Acute, last.Tidemark, 15*perKM, 10*perKM)
		}
		if day := rows[2]; day.Load != 0 || day.State != load.Recorded {
			t.Errorf("%v: %v on a day that is %v, want nothing on a recorded one", m, day.Load, day.State)
		}
		if len(sessions) != 2 {
			t.Errorf("%v: %d rows of sessions, want 2", m, len(sessions))
		}
	}
}

func TestExcludedAlone(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, 10), Today: monday}
	excluded(monday)(in)
	if h := load.NewHistory(in, load.Distance); !h.Empty() || len(h.Triggers()) != 0 {
		t.Error("an excluded run began a history")
	}
}

// The watch's 10 km stand for the phone's 10.5, until the watch's are excluded.
func TestExcludedStandsForNothing(t *testing.T) {
	phone := run(monday, 10.5)
	phone.HasPositions = false
	row := run(monday, 10)
	row.ID, row.Typed, row.NoStart = "row", true, true
	for _, tt := range []struct {
		name                string
		watch, phone, typed bool // excluded
		want                float64
	}{
		{"none", false, false, false, 10},
		{"watch", true, false, false, 10.5},
		{"phone", false, true, false, 10},
		{"watch and phone", true, true, false, 10}, // the row's
		{"typed row", false, false, true, 10},
	} {
		t.Run(tt.name, func(t *testing.T) {
			sessions := append(daily(monday, 10), phone, row)
			sessions[0].Excluded, sessions[1].Excluded, sessions[2].Excluded = tt.watch, tt.phone, tt.typed
			h := load.NewHistory(&load.Input{Sessions: sessions, Today: monday}, load.Distance)
			if got := h.DayRows(monday, monday)[0].Load; got != tt.want {
				t.Errorf("load %v km, want %v", got, tt.want)
			}
		})
	}
	for i, s := range []load.Session{run(monday, 10), phone, row} {
		s.Excluded = true
		sessions := []load.Session{run(monday, 10), phone, row}
		sessions[i] = s
		for id, counts := range load.Doubles(sessions) {
			if id == s.ID || counts == s.ID {
				t.Errorf("%s stands for %s, of which %s is excluded", counts, id, s.ID)
			}
		}
	}
}

// Twelve even weeks and a run of 28.5 km, twice the longest: nothing is said of
// it once it is excluded, and nothing of the data of runs that are.
func TestExcludedIsNotRemarkedOn(t *testing.T) {
	km := append(append([]float64{}, evenWeeks...), 0, 28.5)
	if found := findingsOf(t, nil, 0, km...); len(found) == 0 {
		t.Fatal("nothing was found without the exclusion")
	}
	if found := findingsOf(t, excluded(monday+85), 0, km...); len(found) != 0 {
		t.Errorf("found %+v", found)
	}
	odd := func(in *load.Input) {
		in.Sessions[0].Notes.Add(load.NoteDistance, "device 8.00 km, track 7.10 km")
		in.Sessions[1].Surface = load.Treadmill
		row := run(in.Sessions[2].Day, 8.2)
		row.NoStart, row.Typed = true, true
		in.Sessions = append(in.Sessions, row)
	}
	if found := findingsOf(t, odd, 0, 8, 0, 8, 0, 8, 0, 8); len(found) != 3 {
		t.Fatalf("%d findings without exclusions, want 3", len(found))
	}
	all := func(in *load.Input) {
		odd(in)
		excluded(monday, monday+2, monday+4)(in)
	}
	if found := findingsOf(t, all, 0, 8, 0, 8, 0, 8, 0, 8); len(found) != 0 {
		t.Errorf("found %+v", found)
	}
}
