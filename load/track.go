package load

// Limits on what a recording may claim, in metres per second.
const (
	// maxFootSpeed is above the fastest sprint, about 12.4 (value from memory).
	maxFootSpeed = 12.5
	// maxCountSpeed bounds the device's own count on foot; project default.
	maxCountSpeed = 12.0
	// maxOtherSpeed bounds both for what may have wheels; project default.
	maxOtherSpeed = 40.0
	// maxSpeedUp is in m/s per second; project default. Whoever stops dead is
	// believed, so that the position after a bad one is.
	maxSpeedUp = 10.0
)

// Track cleaning; all project defaults.
const (
	jumpDrops     = 5      // positions dropped in a row before the new place is believed
	longGap       = 10_000 // ms between positions that a straight line may not bridge unasked
	gapFactor     = 1.3    // times the speed around it that a gap may imply
	neighbourhood = 60_000 // ms before and after a gap that "around" means
	brokenGap     = 60_000 // ms of one segment, or
	brokenLength  = 200    // metres of one, or
	brokenShare   = 0.9    // of the samples with a position below which a track does not judge the device
)

// limits are the highest speeds believed of positions and of the device's count.
type limits struct{ track, count float64 }

func limitsOf(sport Sport) limits {
	switch sport {
	case Running, Walking, Swimming:
		return limits{maxFootSpeed, maxCountSpeed}
	}
	return limits{maxOtherSpeed, maxOtherSpeed}
}

// track is the sum over an activity's cleaned positions.
type track struct {
	total   Metres
	points  int  // positions kept
	dropped int  // positions left out
	jumps   int  // new places believed, without the way there
	open    int  // gaps whose straight line was not counted
	broken  bool // too incomplete to judge the device by

	samples []Sample
	parts   []stretch
	bridges []bridge
}

// bridge is a segment over a long gap, from sample to sample.
type bridge struct {
	from, to int
	length   Metres
	time     millis
}

// trackOf cleans the positions of samples, adds up what is left and stores in
// parts how much of it belongs to each stretch.
//
// A position that asks for more than top m/s from the last one kept, or for more
// than 10 m/s more within a second, is dropped; after five in a row the next is
// believed and the way there is not. Nothing is added while the device paused. A gap of more than 10 s counts as a straight
// line if the speed it implies is at most 1.3 times that of the minutes around,
// and for a gap of more than five minutes at least half of it.
//
// Where kept is not nil, it is told which samples have a position that was kept.
func trackOf(samples []Sample, parts []stretch, top float64, kept []bool) track {
	t := track{samples: samples, parts: parts}
	var m metric
	last, row, speed := -1, 0, top
	for i := range samples {
		if samples[i].Has&HasPosition == 0 {
			continue
		}
		if last < 0 {
			m, last = metricAt(float64(samples[i].Position.Lat)), i
			t.keep(i, kept)
			continue
		}
		length := m.between(samples[last].Position, samples[i].Position)
		time := float64(samples[i].At-samples[last].At) * 0.001
		now := float64(length) / time
		if now > top || now-speed > maxSpeedUp*max(1, time) {
			t.dropped++
			if row++; row <= jumpDrops {
				continue
			}
			t.dropped--
			t.jumps++
			now = top
		} else {
			t.join(last, i, length)
		}
		last, row, speed = i, 0, now
		t.keep(i, kept)
	}
	t.settleBridges()
	t.broken = t.broken || t.jumps > 0 || t.open > 0 || float64(t.points) < brokenShare*float64(len(samples))
	return t
}

// keep counts a position that is believed.
func (t *track) keep(i int, kept []bool) {
	t.points++
	if kept != nil {
		kept[i] = true
	}
}

// join adds the segment between two kept positions.
func (t *track) join(from, to int, length Metres) {
	span, up := millis(t.samples[to].At-t.samples[from].At), awake(t.parts[from:to])
	switch {
	case 2*up <= span:
		t.put(from, to, 0)
	case up > longGap:
		t.bridges = append(t.bridges, bridge{from, to, length, up})
		t.put(from, to, length)
	default:
		t.broken = t.broken || length > brokenLength
		t.total += length
		t.put(from, to, length)
	}
}

func (t *track) put(from, to int, length Metres) {
	if to == from+1 {
		t.parts[from].track = length
		return
	}
	spread(t.parts[from:to], length, func(s *stretch, share Metres) { s.track = share })
}

// settleBridges counts those gaps whose straight line is believed, and makes the
// others unknown once all are judged.
func (t *track) settleBridges() {
	if len(t.bridges) == 0 {
		return
	}
	usual, known := paceOf(t.parts, (*stretch).trackSpeed)
	var refused []bridge
	for _, b := range t.bridges {
		t.broken = t.broken || b.time > brokenGap || b.length > brokenLength
		top, ok := t.around(b)
		if !ok {
			top, ok = usual, known
		}
		if ok && !b.believed(top) && !t.confirmed(b) {
			refused = append(refused, b)
			continue
		}
		t.total += b.length
	}
	for _, b := range refused {
		for k := b.from; k < b.to; k++ {
			t.parts[k].track = unknown
		}
	}
	t.open = len(refused)
}

// believed compares a gap with the speed of movement around it in m/s. Too fast
// is no straight run; too slow for more than five minutes is a long stop, and
// whoever went elsewhere in it did not run there.
func (b *bridge) believed(around float64) bool {
	v := float64(b.length) / b.time.seconds()
	return v <= gapFactor*around && (b.time <= longStop || v >= gapLow*around)
}

// confirmed reports whether the device counted a gap's straight line too. One of
// another unit never does, so this takes no side on which of the two is right.
func (t *track) confirmed(b bridge) bool {
	var device Metres
	for _, s := range t.parts[b.from:b.to] {
		if s.device < 0 {
			return false
		}
		device += s.device
	}
	return device > 0 && agree(device, b.length)
}

// around returns the median speed of movement on the track in the minutes before
// and after a gap.
func (t *track) around(b bridge) (float64, bool) {
	first, last := b.from, b.to
	for first > 0 && t.samples[b.from].At-t.samples[first].At < neighbourhood {
		first--
	}
	for last < len(t.parts) && t.samples[last].At-t.samples[b.to].At < neighbourhood {
		last++
	}
	var p paces
	p.addAll(t.parts[first:b.from], (*stretch).trackSpeed)
	p.addAll(t.parts[b.to:last], (*stretch).trackSpeed)
	return p.median()
}
