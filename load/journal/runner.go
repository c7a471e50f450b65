package journal

import (
	"crypto/rand"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"tidemark/load"
)

// RunnerID names a runner in addresses: 13 lower-case letters and digits,
// random, never reused.
type RunnerID string

// Runner is one person who runs.
type Runner struct {
	ID       RunnerID
	Name     string   // unique in the journal, NFC, 1 to 200 characters
	Home     string   // IANA name of the home time zone
	FirstUse load.Day // findings dated before it are history
	Revision int64    // rises by one with every write about the runner
}

// Today returns the civil date of the instant in the runner's home zone. It is
// an error if this machine does not know the zone.
func (r Runner) Today(at load.Instant) (load.Day, error) {
	zone, err := r.zone()
	if err != nil {
		return 0, err
	}
	return load.DayOf(at.Time().In(zone)), nil
}

func (r Runner) zone() (*time.Location, error) {
	if zone, ok := zones.Load(r.Home); ok {
		return zone.(*time.Location), nil
	}
	zone, err := time.LoadLocation(r.Home)
	if err != nil {
		return nil, fmt.Errorf("load home zone of runner %s: %w", r.ID, err)
	}
	zones.Store(r.Home, zone)
	return zone, nil
}

// zones are those of runners, by name: a list asks for the same few again and again, and each
// is read from a file.
var zones sync.Map

// RunnerTx keeps runners.
type RunnerTx interface {
	AddRunner(Runner) error // ErrConflict: the ID or the name is taken
	Runner(RunnerID) (Runner, error)
	RunnerNamed(name string) (Runner, error)
	Runners() ([]Runner, error) // in no order
	// Settle gives the runner a home zone and a first use in the place of those before.
	Settle(id RunnerID, home string, firstUse load.Day) error
	// Touch raises the runner's revision by one and returns the new one.
	Touch(RunnerID) (int64, error)
}

const maxName = 200 // characters; project default

func newRunner(name, home string, firstUse load.Day) (Runner, error) {
	name = cleanName(name)
	if err := checkName(name); err != nil {
		return Runner{}, fmt.Errorf("add runner: %w", err)
	}
	if home == "" || home == "Local" {
		return Runner{}, fmt.Errorf("add runner %q: home zone %q is not the IANA name of a zone", name, home)
	}
	if _, err := time.LoadLocation(home); err != nil {
		return Runner{}, fmt.Errorf("add runner %q: load home zone: %w", name, err)
	}
	id := RunnerID(strings.ToLower(rand.Text()[:13]))
	return Runner{ID: id, Name: name, Home: home, FirstUse: firstUse, Revision: 1}, nil
}

func cleanName(name string) string { return norm.NFC.String(strings.TrimSpace(name)) }

// CheckName reports why a name of a runner or an account cannot be.
func CheckName(name string) error { return checkName(cleanName(name)) }

func checkName(name string) error {
	switch {
	case name == "":
		return errors.New("the name is empty")
	case !utf8.ValidString(name):
		return errors.New("the name is not UTF-8")
	case utf8.RuneCountInString(name) > maxName:
		return fmt.Errorf("the name is longer than %d characters", maxName)
	case strings.ContainsFunc(name, unicode.IsControl):
		return errors.New("the name holds control characters")
	}
	return nil
}
