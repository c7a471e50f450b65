package load

import "math"

// downhillFloor is the least cost of a downhill metre against a level one that is
// believed of ordinary runners: those who were measured were elite, and others were
// found to pay some 40 % more downhill (Minetti et al. 2002). Project default.
const downhillFloor = 0.75

// Cost returns the energy of running a metre along a slope in J/kg, by the polynomial
// of Minetti et al. 2002 (J Appl Physiol 93:1039), fitted from -0.45 to 0.45 and held
// at its ends beyond.
func Cost(g Grade) float64 {
	i := float64(min(steepest, max(-steepest, g)))
	c := 155.4
	for _, next := range [...]float64{-30.4, -43.3, 46.3, 19.5, 3.6} {
		c = float64(c*i) + next
	}
	return c
}

// levelCost is the polynomial's own value at a gradient of zero; with it a level
// metre is a metre.
const levelCost = 3.6

// FlatRatio returns how many level metres cost as much as one along a slope, but no
// less than floor downhill. With a floor of zero it is the ratio of Minetti alone.
func FlatRatio(g Grade, floor float64) float64 {
	r := Cost(g) / levelCost
	if g < 0 {
		return max(floor, r)
	}
	return r
}

// FlatRatioACSM is the same by the running equation of the American College of Sports
// Medicine uphill, 1 + 4.5 g net of rest. It is not made for downhill, where the
// ratio is that of FlatRatio.
func FlatRatioACSM(g Grade, floor float64) float64 {
	if g <= 0 {
		return FlatRatio(g, floor)
	}
	return 1 + float64(4.5*min(steepest, g))
}

// flatness adds up what level metres cost as much as a way.
type flatness struct {
	way, minetti, acsm float64
	up, down           Metres
	clipped            int
}

// add takes a piece of the way; belt says that its length is along the slope.
func (f *flatness) add(s slope, belt bool) {
	along, level := float64(s.length), float64(s.length)
	switch {
	case belt:
		level = along / s.grade.along()
	case s.grade != 0:
		along *= s.grade.along()
	}
	f.way += float64(s.length)
	f.minetti += float64(along * FlatRatio(s.grade, downhillFloor))
	f.acsm += float64(along * FlatRatioACSM(s.grade, downhillFloor))
	rise := Metres(level * float64(s.grade))
	f.up += max(0, rise)
	f.down += max(0, -rise)
	if s.clipped {
		f.clipped++
	}
}

// setWay goes along the way of who was on foot and records what of it depends on its
// gradient: the flat-equivalent distance and the load of the tendon.
func (s *Session) setWay(a *Activity, v *survey, h *heights) {
	if !onFoot(s.Sport) {
		return
	}
	var f flatness
	dose := tendonDose{speeds: &s.Speeds}
	belt := s.Surface == Treadmill && hasGrade(a.Samples)
	take := func(p slope) {
		f.add(p, belt)
		for k := p.from; k < p.to; k++ {
			dose.add(&v.parts[k], p.grade)
		}
	}
	if belt {
		v.beltSlopes(a.Samples, take)
		if f.way > 0 {
			s.Ascent, s.Descent, s.HasAscent = f.up, f.down, true
		}
	} else {
		v.slopes(a.Samples, h, take)
	}
	s.setTendon(&dose)
	if distance, ok := s.Measures.Get(Distance); ok {
		s.Measures.Set(Flat, distance)
		if (belt || h.known > 1) && f.way > 0 {
			s.setFlat(&f, distance)
		}
	}
}

// setFlat records the flat-equivalent distance and the other end of its band.
func (s *Session) setFlat(f *flatness, distance Amount) {
	s.Measures.Set(Flat, Amount(math.Round(float64(distance)*(f.minetti/f.way))))
	s.FlatACSM = s.Distance * Metres(f.acsm/f.way)
	if f.clipped > 0 {
		s.Notes.Add(NoteFlat, "the profile is steeper than 45 %% in %s, more than the cost of running is known for: counted as 45 %%",
			counted(f.clipped, "place", "places"))
	}
}

func hasGrade(samples []Sample) bool {
	for i := range samples {
		if samples[i].Has&HasGrade != 0 {
			return true
		}
	}
	return false
}
