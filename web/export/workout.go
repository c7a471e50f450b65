package export

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/tormoder/fit"

	"tidemark/load"
)

// StepKind says what is done in a step of a workout.
type StepKind uint8

// The kinds of step. WarmUp and CoolDown are walked.
const (
	Run StepKind = iota + 1
	Walk
	WarmUp
	CoolDown
)

// stepKinds gives what a watch shows of a kind and its intensity in the FIT
// profile; zero is no kind.
var stepKinds = [...]struct {
	name      string
	intensity fit.Intensity
}{
	Run:      {"Run", fit.IntensityActive},
	Walk:     {"Walk", fit.IntensityRest},
	WarmUp:   {"Warm-up walk", fit.IntensityWarmup},
	CoolDown: {"Cool-down walk", fit.IntensityCooldown},
}

// Step is one part of a workout. It lasts for a time or a distance, of which
// exactly one is above zero.
type Step struct {
	Kind     StepKind
	Name     string        // what the watch shows; empty: that of the kind
	Time     time.Duration // 1 s to 24 h, to the millisecond
	Distance load.Metres   // 10 m to 500 km, to the centimetre
}

// Block is steps that are done in order, and again from the first where Times is
// 2 to 99. Zero Times is once.
type Block struct {
	Times int
	Steps []Step
}

// Workout is a session that a watch leads through, as minutes of running between
// minutes of walking.
type Workout struct {
	Name    string
	Created load.Instant // by it, to the second, a watch tells workouts apart; before 2000 it is left out
	Blocks  []Block
}

// Errors of workouts that no watch takes. They come wrapped with what is wrong.
var (
	ErrSteps = errors.New("a workout has 1 to 50 steps, and each repetition is one more")
	ErrStep  = errors.New("a step runs or walks, for 1 s to 24 h or for 10 m to 500 km")
	ErrTimes = errors.New("steps are repeated 2 to 99 times")
)

// What watches take.
const (
	mostSteps = 50 // common practice, no source
	mostTimes = 99 // project default, as the bounds of a step

	shortestStep, longestStep = time.Second, 24 * time.Hour
	nearestStep, farthestStep = 10, 500_000 // metres

	// firstCreated is 2000-01-01. The time of FIT begins in 1989, and its first years
	// mean seconds since a device was started (value from memory).
	firstCreated load.Instant = 946_684_800_000

	// nameBytes is what the writer gives a name: 16 with the zero at the end
	// (field lengths of github.com/tormoder/fit v0.15.0).
	nameBytes = 15
)

// FIT writes a workout as a FIT workout file, for the watch to be put on. Names
// that are too long for their field are cut between two characters, to 15 bytes.
// The order of the fields in the file is not always the same; what they say is.
//
// A workout out of bounds is ErrSteps, ErrStep or ErrTimes, and then nothing is
// written.
func FIT(w io.Writer, workout *Workout) error {
	steps, err := workout.steps()
	if err != nil {
		return fmt.Errorf("write workout: %w", err)
	}
	file, err := fit.NewFile(fit.FileTypeWorkout, fit.NewHeader(fit.V10, true))
	if err != nil {
		return fmt.Errorf("write workout: %w", err)
	}
	id := fit.NewFileIdMsg()
	id.Type, id.Manufacturer, id.Product = fit.FileTypeWorkout, fit.ManufacturerDevelopment, 0
	id.SerialNumber = 1
	if workout.Created >= firstCreated {
		id.TimeCreated = workout.Created.Time()
	}
	file.FileId = *id
	content, err := file.Workout()
	if err != nil {
		return fmt.Errorf("write workout: %w", err)
	}
	content.Workout, content.WorkoutSteps = fit.NewWorkoutMsg(), steps
	content.Workout.Sport = fit.SportRunning
	content.Workout.NumValidSteps = uint16(len(steps))
	content.Workout.WktName = fitting(workout.Name)
	if err := fit.Encode(w, file, binary.LittleEndian); err != nil {
		return fmt.Errorf("write workout: %w", err)
	}
	return nil
}

// steps lays the blocks out one after the other. After a block that is repeated
// comes a step that leads back to its first.
func (workout *Workout) steps() (out []*fit.WorkoutStepMsg, err error) {
	add := func(m *fit.WorkoutStepMsg) {
		m.MessageIndex = fit.MessageIndex(len(out))
		m.TargetType = fit.WktStepTargetOpen
		out = append(out, m)
	}
	for i, b := range workout.Blocks {
		if b.Times < 0 || b.Times > mostTimes {
			return nil, fmt.Errorf("block %d, %d times: %w", i+1, b.Times, ErrTimes)
		}
		if len(out)+len(b.Steps) > mostSteps {
			return nil, fmt.Errorf("up to block %d, %d steps: %w", i+1, len(out)+len(b.Steps), ErrSteps)
		}
		first := len(out)
		for k := range b.Steps {
			m, err := b.Steps[k].message()
			if err != nil {
				return nil, fmt.Errorf("block %d, step %d: %w", i+1, k+1, err)
			}
			add(m)
		}
		if b.Times > 1 && len(b.Steps) > 0 {
			add(repeat(first, b.Times))
		}
	}
	if len(out) == 0 || len(out) > mostSteps {
		return nil, fmt.Errorf("%d steps: %w", len(out), ErrSteps)
	}
	return out, nil
}

// message returns the step without its place in the workout.
func (s *Step) message() (*fit.WorkoutStepMsg, error) {
	m := fit.NewWorkoutStepMsg()
	if s.Kind < Run || s.Kind > CoolDown {
		return nil, fmt.Errorf("kind %d: %w", s.Kind, ErrStep)
	}
	timed := s.Distance == 0 && s.Time >= shortestStep && s.Time <= longestStep
	measured := s.Time == 0 && s.Distance >= nearestStep && s.Distance <= farthestStep
	switch {
	case timed:
		m.DurationType, m.DurationValue = fit.WktStepDurationTime, uint32(s.Time.Milliseconds())
	case measured:
		m.DurationType, m.DurationValue = fit.WktStepDurationDistance, uint32(math.Round(float64(s.Distance)*100))
	default:
		return nil, fmt.Errorf("%v or %g m: %w", s.Time, float64(s.Distance), ErrStep)
	}
	kind := stepKinds[s.Kind]
	m.Intensity = kind.intensity
	if m.WktStepName = fitting(s.Name); m.WktStepName == "" {
		m.WktStepName = kind.name
	}
	return m, nil
}

// repeat leads back to the step at first, until its block was done so many times.
func repeat(first, times int) *fit.WorkoutStepMsg {
	m := fit.NewWorkoutStepMsg()
	m.DurationType, m.DurationValue = fit.WktStepDurationRepeatUntilStepsCmplt, uint32(first)
	m.TargetValue = uint32(times)
	return m
}

// fitting returns a name as its field takes it: one line of UTF-8 that is cut
// between two characters.
func fitting(name string) string {
	name = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(name, ""))
	name = strings.TrimSpace(name)
	if len(name) <= nameBytes {
		return name
	}
	end := nameBytes
	for !utf8.RuneStart(name[end]) {
		end--
	}
	return strings.TrimSpace(name[:end])
}
