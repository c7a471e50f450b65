// Package words says in English what the numbers are: amounts, days, the answer
// of a headroom, comparisons, cautions. Commands and pages speak with it, so that
// they say the same thing in the same words.
//
// It computes nothing and knows no page and no terminal.
package words

import (
	"fmt"
	"strings"

	"tidemark/load"
)

// Day writes a date as people say it: 2 March 2026.
func Day(d load.Day) string { return d.Spoken() }

// ShortDay writes a date in a narrow place: 2 Mar.
func ShortDay(d load.Day) string { return d.Noon().Format("2 Jan") }

// Weekday writes a date with its weekday: Monday 2 March 2026.
func Weekday(d load.Day) string { return d.Noon().Format("Monday 2 January 2006") }

// Amount writes an amount of a measure: km to a tenth rounded down, so that
// what is said to be left never is more than what is; minutes whole.
func Amount(m load.Measure, a load.Amount) string {
	switch {
	case m.IsLength():
		tenths := a / (m.Of(1) / 10)
		return fmt.Sprintf("%d.%d km", tenths/10, tenths%10)
	case m.IsTime():
		return fmt.Sprintf("%d min", a/m.Of(1))
	}
	return Value(m, m.In(a))
}

// AmountUp is Amount rounded up, so that what is said to be too much never is less than it is.
func AmountUp(m load.Measure, a load.Amount) string {
	switch {
	case m.IsLength():
		tenth := m.Of(1) / 10
		return Amount(m, (a+tenth-1)/tenth*tenth)
	case m.IsTime():
		return Amount(m, (a+m.Of(1)-1)/m.Of(1)*m.Of(1))
	}
	return Amount(m, a)
}

// Value writes a number in the measure's unit, rounded to the nearest.
func Value(m load.Measure, v float64) string { return Number(m, v) + " " + Unit(m) }

// Number writes a number of a measure without its unit.
func Number(m load.Measure, v float64) string {
	if m.IsLength() || m == load.Tendon {
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.0f", v)
}

// Unit names the unit as runners read it: the arbitrary unit of session RPE is
// what it is made of.
func Unit(m load.Measure) string {
	switch m {
	case load.Exertion:
		return "effort min"
	case load.Steps:
		return "steps"
	case load.Tendon:
		return "tendon km"
	}
	return m.Unit()
}

// measureNames are the measures as runners call them.
var measureNames = map[load.Measure]string{
	load.Distance: "distance", load.Time: "time", load.RunDistance: "distance run", load.RunTime: "time run",
	load.Flat: "flat distance", load.Exertion: "effort", load.Heart: "heart", load.Steps: "steps", load.Tendon: "tendon",
}

// Measure names a measure as runners call it.
func Measure(m load.Measure) string { return measureNames[m] }

// Method says in a sentence what a measure is and what it rests on.
func Method(m load.Measure) string {
	switch m {
	case load.Distance:
		return "The whole run as the watch counted it, walks in it included."
	case load.Time:
		return "The minutes in which you moved."
	case load.RunDistance:
		return "The running parts: cadence tells them from walking, speed where there is no cadence."
	case load.RunTime:
		return "The minutes that were run: cadence tells them from walking, speed where there is no cadence."
	case load.Flat:
		return "Level km that cost as much as the hills: the cost of running by Minetti et al. 2002 on a smoothed profile, downhill no less than 0.75; the band goes to the running equation of the American College of Sports Medicine."
	case load.Exertion:
		return "How hard a run was, 0 to 10, times its minutes (Foster et al. 2001). A run without an answer is missing."
	case load.Heart:
		return "Heart-rate impulse: minutes, weighed by how far the rate lies from rest to the highest (Banister 1991, as cited), sample by sample. It cannot be added to effort, which is another scale."
	case load.Steps:
		return "Steps of both feet: cadence times time, from the speed where there is no cadence."
	case load.Tendon:
		return "Level km at 3 m/s that would ask as much of the Achilles tendon. " + load.TendonCaveat
	}
	panic("words: Method: a measure without words")
}

// Missing says what of seven days is not known, and how much they may have been;
// nothing where all is known.
func Missing(m load.Measure, row *load.DayRow) string {
	unknown := 7 - row.KnownDays7
	most, ok := row.AcuteMost.Get()
	switch {
	case ok && most == row.Acute:
		return ""
	case !ok:
		return fmt.Sprintf("%d of 7 days known", row.KnownDays7)
	}
	return fmt.Sprintf("%s not known: at least this, and up to %s if each was a long run", Plural(unknown, "day"), Value(m, most))
}

// HeartBasis says with which rates heart rates are weighed on a day.
func HeartBasis(set *load.Settings, day load.Day) string {
	most, ok := set.HeartMax(day)
	switch {
	case !ok:
		return "Your highest heart rate is not known, nor your year of birth to estimate it from, so there is nothing to weigh by."
	case set.HeartRest == 0 && set.HeartMethod == 0:
		return "Your heart rate at rest is not known, so there is nothing to weigh by."
	case most.Measured:
		return fmt.Sprintf("Made with %.0f bpm at rest and %.0f at most, as measured.", set.HeartRest, most.BPM)
	}
	return fmt.Sprintf("Made with %.0f bpm at rest and %.0f at most, estimated from your year of birth (%s): %.0f to %.0f in most people.",
		set.HeartRest, most.BPM, most.Source, most.Low, most.High)
}

// MeasureIDs lists the names by which commands and addresses know the measures.
func MeasureIDs() string {
	names := make([]string, len(load.Measures))
	for i, m := range load.Measures {
		names[i] = m.String()
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

// Sentenced makes a sentence of an error's text.
func Sentenced(text string) string { return strings.ToUpper(text[:1]) + text[1:] + "." }

// Plural writes a count with its noun.
func Plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
