package load

import (
	"fmt"
	"slices"
)

// Sport is what a recording is of. Only running makes running load; the rest is
// kept and shown.
type Sport uint8

// The sports, in the order of their names below.
const (
	UnknownSport Sport = iota
	Running
	Walking
	Cycling
	Swimming
	OtherSport
)

var sportNames = [...]string{"unknown", "running", "walking", "cycling", "swimming", "other"}

func (s Sport) String() string { return sportNames[s] }

// MarshalText returns the sport's name.
func (s Sport) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// ParseSport is the inverse of String.
func ParseSport(name string) (Sport, error) {
	if i := slices.Index(sportNames[:], name); i >= 0 {
		return Sport(i), nil
	}
	return UnknownSport, fmt.Errorf("read sport %q: want one of %v", name, sportNames)
}

// Surface is what was run on, as far as the file or the runner said. The empty
// Surface is "not said".
type Surface string

// The surfaces. On a treadmill the watch only estimates the distance.
const (
	Road      Surface = "road"
	Trail     Surface = "trail"
	Oval      Surface = "track"
	Treadmill Surface = "treadmill"
)
