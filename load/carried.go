package load

// Who is carried goes faster than runners do, for longer, and without steps: a
// watch that was not stopped before the way home. Project defaults but for the
// first two, which are the load reference's.
const (
	carriedSpeed = 7.0     // m/s
	carriedHold  = 20_000  // ms above it without running steps
	carriedBlind = 120_000 // ms above it where the recording has no cadence at all
)

// carriage is what of an activity was no movement on foot.
type carriage struct {
	time   millis
	length Metres // by the device's count, else by the track
}

// leaveOutCarried takes the stretches out of the distance on which the wearer was
// carried: above 7 m/s for 20 s with fewer steps than running has, and what is
// before and after it at more than a walk without such steps. A recording without
// any cadence is believed for two minutes: who runs 800 m that fast is rare, who
// drives them is not.
func (v *survey) leaveOutCarried() (c carriage) {
	steps := false
	for k := range v.parts {
		steps = steps || v.parts[k].cadence >= walkCadence
	}
	for from := 0; from < len(v.parts); from++ {
		to, lasts := v.fastSpell(from)
		if steps && lasts >= carriedHold || lasts >= carriedBlind {
			from, to = v.widened(from, to, steps)
			v.leaveOut(v.parts[from:to], &c)
		}
		from = max(from, to-1)
	}
	return c
}

// fastSpell returns the end of the spell that begins with a stretch, and how long
// it lasts; nothing where the stretch is not too fast.
func (v *survey) fastSpell(from int) (to int, lasts millis) {
	for to = from; to < len(v.parts) && v.parts[to].carries(carriedSpeed); to++ {
		lasts += v.parts[to].awake
	}
	return to, lasts
}

// carries reports whether a stretch is faster than v m/s without running steps.
func (s *stretch) carries(v Speed) bool { return s.speed > v && s.cadence < walkCadence && !s.carried }

// widened adds what lies around a spell at more than a walk, where steps tell it
// from running.
func (v *survey) widened(from, to int, steps bool) (first, last int) {
	for steps && from > 0 && v.parts[from-1].carries(walkSpeed) {
		from--
	}
	for steps && to < len(v.parts) && v.parts[to].carries(walkSpeed) {
		to++
	}
	return from, to
}

func (v *survey) leaveOut(parts []stretch, c *carriage) {
	var device, track Metres
	for k := range parts {
		p := &parts[k]
		device += max(0, p.device)
		track += max(0, p.track)
		c.time += p.awake
		p.carried = true
		p.device, p.track, p.speed = min(p.device, 0), min(p.track, 0), 0
	}
	v.count.total -= device
	v.count.raw -= device
	v.track.total -= track
	if device == 0 {
		device = track
	}
	c.length += device
}

func (s *Session) noteCarried(c carriage) {
	if c.time > 0 {
		s.Notes.Add(NoteCarried, "%s at more than 7 m/s without running steps, %.2f km in all, were left out, as on the way home by car or bicycle",
			Lasting(c.time.duration()), float64(c.length)/1000)
	}
}
