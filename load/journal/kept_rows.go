package journal

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"tidemark/load"
	"tidemark/load/rehab"
)

// recordings checks what hangs on originals.
func (c *keptCheck) recordings() error {
	sums := make(map[Sum]bool)
	err := each("original", c.k.Originals, func(o *Original) error {
		if sums[o.Sum] {
			return fmt.Errorf("%v is there twice", o.Sum)
		}
		sums[o.Sum] = true
		if o.Size < 0 || o.Size > maxOriginal {
			return fmt.Errorf("%d bytes: want at most %d", o.Size, maxOriginal)
		}
		return nil
	})
	decided := make(map[string]bool)
	if err == nil {
		err = each("zone", c.k.Zones, func(z *ZoneDecision) error {
			switch {
			case !sums[z.Sum]:
				return fmt.Errorf("its original %v is not there", z.Sum)
			case z.Session == "" || decided[z.Session]:
				return fmt.Errorf("session %.60q has a zone already, or no name", z.Session)
			case z.Zone.Offset < -farthest || z.Zone.Offset > farthest:
				return fmt.Errorf("%v ahead of UTC: want at most %v", z.Zone.Offset, farthest)
			case !slices.Contains([]load.ZoneSource{load.ZoneFromFile, load.ZoneFromCoordinates, load.ZoneFromHome}, z.Zone.Source):
				return fmt.Errorf("source %.20q: want file, coordinates or home", string(z.Zone.Source))
			}
			decided[z.Session] = true
			return nil
		})
	}
	rested := make(map[load.Day]bool)
	if err == nil {
		err = each("rest", c.k.Rests, func(r *Rest) error {
			if !sums[r.Sum] || rested[r.Day] {
				return fmt.Errorf("%v: its diary is not there, or it is there twice", r.Day)
			}
			rested[r.Day] = true
			return nil
		})
	}
	if err != nil {
		return err
	}
	return each(string(EditHistory), c.k.Edits, func(e *Edit) error {
		if !decided[e.Session] {
			return fmt.Errorf("there is no session %.60q", e.Session)
		}
		var said load.Edit
		return said.Set(e.Field, e.Value)
	})
}

// farthest is how far a clock may be from UTC: the zones of the world are within 14 hours,
// and a watch that was set by hand within a day. Project default.
const farthest = 24 * time.Hour

// said checks what was said of days, races and settings.
func (c *keptCheck) said() error {
	err := each(string(SettingHistory), c.k.Settings, func(s *Setting) error {
		choice := Choice{s.Key, s.Value}
		return choice.check()
	})
	if err == nil {
		err = each(string(GapHistory), c.k.Gaps, func(g *Gap) error { return g.Check() })
	}
	if err == nil {
		err = each(string(RaceHistory), c.k.Races, func(r *Race) error {
			planned := load.PlannedRace{Day: r.Day, Name: r.Name, Distance: r.Distance}
			return planned.Check()
		})
	}
	if err == nil {
		err = each(string(AwayHistory), c.k.Plan.Aways, func(a *Away) error { return CheckAway(a.DaySpan, a.Reason) })
	}
	if err == nil {
		err = each(string(RedFlagHistory), c.k.RedFlags, func(f *RedFlag) error {
			if f.Flag == rehab.NothingNew {
				return nil
			}
			_, err := rehab.FindRedFlag(f.Flag)
			return err
		})
	}
	if err != nil {
		return err
	}
	return each(string(ResultHistory), c.k.Results, func(r *Result) error { return r.Check(c.today) })
}

// complaints checks each with its steps and baselines. It is a fault of its last step if
// they cannot be those of one.
func (c *keptCheck) complaints() error {
	c.site = make(map[string]rehab.Site)
	err := each("complaint", c.k.Complaints, func(one *Complaint) error {
		rest, ok := strings.CutPrefix(one.ID, fmt.Sprintf("%s-%s", one.Site, one.Side))
		if !ok || !laterName.MatchString(rest) {
			return fmt.Errorf("name %.40q: want that of its site and side", one.ID)
		}
		if _, there := c.site[one.ID]; there {
			return fmt.Errorf("%s is there twice", one.ID)
		}
		c.site[one.ID] = one.Site
		return complaintOfSteps(*one, stepsOf(c.k, one.ID))
	})
	if err == nil {
		err = each("complaint", c.k.Complaints, func(one *Complaint) error { return c.follows(one.Linked, one.Linked == "") })
	}
	if err == nil {
		err = each(string(StepHistory), c.k.Steps, func(s *ComplaintStep) error {
			if !slices.Contains([]rehab.Status{rehab.Open, rehab.HandedOver, rehab.Closed}, s.Status) {
				return fmt.Errorf("status %.20q: want open, handed-over or closed", string(s.Status))
			}
			return c.follows(s.Complaint, false)
		})
	}
	if err != nil {
		return err
	}
	return each(string(BaseHistory), c.k.Bases, func(b *ComplaintBase) error {
		return errors.Join(c.follows(b.Complaint, false), b.Check())
	})
}

// laterName ends the name of the second complaint of a site and side, and of later ones.
var laterName = regexp.MustCompile(`^(-[1-9][0-9]{0,5})?$`)

func (c *keptCheck) follows(complaint string, none bool) error {
	if _, ok := c.site[complaint]; !ok && !none {
		return fmt.Errorf("there is no complaint %.40q", complaint)
	}
	return nil
}

// named checks routines, whose name may be that of no programme which is published.
func (c *keptCheck) named() error {
	there := make(map[string]bool)
	return each("routine", c.k.Plan.Routines, func(r *Routine) error {
		number, own := strings.CutPrefix(r.ID, "own-")
		n, err := strconv.Atoi(number)
		if !own || err != nil || n < 1 || number != strconv.Itoa(n) || there[r.ID] {
			return fmt.Errorf("name %.40q: want own- and a number, each once", r.ID)
		}
		there[r.ID] = true
		if len(r.Sites) != 1 || len(r.Phases) != 1 {
			return errors.New("want one site and one list of exercises")
		}
		again, err := rehab.Routine(r.ID, r.Name, r.Sites[0], r.MostPain, r.Phases[0].Doses)
		if err == nil && keyOf(again) != keyOf(r.Programme) {
			err = errors.New("its exercises are not in their order")
		}
		return err
	})
}

// followed checks what is said of complaints.
func (c *keptCheck) followed() error {
	err := each(string(MorningHistory), c.k.Mornings, func(m *Morning) error {
		return errors.Join(c.follows(m.Complaint, false), m.Check(c.today))
	})
	if err == nil {
		library := libraryOf(c.k.Plan.Routines)
		err = each(string(PrescriptionHistory), c.k.Plan.Prescriptions, func(p *Prescription) error {
			if err := c.follows(p.Complaint, false); err != nil {
				return err
			}
			return p.Check(&rehab.Complaint{ID: p.Complaint, Site: c.site[p.Complaint]}, library)
		})
	}
	if err == nil {
		err = each(string(DoneHistory), c.k.Plan.Done, func(d *Done) error {
			return errors.Join(c.follows(d.Complaint, false), d.Check(c.today))
		})
	}
	if err != nil {
		return err
	}
	return each(string(OrderHistory), c.k.Plan.Orders, func(o *Order) error {
		return errors.Join(c.follows(o.Complaint, false), o.Check())
	})
}

// ramps checks terms, which were set for one of the sites, and gates.
func (c *keptCheck) ramps() error {
	err := each(string(RampHistory), c.k.Ramps, func(r *RampTerms) error {
		err := errors.New("nothing is followed that it could be for")
		for _, one := range c.k.Complaints {
			if err = r.Terms.Check(one.Site); err == nil {
				return nil
			}
		}
		return err
	})
	if err != nil {
		return err
	}
	if err := each(string(GateHistory), c.k.Gates, func(g *Gate) error { return g.Check(c.today) }); err != nil {
		return err
	}
	return each(string(NoteHistory), c.k.Notes, (*Note).Check)
}

// findings checks that each has a state and rests on rules that there are.
func (c *keptCheck) findings() error {
	said, stated := make(map[string]bool), make(map[string]bool)
	for _, s := range c.k.States {
		stated[s.Finding] = true
	}
	err := each("finding", c.k.Findings, func(f *load.Finding) error {
		if !stated[f.ID] || said[f.ID] {
			return fmt.Errorf("%.60q has no state, or is there twice", f.ID)
		}
		said[f.ID] = true
		for _, rule := range append([]string{f.Rule}, rulesOf(f.Evidence)...) {
			if !slices.ContainsFunc(load.Rules, func(r load.Rule) bool { return r.ID == rule }) {
				return fmt.Errorf("there is no rule %.40q", rule)
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	return each(string(StateHistory), c.k.States, func(s *StateChange) error {
		if !slices.Contains([]State{Open, Seen, SetAside, Closed, Withdrawn}, s.State) || !said[s.Finding] {
			return fmt.Errorf("state %.20q of finding %.60q: there is none", string(s.State), s.Finding)
		}
		return nil
	})
}

func rulesOf(evidence []load.Evidence) (rules []string) {
	for _, e := range evidence {
		rules = append(rules, e.Rule)
	}
	return rules
}
