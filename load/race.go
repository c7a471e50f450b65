package load

import (
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// PlannedRace is a race that somebody has accepted for a day: its length makes no
// warning, and the headroom of the day is the race's own.
type PlannedRace struct {
	Day      Day
	Name     string
	Distance Amount // in Distance; zero: not said
	By       string // who accepted it
}

// The bounds of a planned race; project defaults.
const (
	mostRaceKM   = 500
	mostRaceName = 100 // characters
)

// Check reports why r cannot be a race.
func (r PlannedRace) Check() error {
	switch {
	case r.Day < Date(2000, time.January, 1) || r.Day > Date(2100, time.December, 31):
		return fmt.Errorf("a race on %v: want a day of this century", r.Day)
	case r.Distance < 0 || r.Distance > Distance.Of(mostRaceKM):
		return fmt.Errorf("a race of %g km: want up to %d", Distance.In(r.Distance), mostRaceKM)
	case !utf8.ValidString(r.Name) || utf8.RuneCountInString(r.Name) > mostRaceName:
		return fmt.Errorf("the name is longer than %d characters", mostRaceName)
	case strings.ContainsFunc(r.Name, unicode.IsControl):
		return errors.New("the name holds control characters")
	}
	return nil
}

// raceOn returns the race that is planned for a day.
func (in *Input) raceOn(day Day) (race PlannedRace, ok bool) {
	for _, r := range in.Races {
		if r.Day == day {
			return r, true
		}
	}
	return race, false
}
