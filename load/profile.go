package load

import (
	"math"
	"time"
)

// ProfilePoint is one stretch of a run, for a picture of its course. Has says
// which of the values are there: HasDistance, HasSpeed, HasHeart, HasAltitude.
type ProfilePoint struct {
	Elapsed  time.Duration // since the start, to the middle of the stretch
	Distance Metres        // covered from the start to that middle
	Speed    Speed         // the mean while moving, as the three below
	Heart    BPM
	Altitude Metres
	Has      Fields
}

// ProfileOf lays an activity out in equal stretches of elapsed time from its start
// to its last sample: at most as many as asked, none shorter than a second. The
// same cleaned stretches and pauses as in Reduce are behind it: sport is that of
// the session.
//
// Means are weighted by time. A stretch holds a mean of what moved in it; one that
// lies in a pause, or in a gap that was taken as one, has no speed, heart rate or
// altitude. Movement over more than a minute without samples has a speed alone.
// The distance is that of the samples, the device's count or the track; it stands
// still in gaps that added none, and is missing where the samples have neither.
// On a treadmill there is no altitude. A speed that nobody runs is a count that
// catches up, and absent.
//
// An activity of fewer than two samples has no profile. ProfileOf panics if most
// is below one; what it asks of the samples is what Reduce asks.
func ProfileOf(a *Activity, sport Sport, most int) []ProfilePoint {
	if most < 1 {
		panic("load: ProfileOf: no points asked for")
	}
	if len(a.Samples) < 2 {
		return nil
	}
	v := surveyOf(a, sport)
	v.settle(a, sport)
	p := newProfile(a, most)
	for k := range v.parts {
		p.add(&v.parts[k], a.Samples[k].At, &a.Samples[k+1])
	}
	points := p.points(limitsOf(sport).track)
	v.setCourse(points, a.Samples, p.start)
	return points
}

// profile sums an activity up in equal stretches.
type profile struct {
	start, total Instant
	treadmill    bool // altitudes mean nothing
	sums         []profileSum
}

// profileSum is what moved in one stretch: weights in ms, and values times weights.
type profileSum struct{ speed, heart, altitude weighted }

// weighted is a mean in the making.
type weighted struct{ sum, weight float64 }

func (w *weighted) add(v, weight float64) {
	w.sum += float64(v * weight)
	w.weight += weight
}

// mean returns the mean, and zero where nothing was added.
func (w *weighted) mean() (v float64, ok bool) {
	if w.weight == 0 {
		return 0, false
	}
	return w.sum / w.weight, true
}

func newProfile(a *Activity, most int) *profile {
	start := min(a.Start, a.Samples[0].At)
	total := a.Samples[len(a.Samples)-1].At - start
	n := max(1, min(most, int(total/1000)))
	return &profile{start: start, total: total, treadmill: a.Surface == Treadmill, sums: make([]profileSum, n)}
}

// middle returns the time from the start to the middle of the i-th stretch, in
// parts that do not overflow.
func (p *profile) middle(i int) time.Duration {
	halves, at := Instant(2*len(p.sums)), Instant(2*i+1)
	return millis(p.total/halves*at).duration() + millis(p.total%halves*at).duration()/time.Duration(halves)
}

// edge returns when the i-th stretch begins.
func (p *profile) edge(i int) Instant {
	return p.start + p.total*Instant(i)/Instant(len(p.sums))
}

// add hands what lies between two samples to the stretches that share its time.
// What the device mostly paused in has no place of its own in it and is left out.
func (p *profile) add(s *stretch, from Instant, to *Sample) {
	length := to.At - from
	if !s.moving || 2*s.awake <= millis(length) {
		return
	}
	i := int((from - p.start) * Instant(len(p.sums)) / p.total)
	for ; i < len(p.sums) && p.edge(i) < to.At; i++ {
		shared := overlap(Span{from, to.At}, Span{p.edge(i), p.edge(i + 1)})
		if shared > 0 {
			p.sums[i].add(s, to, float64(shared)*float64(s.awake)/float64(length), p.treadmill)
		}
	}
}

// add adds the stretch that ends with a sample. Heart rate and altitude are those
// of the sample.
func (p *profileSum) add(s *stretch, to *Sample, weight float64, treadmill bool) {
	if s.speed >= 0 {
		p.speed.add(float64(s.speed), weight)
	}
	if s.awake > shortGap {
		return
	}
	if to.Has&HasHeart != 0 {
		p.heart.add(float64(to.Heart), weight)
	}
	if to.Has&HasAltitude != 0 && !treadmill {
		p.altitude.add(float64(to.Altitude), weight)
	}
}

// points returns the means, of speeds those up to top in m/s.
func (p *profile) points(top float64) []ProfilePoint {
	points := make([]ProfilePoint, len(p.sums))
	for i := range points {
		at := &points[i]
		at.Elapsed = p.middle(i)
		if v, ok := p.sums[i].speed.mean(); ok && v <= top {
			at.Speed, at.Has = Speed(v), at.Has|HasSpeed
		}
		if v, ok := p.sums[i].heart.mean(); ok {
			at.Heart, at.Has = BPM(math.Round(v)), at.Has|HasHeart
		}
		if v, ok := p.sums[i].altitude.mean(); ok {
			at.Altitude, at.Has = Metres(v), at.Has|HasAltitude
		}
	}
	return points
}

// setCourse gives each point the distance up to it, from the source that Reduce
// takes of what the samples hold.
func (v *survey) setCourse(points []ProfilePoint, samples []Sample, start Instant) {
	counted := v.counted()
	if !counted && v.track.points < 2 {
		return
	}
	covered, k := Metres(0), 0
	if counted {
		covered = v.before()
	}
	for i := range points {
		at := start.Add(points[i].Elapsed)
		for ; k+1 < len(v.parts) && samples[k+1].At <= at; k++ {
			covered += v.parts[k].covered(counted)
		}
		share := float64(at-samples[k].At) / float64(samples[k+1].At-samples[k].At)
		points[i].Distance = covered + v.parts[k].covered(counted)*Metres(max(0, share))
		points[i].Has |= HasDistance
	}
}

// before returns what the device had counted at its first sample with a count.
func (v *survey) before() Metres {
	first := v.count.total
	for k := range v.parts {
		first -= v.parts[k].covered(true)
	}
	return max(0, first)
}

// covered returns the metres that a stretch adds to the count or the track.
func (s *stretch) covered(counted bool) Metres {
	if counted {
		return max(0, s.device)
	}
	return max(0, s.track)
}
