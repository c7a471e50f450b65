package rehab

import (
	"errors"
	"fmt"
	"slices"

	"tidemark/load"
)

// Site is where it hurts.
type Site string

// The sites (load/rehab reference 1.4). Other has the strictest spacing and no growth
// by itself.
const (
	AchillesMid Site = "ach-mid"
	AchillesIns Site = "ach-ins"
	Calf        Site = "calf"
	Patellar    Site = "patellar"
	Plantar     Site = "plantar"
	Shin        Site = "shin"
	Other       Site = "other"
)

// SiteInfo is one site in words, with the days of rest between runs that it asks for.
type SiteInfo struct {
	Site    Site
	Short   string // as a runner says it
	Name    string // as a runner reads it
	Clinic  string // as the trade says it
	Gap     int    // rest days between runs to begin with
	Settled int    // rest days after four settled runs in a row
	Source  string
}

// Sites lists them.
var Sites = []SiteInfo{
	{AchillesMid, "Achilles tendon", "Achilles tendon, 2-6 cm above the heel bone", "Achilles tendon, mid-portion", 2, 1, "Silbernagel and Crossley 2015, value from memory"},
	{AchillesIns, "Achilles tendon at the heel", "Achilles tendon, at the heel bone", "Achilles tendon, insertion", 2, 1, "Silbernagel and Crossley 2015, value from memory"},
	{Calf, "calf", "calf muscle", "calf", 2, 1, "Green et al. 2022: experts, no runs on days that follow each other"},
	{Patellar, "kneecap tendon", "tendon below the kneecap", "patellar tendon", 2, 1, "project default, as the Achilles tendon"},
	{Plantar, "heel, underneath", "under the heel", "plantar heel", 1, 1, "project default"},
	{Shin, "inner shin", "inner shin", "inner shin", 1, 1, "project default"},
	{Other, "somewhere else", "somewhere else", "other", 2, 2, "project default: the strictest, no growth by itself"},
}

// FindSite returns the row of a site.
func FindSite(s Site) (SiteInfo, error) {
	i := slices.IndexFunc(Sites, func(info SiteInfo) bool { return info.Site == s })
	if i < 0 {
		return SiteInfo{}, fmt.Errorf("find site %.20q: want ach-mid, ach-ins, calf, patellar, plantar, shin or other", string(s))
	}
	return Sites[i], nil
}

// Side is a side of the body. A complaint on both sides is two that are linked.
type Side string

// The sides.
const (
	Left  Side = "left"
	Right Side = "right"
)

// Status is where a complaint stands.
type Status string

// The states of a complaint. One that was handed over is the runner's own again, its
// limits kept; both it and an open one are followed.
const (
	Open       Status = "open"
	HandedOver Status = "handed-over"
	Closed     Status = "closed"
)

// Complaint is something that hurts and is followed.
type Complaint struct {
	ID     string
	Site   Site
	Side   Side
	Onset  load.Day // when it began, as far as anybody knows
	Bone   bool     // a bone hurts: any score above 0 at it is a flare
	Linked string   // the same on the other side, empty: none

	// Steps are what became of it, in order of day; the first opens it.
	Steps []Step
	// Bases are the baselines that a person typed, in order of day.
	Bases []Base
}

// Step is one change of a complaint's state.
type Step struct {
	Day    load.Day
	Status Status
	Onset  load.Day // of one that opens it again: when it began again; 0: not said
}

// Base is a baseline that a person typed, from a day on; nil: not said.
type Base struct {
	From            load.Day
	Pain, Stiffness *float64
}

// Name is what hurts in a runner's words: left Achilles tendon. It panics for a site that
// Check would refuse.
func (c *Complaint) Name() string {
	info, err := FindSite(c.Site)
	if err != nil {
		panic(err)
	}
	name := string(c.Side) + " " + info.Short
	if c.Bone {
		name += " (bone)"
	}
	return name
}

// Pairs reports whether two complaints are the two sides of one.
func (c *Complaint) Pairs(other *Complaint) bool {
	return c.Linked != "" && c.Linked == other.ID || other.Linked != "" && other.Linked == c.ID
}

// Take adds a step as it was said. What was said before of a later day does not stand any
// more: a handing over that was still to come.
func (c *Complaint) Take(s Step) {
	for n := len(c.Steps); n > 1 && c.Steps[n-1].Day > s.Day; n-- {
		c.Steps = c.Steps[:n-1]
	}
	c.Steps = append(c.Steps, s)
}

// Coming returns the step after a day that is still to come; ok is false where none is.
func (c *Complaint) Coming(day load.Day) (s Step, ok bool) {
	i := slices.IndexFunc(c.Steps, func(s Step) bool { return s.Day > day })
	if i < 0 {
		return s, false
	}
	return c.Steps[i], true
}

// Opened returns the day on which it was first opened.
func (c *Complaint) Opened() load.Day { return c.Steps[0].Day }

// FollowedFrom returns the day from which it is followed without an end between, as of day:
// where it was closed and opened again, of the last opening.
func (c *Complaint) FollowedFrom(day load.Day) load.Day {
	from, ended := c.Opened(), false
	for _, s := range c.Steps {
		if s.Day > day {
			break
		}
		if ended && s.Status != Closed {
			from = s.Day
		}
		ended = s.Status == Closed
	}
	return from
}

// Began returns when what stands on day began: the relapse, if it was opened again.
func (c *Complaint) Began(day load.Day) load.Day {
	began := c.Onset
	for _, s := range c.Steps {
		if s.Day <= day && s.Onset != 0 {
			began = s.Onset
		}
	}
	return began
}

// Named returns the complaint with an ID, or of SITE:SIDE the last one that is followed, else
// the last; ok is false where there is none.
func Named(all []Complaint, name string) (c Complaint, ok bool) {
	found := -1
	for i := range all {
		one := &all[i]
		switch {
		case one.ID == name:
			return *one, true
		case string(one.Site)+":"+string(one.Side) != name:
		case found < 0 || !one.ended() || all[found].ended():
			found = i
		}
	}
	if found < 0 {
		return c, false
	}
	return all[found], true
}

// ended reports whether its last step closed it.
func (c *Complaint) ended() bool { return c.Steps[len(c.Steps)-1].Status == Closed }

// Status returns where the complaint stands on day; ok is false before it was opened.
func (c *Complaint) Status(day load.Day) (status Status, ok bool) {
	for _, s := range c.Steps {
		if s.Day <= day {
			status, ok = s.Status, true
		}
	}
	return status, ok
}

// Followed reports whether the complaint was open or handed over on day.
func (c *Complaint) Followed(day load.Day) bool {
	status, ok := c.Status(day)
	return ok && status != Closed
}

// Spans returns the days up to today on which it was followed.
func (c *Complaint) Spans(today load.Day) (spans []load.DaySpan) {
	for i, s := range c.Steps {
		if s.Status == Closed || s.Day > today {
			continue
		}
		last := today
		if i+1 < len(c.Steps) {
			last = min(today, c.Steps[i+1].Day-1)
		}
		if n := len(spans); n > 0 && spans[n-1].Last == s.Day-1 {
			spans[n-1].Last = last
		} else if last >= s.Day {
			spans = append(spans, load.DaySpan{First: s.Day, Last: last})
		}
	}
	return spans
}

// The bounds of what is typed; common practice, no source.
const (
	MaxScore     = 10
	MaxStiffness = 600 // minutes
)

// Check reports why the complaint cannot be.
func (c *Complaint) Check() error {
	if _, err := FindSite(c.Site); err != nil {
		return err
	}
	if c.Side != Left && c.Side != Right {
		return fmt.Errorf("side %.20q: want left or right", string(c.Side))
	}
	if len(c.Steps) == 0 {
		return errors.New("it was never opened")
	}
	if c.Onset > c.Opened() {
		return fmt.Errorf("it began on %v, after it was opened on %v", c.Onset, c.Opened())
	}
	for i, s := range c.Steps {
		if i > 0 && s.Day < c.Steps[i-1].Day {
			return fmt.Errorf("%s on %v, before %s on %v", s.Status, s.Day, c.Steps[i-1].Status, c.Steps[i-1].Day)
		}
		if s.Onset > s.Day {
			return fmt.Errorf("it began again on %v, after it was opened on %v", s.Onset, s.Day)
		}
	}
	for _, b := range c.Bases {
		if err := b.Check(); err != nil {
			return err
		}
	}
	return nil
}

// yearBefore is how many days before a complaint began its mornings may be told; project
// default.
const yearBefore = 365

// CheckMorning reports why nobody can say anything of it on a waking date.
func (c *Complaint) CheckMorning(day load.Day) error {
	switch {
	case day < 0:
		return fmt.Errorf("the morning of %v is before 1970", day)
	case day < c.Onset-yearBefore:
		return fmt.Errorf("the morning of %v is more than a year before it began, on %v", day, c.Onset)
	}
	return nil
}

// Check reports why a baseline cannot be.
func (b Base) Check() error {
	if b.Pain != nil && !(*b.Pain >= 0 && *b.Pain <= MaxScore) {
		return fmt.Errorf("usual score of %g: want 0 to %d", *b.Pain, MaxScore)
	}
	if b.Stiffness != nil && !(*b.Stiffness >= 0 && *b.Stiffness <= MaxStiffness) {
		return fmt.Errorf("usual stiffness of %g min: want 0 to %d", *b.Stiffness, MaxStiffness)
	}
	return nil
}
