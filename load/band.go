package load

// paceWindow is the length in ms of the window of the median speed; project default.
const paceWindow = 5000

// band is a range of speed, wide enough for the machines to vote by.
type band uint8

const (
	noPace band = iota // nobody knows
	still              // below 0.5 m/s
	slow               // up to 1.0 m/s
	walk               // below 2.0 m/s
	fast
	bands
)

func bandOf(v Speed) band {
	switch {
	case v < 0:
		return noPace
	case v < stillSpeed:
		return still
	case v <= goSpeed:
		return slow
	case v < walkSpeed:
		return walk
	}
	return fast
}

// setBands gives each stretch the band of the median speed of those stretches
// whose middles lie within 2.5 s of its own; of an even number the faster of the
// two in the middle.
func setBands(samples []Sample, parts []stretch) {
	var counts [bands]int
	twiceMiddle := func(k int) Instant { return samples[k].At + samples[k+1].At }
	first, next := 0, 0
	for k := range parts {
		at := twiceMiddle(k)
		for ; next < len(parts) && twiceMiddle(next)-at <= paceWindow; next++ {
			parts[next].own = bandOf(parts[next].speed)
			counts[parts[next].own]++
		}
		for ; at-twiceMiddle(first) > paceWindow; first++ {
			counts[parts[first].own]--
		}
		known := next - first - counts[noPace]
		if own := parts[k].own; own != noPace && 2*counts[own] > known {
			parts[k].band = own
			continue
		}
		parts[k].band = middleBand(&counts, known)
	}
}

// middleBand returns the band that the median of known values falls in.
func middleBand(counts *[bands]int, known int) band {
	if known == 0 {
		return noPace
	}
	seen := 0
	for b := still; b < fast; b++ {
		if seen += counts[b]; 2*seen > known {
			return b
		}
	}
	return fast
}
