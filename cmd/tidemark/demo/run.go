package demo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"
)

// moment is one second of what really happened, before any device saw it.
type moment struct {
	metres float64 // along the route
	speed  float64 // m/s
	heart  float64 // beats per minute
	turns  float64 // steps of both feet, or turns of the crank, per minute
	halted bool    // standing, the watch paused
}

// body is how a member runs.
type body struct {
	pace    float64 // s per km when running easily
	heart   float64 // beats per minute at that pace
	cadence float64 // steps per minute at that pace
}

// The values below are common practice without a source; they only have to look
// like a person.
const (
	walkSpeed   = 1.55 // m/s
	walkCadence = 112  // steps per minute, both feet
	rideSpeed   = 6.4  // m/s
	rideCadence = 78   // turns per minute
	heartPerMPS = 32   // beats per minute for 1 m/s more
	heartLag    = 35   // seconds to follow
	heartDrift  = 6    // beats per minute for every hour
	heartStill  = 88   // beats per minute, standing between two efforts
	speedLag    = 6    // seconds to take up another speed
	runSpell    = 240  // seconds of running in a walk-run session
	walkSpell   = 120  // seconds of walking between
)

// stop is a pause at a share of the way.
type stop struct {
	share   float64
	seconds int
}

// halts are the stops of a halting run: a road to cross, a chat at the harbour.
var halts = []stop{{0.35, 75}, {0.72, 210}}

// paceFactor is the pace of each kind over the easy pace.
var paceFactor = [...]float64{easy: 1, long: 1.04, brisk: 0.99, walkRun: 1.02, halting: 1, belt: 1.01, ride: 1, stroll: 1, rest: 1}

// gait is what the runner means to do at one moment.
type gait struct{ speed, turns float64 }

// gait returns the intention after some seconds and at a share of the way.
func (m *member) gait(k kind, second int, share float64) gait {
	speed := 1000 / (m.body.pace * paceFactor[k])
	switch {
	case k == ride:
		return gait{rideSpeed, rideCadence}
	case k == stroll, k == walkRun && second%(runSpell+walkSpell) >= runSpell:
		return gait{walkSpeed, walkCadence}
	case k == brisk && share > 0.35 && share < 0.75:
		speed *= 1.11
	}
	easySpeed := 1000 / m.body.pace
	return gait{speed, m.body.cadence + float64(12*(speed-easySpeed))}
}

// motion is a person under way.
type motion struct {
	m       *member
	kind    kind
	chance  *rand.Rand
	stride  wander // relative
	pulse   wander
	foot    wander
	now     moment
	moments []moment
}

// perform runs the outing second by second until metres are covered.
func (m *member) perform(d dated, metres float64) []moment {
	mo := motion{
		m: m, kind: d.kind, chance: m.stream(d.date, forMotion),
		stride: wander{spread: 0.05, back: 60, smooth: 8},
		pulse:  wander{spread: 2, back: 25, smooth: 5},
		foot:   wander{spread: 2, back: 8, smooth: 2},
		now:    moment{heart: heartStill},
	}
	var stops []stop
	if d.kind == halting {
		stops = halts
	}
	mo.moments = append(mo.moments, mo.now)
	for mo.now.metres < metres {
		if len(stops) > 0 && mo.now.metres >= stops[0].share*metres {
			mo.halt(stops[0].seconds)
			stops = stops[1:]
		}
		mo.step(mo.now.metres / metres)
	}
	return mo.moments
}

// step moves on by a second.
func (mo *motion) step(share float64) {
	want := mo.m.gait(mo.kind, len(mo.moments), share)
	aim := want.speed * (1 + mo.stride.step(mo.chance))
	now := &mo.now
	now.halted = false
	now.speed += (aim - now.speed) / speedLag
	now.metres += now.speed
	now.turns = want.turns + mo.foot.step(mo.chance)
	mo.beat(mo.effort(want.speed))
	mo.moments = append(mo.moments, *now)
}

// halt stands still for some seconds.
func (mo *motion) halt(seconds int) {
	mo.now.speed, mo.now.turns, mo.now.halted = 0, 0, true
	for range seconds {
		mo.beat(heartStill)
		mo.moments = append(mo.moments, mo.now)
	}
}

// effort returns the heart rate that a speed asks for in the long run.
func (mo *motion) effort(speed float64) float64 {
	b := mo.m.body
	if mo.kind == ride {
		return b.heart - 18
	}
	drift := float64(heartDrift*len(mo.moments)) / 3600
	return max(heartStill, b.heart+drift+float64(heartPerMPS*(speed-1000/b.pace)))
}

// beat lets the heart follow, late.
func (mo *motion) beat(aim float64) {
	mo.now.heart += (aim + mo.pulse.step(mo.chance) - mo.now.heart) / heartLag
}

// start returns the local start of an outing: as written, else in the morning
// at a weekend, after work or before it on other days.
func (m *member) start(d dated) time.Time {
	noon := d.date.Noon()
	at := func(minutes int) time.Time {
		return time.Date(noon.Year(), noon.Month(), noon.Day(), minutes/60, minutes%60, 0, 0, m.zone)
	}
	if d.at != "" {
		clock, err := time.Parse("15:04", d.at)
		if err != nil {
			panic(fmt.Sprintf("demo: start of %v: %v", d.date, err))
		}
		return at(clock.Hour()*60 + clock.Minute())
	}
	chance := m.stream(d.date, forClock)
	late, early := 17*60+50+chance.IntN(50), 6*60+25+chance.IntN(25)
	second := time.Duration(chance.IntN(60)) * time.Second
	switch weekday := noon.Weekday(); {
	case weekday == time.Saturday || weekday == time.Sunday:
		return at(8*60 + 25 + chance.IntN(50)).Add(second)
	case chance.IntN(4) == 0:
		return at(early).Add(second)
	}
	return at(late).Add(second)
}

// vary makes of round numbers what a watch shows: up to 0.6 % more or less.
func (m *member) vary(plan []dated) {
	for i := range plan {
		d := &plan[i]
		if d.as == typed {
			continue
		}
		share := 0.006 * (2*m.stream(d.date, forPlan).Float64() - 1)
		d.km = math.Round(d.km*(1+share)*1000) / 1000
	}
}
