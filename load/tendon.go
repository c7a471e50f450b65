package load

import (
	"math"
	"time"
)

// The relative load of the Achilles tendon (load reference 7): the steps of one leg,
// each weighed by the force of the step against that at 3 m/s on the level, to a
// power. Published absolute forces differ threefold between methods, so only the
// ratio is used. Damage laws of tendon in the laboratory give powers of 3 to 11; the
// power is 5, and the band runs from 1, a mere dose, to 9. All are project defaults.
const (
	tendonSpeed      = 3.0  // m/s that a step is held against
	tendonSlope      = 0.10 // force per m/s: 8.5 % (Starbuck et al. 2021) to 12.4 % (tensiometry)
	tendonSlowest    = 2.0  // m/s, the range in which forces were measured
	tendonFastest    = 5.6
	tendonWalk       = 0.53 // of the force at 3 m/s (tensiometry, 4.49 of 8.54 times body weight)
	tendonGrade      = 1.0  // force per gradient; no table of forces by gradient was found
	tendonSteepest   = 0.20
	tendonPiece      = 50                 // metres that speed and gradient are taken over
	tendonStepsPerKM = 164 * 1000.0 / 360 // of one leg at 3 m/s and 164 steps/min
)

// The factors on the force that apply where the runner says so (load reference 7.2).
const (
	tendonTreadmill = 1.10 // Willy et al. 2016: +12.5 % peak, +14.2 % a km
	tendonForefoot  = 1.10 // Almonroeder et al. 2013: +11 % impulse a step
	tendonMidfoot   = 1.05
	tendonMinimal   = 1.10 // direction only
)

// TendonCaveat stands beside every number of the measure.
const TendonCaveat = "Relative estimate from speed, steps and gradient. Published absolute forces differ threefold between methods; the band is exponent 1 to 9. The effect of gradient is uncertain."

// TendonPowers are the powers that the measure is given for; the middle one is the
// measure, the outer ones are its band.
var TendonPowers = [3]float64{1, 5, 9}

// TendonForce returns the force of a running step at v m/s on a gradient, against
// that at 3 m/s on the level. Beyond what was measured the ends hold.
func TendonForce(v Speed, g Grade) float64 {
	speed := min(tendonFastest, max(tendonSlowest, float64(v)))
	return (1 + float64(tendonSlope*(speed-tendonSpeed))) * tendonUp(float64(g))
}

func tendonUp(grade float64) float64 {
	return 1 + float64(tendonGrade*min(tendonSteepest, max(-tendonSteepest, grade)))
}

// TendonKM returns what steps of one leg with a relative force are worth in km at
// 3 m/s, for each of the TendonPowers.
func TendonKM(steps, force float64) (km [3]float64) {
	square := force * force
	fifth := square * square * force
	for i, weight := range [...]float64{force, fifth, fifth * square * square} {
		km[i] = steps * weight / tendonStepsPerKM
	}
	return km
}

// tendonDose adds up a way in pieces of 50 m.
type tendonDose struct {
	km     [3]float64
	speeds *Dwell // of running, in tenths of m/s
	ran    bool   // at some known speed

	way, climb          float64
	runSteps, walkSteps float64
	runWay              float64 // m, where the speed is known
	runTime             millis
}

// add takes a stretch on a gradient. Its steps are those of the measure Steps.
func (t *tendonDose) add(p *stretch, g Grade) {
	counted := min(p.move(), stepsCap)
	if counted == 0 {
		return
	}
	cadence := float64(p.cadence)
	if cadence <= 0 && p.running && p.speed >= 0 {
		cadence = cadenceFromSpeed(float64(p.speed))
	}
	steps := max(0, cadence) * float64(counted) / 120e3
	if p.running {
		t.runSteps += steps
	} else {
		t.walkSteps += steps
	}
	if p.speed < 0 {
		return
	}
	way := float64(p.speed) * p.awake.seconds()
	t.way += way
	t.climb += float64(way * float64(g))
	if p.running {
		t.runWay += way
		t.runTime += p.awake
	}
	if t.way >= tendonPiece {
		t.flush()
	}
}

// flush weighs the steps of a piece. Steps of running at no known speed wait for the
// next.
func (t *tendonDose) flush() {
	up := 1.0
	if t.way > 0 {
		up = tendonUp(t.climb / t.way)
	}
	if t.runTime > 0 {
		v := t.runWay / t.runTime.seconds()
		t.weigh(t.runSteps, TendonForce(Speed(v), 0)*up)
		t.speeds.Add(int(math.Round(10*v)), int64(t.runTime))
		t.runSteps, t.ran = 0, true
	}
	t.weigh(t.walkSteps, tendonWalk*up)
	t.way, t.climb, t.walkSteps, t.runWay, t.runTime = 0, 0, 0, 0, 0
}

func (t *tendonDose) weigh(steps, force float64) {
	for i, km := range TendonKM(steps, force) {
		t.km[i] += km
	}
}

// setTendon records the load of the tendon, if a speed was known.
func (s *Session) setTendon(t *tendonDose) {
	if t.flush(); !t.ran && t.km[0] == 0 {
		return
	}
	s.putTendon(t.km)
}

func (s *Session) putTendon(km [3]float64) {
	s.Measures.Set(Tendon, Tendon.Of(km[1]))
	s.TendonBand = [2]Amount{Tendon.Of(km[0]), Tendon.Of(km[2])}
}

// estimateTendon takes a run that is known by its sums as one of even speed.
func (s *Session) estimateTendon() {
	seconds := s.RunTime.Seconds()
	if !onFoot(s.Sport) || s.StepsSource == "" || s.Moving == 0 || s.Distance == 0 || seconds == 0 {
		return
	}
	v := float64(s.Distance) / s.Moving.Seconds()
	s.putTendon(TendonKM(float64(s.Steps)/2, TendonForce(Speed(v), 0)))
	s.Speeds.Add(int(math.Round(10*v)), s.RunTime.Milliseconds())
}

// scaleTendon follows a distance or a run time that was given by hand: the speed of
// running changes from was to now, the steps of running by share.
func (s *Session) scaleTendon(was, now Speed, share float64) {
	s.Speeds = s.Speeds.scaled(float64(now/was), share)
	mid, ok := s.Measures.Get(Tendon)
	if !ok {
		return
	}
	f := share * math.Pow(TendonForce(now, 0)/TendonForce(was, 0), TendonPowers[1])
	s.Measures.Set(Tendon, Amount(math.Round(float64(mid)*f)))
	for i, power := range [2]float64{TendonPowers[0], TendonPowers[2]} {
		f := share * math.Pow(TendonForce(now, 0)/TendonForce(was, 0), power)
		s.TendonBand[i] = Amount(math.Round(float64(s.TendonBand[i]) * f))
	}
}

// runSpeed returns the mean speed of running, or zero.
func (s *Session) runSpeed() Speed {
	way, ok := s.Measures.Get(RunDistance)
	if !ok || s.RunTime < time.Second {
		return 0
	}
	return Speed(RunDistance.In(way) * 1000 / s.RunTime.Seconds())
}
