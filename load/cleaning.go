package load

// KeptPositions reports for each sample of an activity whether it has a position
// that the cleaning of its track kept. Positions on a treadmill measure nothing,
// and none is kept. sport is that of the session.
func KeptPositions(a *Activity, sport Sport) []bool {
	kept := make([]bool, len(a.Samples))
	if len(a.Samples) > 1 && a.Surface != Treadmill {
		trackOf(a.Samples, stretches(a.Samples, merged(a.Pauses)), limitsOf(sport).track, kept)
	}
	return kept
}

// Raw is what the positions of an activity say before any cleaning.
type Raw struct {
	Positions int
	Track     Metres // from each position to the next, whatever lies between
	Fastest   Speed  // of those steps
}

// RawOf measures an activity as it was recorded, so that what the cleaning did can
// be shown.
func RawOf(a *Activity) Raw {
	var raw Raw
	var m metric
	last := -1
	for i := range a.Samples {
		if a.Samples[i].Has&HasPosition == 0 {
			continue
		}
		if raw.Positions++; last < 0 {
			m, last = metricAt(float64(a.Samples[i].Position.Lat)), i
			continue
		}
		length := m.between(a.Samples[last].Position, a.Samples[i].Position)
		raw.Track += length
		raw.Fastest = max(raw.Fastest, Speed(float64(length)*1000/float64(a.Samples[i].At-a.Samples[last].At)))
		last = i
	}
	return raw
}
