package diary

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"

	"tidemark/load"
)

// rest is the kind of a day without training.
const rest = "rest"

var kinds = map[string]load.Sport{
	"":      load.Running,
	"run":   load.Running,
	"walk":  load.Walking,
	"ride":  load.Cycling,
	"other": load.OtherSport,
}

var surfaces = map[string]load.Surface{
	"":          "",
	"road":      load.Road,
	"trail":     load.Trail,
	"track":     load.Oval,
	"treadmill": load.Treadmill,
}

var answers = map[string]bool{"": false, "no": false, "yes": true}

// ranges are what a number may be, both ends included. The bounds catch slips
// of the keyboard, not unusual people; project defaults.
var ranges = [columns]struct{ min, max float64 }{
	distance: {0.001, 400},
	duration: {0.01, 48 * 60},
	runTime:  {0, 48 * 60},
	exertion: {0, 10}, // the CR10 scale, Borg 1982
	ascent:   {0, 30_000},
	steps:    {0, 600_000},
}

// The mean speeds that no row can have, in m/s. The first is a little over the
// top speed of the fastest 100 m (12.4 m/s, value from memory); the second is a
// project default for rides and whatever else slides or rolls.
const (
	fastestOnFoot  load.Speed = 12.5
	fastestOnTrack load.Speed = 30
)

// adapter turns rows into activities.
type adapter struct {
	home    *time.Location
	lim     Limits
	decimal byte // the decimal mark of the file
}

// activity returns the row as an activity, checked.
func (ad adapter) activity(r *row, day load.Day) (load.Activity, error) {
	a := load.Activity{Typed: &load.Typed{Day: day, Clock: 12 * time.Hour}}
	for _, step := range []func(*load.Activity, *row) error{
		ad.words, ad.totals, ad.effort, ad.note, ad.clock,
	} {
		if err := step(&a, r); err != nil {
			return load.Activity{}, err
		}
	}
	return a, nil
}

func (ad adapter) words(a *load.Activity, r *row) (err error) {
	if a.Sport, err = choose(r[kind], kinds, "run, walk, ride, other or rest"); err != nil {
		return err
	}
	if a.Surface, err = choose(r[surface], surfaces, "road, trail, track or treadmill"); err != nil {
		return err
	}
	a.Typed.Race, err = choose(r[race], answers, "yes or no")
	return err
}

func (ad adapter) totals(a *load.Activity, r *row) error {
	km, hasDistance, err := ad.number(r[distance])
	if err != nil {
		return err
	}
	minutes, hasDuration, err := ad.number(r[duration])
	if err != nil {
		return err
	}
	if !hasDistance && !hasDuration {
		return refuse(r[date], "neither %s nor %s", distance, duration)
	}
	a.Totals.Distance = load.Metres(km * 1000)
	a.Totals.Timer = ofMinutes(minutes)
	a.Totals.Elapsed = a.Totals.Timer
	if err := checkSpeed(a, r); err != nil {
		return err
	}
	return ad.running(a, r, hasDuration)
}

// running fills in the running part, which is all of a run unless it says so.
func (ad adapter) running(a *load.Activity, r *row, hasDuration bool) error {
	minutes, given, err := ad.number(r[runTime])
	if err != nil {
		return err
	}
	switch {
	case given && hasDuration && ofMinutes(minutes) > a.Totals.Timer:
		return refuse(r[runTime], "%s %q is more than %s %q", runTime, r[runTime].text, duration, r[duration].text)
	case given:
		a.Typed.RunTime = ofMinutes(minutes)
	case a.Sport == load.Running:
		a.Typed.RunTime = a.Totals.Timer
	}
	return nil
}

func (ad adapter) effort(a *load.Activity, r *row) (err error) {
	if a.Exertion, a.HasExertion, err = ad.number(r[exertion]); err != nil {
		return err
	}
	climb, _, err := ad.number(r[ascent])
	if err != nil {
		return err
	}
	a.Totals.Ascent = load.Metres(climb)
	count, _, err := ad.number(r[steps])
	if err == nil && count != math.Trunc(count) {
		err = refuse(r[steps], "%s %q: want a whole number", steps, r[steps].text)
	}
	a.Totals.Steps = int(count)
	return err
}

func (ad adapter) note(a *load.Activity, r *row) error {
	text := r[note].text
	if len(text) > ad.lim.Note {
		return refuse(r[note], "%s of %d bytes: at most %d are kept", note, len(text), ad.lim.Note)
	}
	a.Typed.Note = strings.Map(func(c rune) rune {
		if unicode.IsControl(c) && c != '\n' {
			return ' '
		}
		return c
	}, strings.ReplaceAll(text, "\r\n", "\n"))
	return nil
}

// clock fills in the start.
func (ad adapter) clock(a *load.Activity, r *row) error {
	c := r[start]
	if c.text == "" {
		a.Start, _ = at(a.Typed.Day, 12, 0, ad.home)
		return nil
	}
	t, err := time.Parse("15:04", c.text)
	if err != nil {
		return refuse(c, "%s %q: want HH:MM", start, short(c.text))
	}
	var shown reading
	a.Start, shown = at(a.Typed.Day, t.Hour(), t.Minute(), ad.home)
	a.Typed.HasStart, a.Typed.Clock = true, time.Duration(t.Hour())*time.Hour+time.Duration(t.Minute())*time.Minute
	switch shown {
	case skipped:
		a.Notes.Add(load.NoteTime, "the clocks skipped %s on %s in %v: it was taken as %s", c.text, a.Typed.Day, ad.home,
			a.Start.Time().In(ad.home).Format("2006-01-02 15:04"))
	case twice:
		a.Notes.Add(load.NoteTime, "the clocks showed %s twice on %s in %v: the first was taken", c.text, a.Typed.Day, ad.home)
	}
	return nil
}

// day reads the date and holds it against the days of the limits.
func (ad adapter) day(c cell) (load.Day, error) {
	day, err := load.ParseDay(c.text)
	switch {
	case err != nil:
		return 0, refuse(c, "%s %q: want YYYY-MM-DD", date, short(c.text))
	case ad.lim.First == 0 && ad.lim.Last == 0:
	case day < ad.lim.First:
		return 0, refuse(c, "%s %q is before %v", date, c.text, ad.lim.First)
	case day > ad.lim.Last:
		return 0, refuse(c, "%s %q is in the future", date, c.text)
	}
	return day, nil
}

// number reads a cell that may be empty and holds it against its range.
func (ad adapter) number(c cell) (value float64, given bool, err error) {
	if c.text == "" {
		return 0, false, nil
	}
	text := strings.TrimPrefix(c.text, "-")
	plain := strings.IndexFunc(text, func(r rune) bool { return (r < '0' || r > '9') && r != rune(ad.decimal) }) < 0
	value, err = strconv.ParseFloat(strings.ReplaceAll(c.text, ",", "."), 64)
	if !plain || err != nil {
		return 0, false, refuse(c, "%s %q: want a number with a decimal %q", c.column, short(c.text), ad.decimal)
	}
	if bounds := ranges[c.column]; value < bounds.min || value > bounds.max {
		return 0, false, refuse(c, "%s %q: want %g to %g", c.column, short(c.text), bounds.min, bounds.max)
	}
	return value, true, nil
}

func choose[T any](c cell, from map[string]T, want string) (T, error) {
	v, ok := from[strings.ToLower(c.text)]
	if !ok {
		return v, refuse(c, "%s %q: want %s", c.column, short(c.text), want)
	}
	return v, nil
}

func checkSpeed(a *load.Activity, r *row) error {
	if a.Totals.Timer == 0 || a.Totals.Distance == 0 {
		return nil
	}
	fastest := fastestOnTrack
	if a.Sport == load.Running || a.Sport == load.Walking {
		fastest = fastestOnFoot
	}
	if mean := load.Speed(float64(a.Totals.Distance) / a.Totals.Timer.Seconds()); mean > fastest {
		return refuse(r[distance], "%s %q in %s %q is %.1f m/s: want at most %.1f",
			distance, r[distance].text, duration, r[duration].text, mean, fastest)
	}
	return nil
}

// checkRest refuses a day of rest with training on it.
func checkRest(r *row) error {
	for _, c := range r {
		switch c.column {
		case date, kind, note:
		default:
			if c.text != "" {
				return refuse(c, "%s %q on a day of rest", c.column, short(c.text))
			}
		}
	}
	return nil
}

func ofMinutes(m float64) time.Duration {
	return time.Duration(math.Round(m*60e3)) * time.Millisecond
}
