package chart

import (
	"math"
	"strconv"
)

// roundTenths are the round numbers of one decade, in tenths.
var roundTenths = [...]int{10, 20, 25, 50}

// roundStep is a round number: 1, 2, 2.5 or 5 times a power of ten.
type roundStep struct{ index, power int }

// stepOver returns the smallest round number above least, which is above zero.
func stepOver(least float64) roundStep {
	s := roundStep{power: int(math.Floor(math.Log10(least))) - 1}
	for s.times(1) <= least {
		s = s.next()
	}
	return s
}

func (s roundStep) next() roundStep {
	if s.index++; s.index == len(roundTenths) {
		return roundStep{power: s.power + 1}
	}
	return s
}

// times returns k steps. It divides where the step is a fraction, so that the
// result is the number nearest to the decimal and is written as such.
func (s roundStep) times(k int) float64 {
	tenths := float64(k * roundTenths[s.index])
	if s.power < 1 {
		return tenths / math.Pow10(1-s.power)
	}
	return tenths * math.Pow10(s.power-1)
}

// scale maps values to fractions of the height.
type scale struct{ low, high float64 }

// at returns the fraction of v, from 0 to 1 whatever v is.
func (s scale) at(v float64) float64 {
	return min(1, max(0, (v-s.low)/(s.high-s.low)))
}

// rules returns the rules of the multiples from first to last of a step.
func (s scale) rules(step roundStep, first, last int) []Rule {
	var rules []Rule
	for k := first; k <= last; k++ {
		v := step.times(k)
		rules = append(rules, Rule{s.at(v), strconv.FormatFloat(v, 'f', -1, 64)})
	}
	return rules
}

// Room at the top of a picture that begins at zero; project defaults. A fifth of
// a strip of 130 pixels or more is a line of small text.
const (
	headspace = 1.15 // of the highest value: its label stands above it
	ruleSpace = 0.92 // of the top: the label of a rule stands above it
	mostRules = 4
)

// fromZero returns the scale from zero on for values up to highest, which is above
// zero, and its two to four rules above zero.
func fromZero(highest float64) (scale, []Rule) {
	s := scale{high: highest * headspace}
	limit := s.high * ruleSpace
	step := stepOver(limit / (mostRules + 1))
	last := 1
	for step.times(last+1) <= limit {
		last++
	}
	return s, s.rules(step, 1, last)
}

// around returns the scale from one round number to another that holds low and
// high, which is above low, and its two to four rules, both ends among them.
func around(low, high float64) (scale, []Rule) {
	step := stepOver((high - low) / mostRules)
	for {
		unit := step.times(1)
		first, last := int(math.Floor(low/unit)), int(math.Ceil(high/unit))
		if last-first < mostRules {
			s := scale{step.times(first), step.times(last)}
			return s, s.rules(step, first, last)
		}
		step = step.next()
	}
}
