package demo

import (
	"math"
	"math/rand/v2"
	"time"
)

// point is one sample as a device writes it.
type point struct {
	second   int // since the start
	lat, lon float64
	height   float64 // metres
	metres   float64 // cumulative, as the device counts
	speed    float64 // m/s
	heart    float64 // beats per minute
	turns    float64 // of one foot, or of the crank, per minute
	leg      int     // how many pauses came before
}

// pause is a time without timer, in seconds since the start.
type pause struct{ from, to int }

// recording is what one device kept of one outing.
type recording struct {
	start  time.Time // in the runner's zone
	kind   kind
	rpe    float64
	points []point
	pauses []pause
}

// device is how something that records differs from the truth.
type device struct {
	every  int     // seconds between two samples
	spread float64 // metres that positions stray
	scale  float64 // counted over real distance
	skip   int     // seconds that it starts late and ends early
	chance *rand.Rand
}

// record lets dev watch moments. Halted moments leave a pause and no samples,
// as with a watch that pauses by itself.
func record(d dated, start time.Time, moments []moment, dev device) recording {
	r := recording{start: start.Add(time.Duration(dev.skip) * time.Second), kind: d.kind, rpe: d.rpe}
	moments = moments[dev.skip : len(moments)-dev.skip]
	begin := moments[0].metres
	east := wander{spread: dev.spread, back: 90, smooth: 20}
	north, up := east, wander{spread: 0.4, back: 200, smooth: 30}
	way := routes[d.kind]
	for i, mo := range moments {
		e, n, u := east.step(dev.chance), north.step(dev.chance), up.step(dev.chance)
		if mo.halted {
			r.halt(i)
			continue
		}
		if !r.due(i, len(moments)-1, dev.every) {
			continue
		}
		p := point{
			second: i, speed: mo.speed * dev.scale, metres: (mo.metres - begin) * dev.scale,
			heart: mo.heart, turns: mo.turns, leg: len(r.pauses),
		}
		if d.kind != ride {
			p.turns /= 2
		}
		p.lat, p.lon, p.height = way.at(mo.metres, e, n)
		p.height += u
		r.points = append(r.points, p)
	}
	return r
}

// due reports whether second i is to be kept: every so often, the first after a
// pause, and the last of all.
func (r *recording) due(i, last, every int) bool {
	n := len(r.pauses)
	return i%every == 0 || i == last || n > 0 && r.pauses[n-1].to == i
}

// halt makes second i part of a pause.
func (r *recording) halt(i int) {
	if n := len(r.pauses); n > 0 && r.pauses[n-1].to == i {
		r.pauses[n-1].to++
		return
	}
	r.pauses = append(r.pauses, pause{i, i + 1})
}

// at returns the instant of a second of r.
func (r *recording) at(second int) time.Time {
	return r.start.Add(time.Duration(second) * time.Second)
}

// lap is a stretch of a recording, as the watch marks every kilometre.
type lap struct{ points []point }

// laps cuts r after every full kilometre. The last lap is the rest.
func (r *recording) laps() []lap {
	var laps []lap
	first := 0
	for i, p := range r.points {
		if p.metres >= 1000*float64(len(laps)+1) && i < len(r.points)-1 {
			laps = append(laps, lap{r.points[first : i+1]})
			first = i
		}
	}
	return append(laps, lap{r.points[first:]})
}

// totals are the sums that a device writes for a stretch of a recording.
type totals struct {
	elapsed, timer    int // seconds
	metres            float64
	heart, heartMax   float64
	turns             float64
	ascent, descent   float64
	speedMax, strides float64
}

// totals sums up a stretch of r.
func (r *recording) totals(points []point) totals {
	first, last := points[0], points[len(points)-1]
	t := totals{elapsed: last.second - first.second, metres: last.metres - first.metres}
	t.timer = t.elapsed
	for _, p := range r.pauses {
		t.timer -= max(0, min(p.to, last.second)-max(p.from, first.second))
	}
	level := first.height
	for _, p := range points {
		t.heart += p.heart / float64(len(points))
		t.turns += p.turns / float64(len(points))
		t.heartMax, t.speedMax = max(t.heartMax, p.heart), max(t.speedMax, p.speed)
		// A watch counts ascent once the height has changed by more than its noise.
		if rise := p.height - level; math.Abs(rise) >= 2 {
			t.ascent += max(0, rise)
			t.descent += max(0, -rise)
			level = p.height
		}
	}
	t.strides = t.turns * float64(t.timer) / 60
	return t
}
