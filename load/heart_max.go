package load

// MaxFormula is a published estimate of the highest heart rate from age.
type MaxFormula struct {
	Name, Source string
	From, To     float64 // age in years that it is used for
	Of           func(age float64) float64
}

// MaxFormulas are the estimates that a runner may choose from; the first is used
// unless another is chosen. None is better than a measured maximum: single people
// lie some 10 bpm from any of them (Robergs and Landwehr 2002).
var MaxFormulas = []MaxFormula{
	{
		"208 - 0.7 x age", "Tanaka et al. 2001, J Am Coll Cardiol 37:153; 18,712 people in 492 groups", 10, 100,
		func(age float64) float64 { return 208 - float64(0.7*age) },
	},
	{
		"206 - 0.88 x age", "Gulati et al. 2010, Circulation 122:130; 5,437 women", 10, 100,
		func(age float64) float64 { return 206 - float64(0.88*age) },
	},
	{
		"179 + 0.29 x age - 0.011 x age x age", "Zhu et al. 2010, Med Sci Sports Exerc 42:1519; 18 to 50 years only", 18, 50,
		func(age float64) float64 { return 179 + float64(0.29*age) - float64(0.011*age*age) },
	},
}

// MaxError is how far a person's highest heart rate usually lies from an estimate, in
// bpm (Robergs and Landwehr 2002: 7 to 11, mostly above 10).
const MaxError = 10

// HeartMax is the highest heart rate that a runner is reckoned with, and how sure
// that is: Low and High are the same where it was measured.
type HeartMax struct {
	BPM, Low, High float64
	Measured       bool
	Source         string // of an estimate
}

// HeartMax returns the highest heart rate that holds on day: the measured one, else
// the estimate from the year of birth. ok is false where neither is known.
func (s *Settings) HeartMax(day Day) (most HeartMax, ok bool) {
	if s.HeartMaxBPM > 0 {
		return HeartMax{BPM: s.HeartMaxBPM, Low: s.HeartMaxBPM, High: s.HeartMaxBPM, Measured: true}, true
	}
	if s.BirthYear == 0 {
		return most, false
	}
	f := MaxFormulas[int(s.HeartFormula)]
	age := float64(day.Noon().Year()) - s.BirthYear
	if age < f.From || age > f.To {
		return most, false
	}
	bpm := f.Of(age)
	return HeartMax{BPM: bpm, Low: bpm - MaxError, High: bpm + MaxError, Source: f.Source}, true
}
