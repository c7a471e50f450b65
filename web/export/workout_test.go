package export_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"github.com/muktihari/fit/decoder"
	"github.com/muktihari/fit/profile/filedef"
	"github.com/muktihari/fit/profile/typedef"

	"tidemark/load"
	"tidemark/web/export"
)

// step is a step of a workout file as another reader tells it.
type step struct {
	Index     int
	Name      string
	Lasts     string // the profile's word for what its value is
	Value     uint32 // ms, cm, or the step to go back to
	Intensity string
	Target    string
	Times     uint32 // of a repetition
}

// read decodes a workout file with github.com/muktihari/fit v0.28.3, checksums
// included.
func read(t *testing.T, data []byte) *filedef.Workout {
	t.Helper()
	if n, err := decoder.New(bytes.NewReader(data)).CheckIntegrity(); err != nil || n != 1 {
		t.Fatalf("%d whole files, %v; want 1", n, err)
	}
	file, err := decoder.New(bytes.NewReader(data)).Decode()
	if err != nil {
		t.Fatal(err)
	}
	return filedef.NewWorkout(file.Messages...)
}

func stepsOf(w *filedef.Workout) (out []step) {
	for _, m := range w.WorkoutSteps {
		s := step{
			Index: int(m.MessageIndex), Name: m.WktStepName, Lasts: m.DurationType.String(), Value: m.DurationValue,
			Intensity: m.Intensity.String(), Target: m.TargetType.String(),
		}
		if m.TargetValue != math.MaxUint32 { // not given
			s.Times = m.TargetValue
		}
		out = append(out, s)
	}
	return out
}

func encoded(t *testing.T, w *export.Workout) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := export.FIT(&out, w); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// walkRun is a first session after weeks without: a walk, five times three minutes
// of running and two of walking, a kilometre of running, a walk.
func walkRun() *export.Workout {
	return &export.Workout{
		Name: "Back, week 1", Created: sunrise,
		Blocks: []export.Block{
			{Steps: []export.Step{{Kind: export.WarmUp, Time: 5 * time.Minute}}},
			{Times: 5, Steps: []export.Step{
				{Kind: export.Run, Time: 3 * time.Minute, Name: "Easy"},
				{Kind: export.Walk, Time: 2*time.Minute + 500*time.Millisecond},
			}},
			{Times: 1, Steps: []export.Step{{Kind: export.Run, Distance: 1000.25}}},
			{Steps: []export.Step{{Kind: export.CoolDown, Time: 10 * time.Minute}}},
		},
	}
}

// The FIT profile (value from memory): durations are thousandths of a second or
// hundredths of a metre, a repetition names the step that it begins with.
func TestFITWorkout(t *testing.T) {
	// The order of the fields is not always the same, so that once is not enough.
	for range 10 {
		w := read(t, encoded(t, walkRun()))
		want := []step{
			{0, "Warm-up walk", "time", 300_000, "warmup", "open", 0},
			{1, "Easy", "time", 180_000, "active", "open", 0},
			{2, "Walk", "time", 120_500, "rest", "open", 0},
			{3, "", "repeat_until_steps_cmplt", 1, "invalid", "open", 5},
			{4, "Run", "distance", 100_025, "active", "open", 0},
			{5, "Cool-down walk", "time", 600_000, "cooldown", "open", 0},
		}
		got := stepsOf(w)
		for i := range got {
			if strings.HasPrefix(got[i].Intensity, "IntensityInvalid") {
				got[i].Intensity = "invalid"
			}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("steps (-want +got):\n%s", diff)
		}
		if w.FileId.Type != typedef.FileWorkout || !w.FileId.TimeCreated.Equal(sunrise.Time()) || w.FileId.Manufacturer != typedef.ManufacturerDevelopment {
			t.Errorf("file_id %+v", w.FileId)
		}
		if w.Workout.WktName != "Back, week 1" || w.Workout.Sport != typedef.SportRunning || w.Workout.NumValidSteps != 6 {
			t.Errorf("workout %+v", w.Workout)
		}
	}
}

// A machine whose clock was never set writes a workout all the same.
func TestFITWithoutClock(t *testing.T) {
	w := walkRun()
	w.Created = 0
	if got := read(t, encoded(t, w)); !got.FileId.TimeCreated.IsZero() || len(got.WorkoutSteps) != 6 {
		t.Errorf("created %v, %d steps", got.FileId.TimeCreated, len(got.WorkoutSteps))
	}
}

// A changed byte anywhere after the header is noticed by the checksum.
func TestFITChecksum(t *testing.T) {
	data := encoded(t, walkRun())
	for i := 14; i < len(data); i++ {
		damaged := bytes.Clone(data)
		damaged[i] ^= 0x01
		if _, err := decoder.New(bytes.NewReader(damaged)).CheckIntegrity(); err == nil {
			t.Fatalf("byte %d was changed and nobody noticed", i)
		}
	}
}

// The field holds 16 bytes with the zero at its end, and no half of a character.
func TestFITNames(t *testing.T) {
	tests := []struct{ name, given, want string }{
		{"as long as the field", "123456789012345", "123456789012345"},
		{"one longer", "1234567890123456", "123456789012345"},
		{"two bytes each", "øøøøøøøøø", "øøøøøøø"},
		{"three bytes each", "山山山山山山", "山山山山山"},
		{"three bytes, off by one", "x山山山山山", "x山山山山"},
		{"four bytes each", "🏃🏃🏃🏃", "🏃🏃🏃"},
		{"Cyrillic", "Бег и ходьба", "Бег и хо"},
		{"Arabic", "مشي وجري خفيف", "مشي وجري"},
		{"a blank where it is cut", "Long easy walk and run", "Long easy walk"},
		{"control characters", "a\x00b\nc", "abc"},
		{"not UTF-8", "a\xffb", "ab"},
		{"blanks around it", "  run  ", "run"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := walkRun()
			w.Name, w.Blocks[1].Steps[0].Name = tt.given, tt.given
			got := read(t, encoded(t, w))
			if got.Workout.WktName != tt.want || got.WorkoutSteps[1].WktStepName != tt.want {
				t.Errorf("workout %q, step %q, want %q", got.Workout.WktName, got.WorkoutSteps[1].WktStepName, tt.want)
			}
		})
	}
}

// minutes is so many steps of a minute.
func minutes(n int) (out []export.Step) {
	for range n {
		out = append(out, export.Step{Kind: export.Run, Time: time.Minute})
	}
	return out
}

func TestFITBounds(t *testing.T) {
	one := func(s export.Step) []export.Block { return []export.Block{{Steps: []export.Step{s}}} }
	tests := []struct {
		name   string
		blocks []export.Block
		want   error
	}{
		{"50 steps", []export.Block{{Steps: minutes(50)}}, nil},
		{"49 and a repetition", []export.Block{{Steps: minutes(40)}, {Times: 2, Steps: minutes(9)}}, nil},
		{"as often as can be", []export.Block{{Times: 99, Steps: minutes(2)}}, nil},
		{"a second", one(export.Step{Kind: export.Walk, Time: time.Second}), nil},
		{"a day", one(export.Step{Kind: export.Walk, Time: 24 * time.Hour}), nil},
		{"10 m", one(export.Step{Kind: export.Run, Distance: 10}), nil},
		{"500 km", one(export.Step{Kind: export.Run, Distance: 500_000}), nil},

		{"no block", nil, export.ErrSteps},
		{"no step", []export.Block{{Times: 5}}, export.ErrSteps},
		{"51 steps", []export.Block{{Steps: minutes(51)}}, export.ErrSteps},
		{"51 in two blocks", []export.Block{{Steps: minutes(26)}, {Steps: minutes(25)}}, export.ErrSteps},
		{"50 and a repetition", []export.Block{{Steps: minutes(40)}, {Times: 2, Steps: minutes(10)}}, export.ErrSteps},
		{"too often", []export.Block{{Times: 100, Steps: minutes(2)}}, export.ErrTimes},
		{"less than not at all", []export.Block{{Times: -1, Steps: minutes(2)}}, export.ErrTimes},
		{"no kind", one(export.Step{Time: time.Minute}), export.ErrStep},
		{"a kind that is none", one(export.Step{Kind: export.CoolDown + 1, Time: time.Minute}), export.ErrStep},
		{"no length", one(export.Step{Kind: export.Run}), export.ErrStep},
		{"two lengths", one(export.Step{Kind: export.Run, Time: time.Minute, Distance: 100}), export.ErrStep},
		{"too short", one(export.Step{Kind: export.Run, Time: 999 * time.Millisecond}), export.ErrStep},
		{"backwards", one(export.Step{Kind: export.Run, Time: -time.Minute}), export.ErrStep},
		{"more than a day", one(export.Step{Kind: export.Run, Time: 24*time.Hour + 1}), export.ErrStep},
		{"too near", one(export.Step{Kind: export.Run, Distance: 9.99}), export.ErrStep},
		{"too far", one(export.Step{Kind: export.Run, Distance: 500_001}), export.ErrStep},
		{"not a number", one(export.Step{Kind: export.Run, Distance: load.Metres(math.NaN())}), export.ErrStep},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var out bytes.Buffer
			err := export.FIT(&out, &export.Workout{Name: "Bounds", Created: sunrise, Blocks: tt.blocks})
			if !errors.Is(err, tt.want) {
				t.Errorf("error %v, want %v", err, tt.want)
			}
			if tt.want != nil && out.Len() > 0 {
				t.Errorf("%d bytes were written", out.Len())
			}
			if tt.want == nil {
				read(t, out.Bytes())
			}
		})
	}
}

// FuzzFIT gives workouts any name and length: what is written can be read, with a
// name that is the beginning of what was given.
func FuzzFIT(f *testing.F) {
	f.Add("Back, week 1", int64(180_000), 0.0, 5)
	f.Add("øøøøøøøøø", int64(0), 400.0, 1)
	f.Add("\xff\x00", int64(1), 1e300, -7)
	f.Fuzz(func(t *testing.T, name string, millis int64, metres float64, times int) {
		w := export.Workout{Name: name, Created: sunrise, Blocks: []export.Block{{
			Times: times, Steps: []export.Step{{Kind: export.Run, Time: time.Duration(millis) * time.Millisecond, Distance: load.Metres(metres)}},
		}}}
		var out bytes.Buffer
		if err := export.FIT(&out, &w); err != nil {
			if out.Len() > 0 {
				t.Errorf("%d bytes were written with %v", out.Len(), err)
			}
			return
		}
		got := read(t, out.Bytes())
		if n := got.Workout.WktName; len(n) > 15 || !utf8.ValidString(n) {
			t.Errorf("the name is %q", n)
		}
		m := got.WorkoutSteps[0]
		if millis > 0 && int64(m.DurationValue) != millis || millis == 0 && math.Abs(float64(m.DurationValue)/100-metres) > 0.0051 {
			t.Errorf("%d of %v, want %d ms or %g m", m.DurationValue, m.DurationType, millis, metres)
		}
		if want := 1 + min(1, times/2); len(got.WorkoutSteps) != want {
			t.Errorf("%d steps, want %d", len(got.WorkoutSteps), want)
		}
	})
}

func ExampleFIT() {
	session := export.Workout{
		Name:    "Back to running",
		Created: load.InstantOf(time.Date(2026, time.March, 2, 7, 0, 0, 0, time.UTC)),
		Blocks: []export.Block{
			{Steps: []export.Step{{Kind: export.WarmUp, Time: 5 * time.Minute}}},
			{Times: 6, Steps: []export.Step{{Kind: export.Run, Time: time.Minute}, {Kind: export.Walk, Time: 2 * time.Minute}}},
		},
	}
	var file bytes.Buffer
	fmt.Println(export.FIT(&file, &session), file.Len() > 0)
	session.Blocks[1].Times = 100
	fmt.Println(export.FIT(&file, &session))
	// Output:
	// <nil> true
	// write workout: block 2, 100 times: steps are repeated 2 to 99 times
}
