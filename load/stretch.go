package load

import (
	"cmp"
	"slices"
	"time"
)

// millis is a length of time in milliseconds, the grain of Instant.
type millis int64

func (m millis) seconds() float64        { return float64(m) / 1000 }
func (m millis) duration() time.Duration { return time.Duration(m) * time.Millisecond }

// unknown stands for a length or speed that nothing in the file tells.
const unknown = -1

// stretch is what lies between two samples that follow each other.
type stretch struct {
	awake   millis  // while the device's timer ran
	track   Metres  // by positions, or unknown
	device  Metres  // by the device's count, or unknown
	speed   Speed   // over the awake time, or unknown
	cadence Cadence // of both feet, or unknown
	own     band    // of its speed
	band    band    // of the median speed around
	moving  bool
	running bool // while moving: not walking
	carried bool // left out: no movement on foot
}

// move returns the time of the stretch that counts as moving.
func (s *stretch) move() millis {
	if s.moving {
		return s.awake
	}
	return 0
}

// stretches lays out the time between samples, less the device's pauses.
func stretches(samples []Sample, pauses []Span) []stretch {
	out := make([]stretch, len(samples)-1)
	for k := range out {
		s := &out[k]
		s.awake = millis(samples[k+1].At - samples[k].At)
		s.track, s.device, s.speed, s.cadence = unknown, unknown, unknown, unknown
	}
	k := 0
	for _, pause := range pauses {
		for ; k < len(out) && samples[k+1].At <= pause.From; k++ {
		}
		for i := k; i < len(out) && samples[i].At < pause.To; i++ {
			out[i].awake -= overlap(pause, Span{samples[i].At, samples[i+1].At})
		}
	}
	return out
}

// overlap returns the time that two spans share.
func overlap(a, b Span) millis {
	return millis(max(0, min(a.To, b.To)-max(a.From, b.From)))
}

// merged returns spans in order and without overlaps, empty and inverted ones
// left out.
func merged(spans []Span) []Span {
	var out []Span
	for _, s := range slices.SortedFunc(slices.Values(spans), byFrom) {
		switch last := len(out) - 1; {
		case s.To <= s.From:
		case last >= 0 && s.From <= out[last].To:
			out[last].To = max(out[last].To, s.To)
		default:
			out = append(out, s)
		}
	}
	return out
}

func byFrom(a, b Span) int { return cmp.Compare(a.From, b.From) }

// awake returns how long the timer ran between two samples.
func awake(parts []stretch) (total millis) {
	for k := range parts {
		total += parts[k].awake
	}
	return total
}

// spread hands a length known only from end to end to the stretches between,
// in proportion to the time the timer ran. put stores one share.
func spread(parts []stretch, length Metres, put func(*stretch, Metres)) {
	total := awake(parts)
	for k := range parts {
		share := 1 / float64(len(parts))
		if total > 0 {
			share = parts[k].awake.seconds() / total.seconds()
		}
		put(&parts[k], length*Metres(share))
	}
}

// median returns the middle value, of an even number the mean of the two in the
// middle. It sorts values; ok is false where there are none.
func median(values []float64) (m float64, ok bool) {
	n := len(values)
	if n == 0 {
		return 0, false
	}
	slices.Sort(values)
	return (values[(n-1)/2] + values[n/2]) / 2, true
}
