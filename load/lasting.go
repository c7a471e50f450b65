package load

import (
	"fmt"
	"time"
)

// Lasting writes a length of time as it is read aloud: 40 s, 25 min 30 s, 2 h 5
// min. Seconds are whole, and left out from an hour on.
func Lasting(d time.Duration) string {
	s := int(d.Round(time.Second) / time.Second)
	hours, minutes, seconds := s/3600, s/60%60, s%60
	switch {
	case hours > 0 && minutes > 0:
		return fmt.Sprintf("%d h %d min", hours, minutes)
	case hours > 0:
		return fmt.Sprintf("%d h", hours)
	case minutes > 0 && seconds > 0:
		return fmt.Sprintf("%d min %d s", minutes, seconds)
	case minutes > 0:
		return fmt.Sprintf("%d min", minutes)
	}
	return fmt.Sprintf("%d s", seconds)
}

// counted writes a number with its noun.
func counted(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}
