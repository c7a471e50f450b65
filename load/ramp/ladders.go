package ramp

import (
	"fmt"
	"slices"

	"tidemark/load/rehab"
)

// Table is a ladder as it can be chosen: the default one, or a published step table.
type Table struct {
	ID     string
	Name   string
	Sites  []rehab.Site // nil: all
	Steps  []Stage      // as published, in minutes; Stage numbers them
	Note   string       // what it says besides minutes
	Source string
	Status string
}

// DefaultTable is the ID of the default ladder.
const DefaultTable = "minutes"

// Tables lists them, the default first (rehab reference 4.2 and 5.3). Where a published
// table goes up by more than the session cap allows, Ladder puts shorter
// or fewer runs between.
var Tables = []Table{
	{
		ID: DefaultTable, Name: "From 10 times 1 min to 42 min", Steps: Ladder,
		Source: "rehab reference 5.3", Status: "project default",
	},
	{
		ID: "blocks-of-five", Name: "Blocks of five minutes, one more of running at a time", Sites: []rehab.Site{rehab.Shin, rehab.Other},
		Steps: []Stage{{1, 6, 1, 4}, {2, 6, 2, 3}, {3, 6, 3, 2}, {4, 6, 4, 1}, {5, 1, 30, 0}},
		Note:  "on alternate days, no pain allowed; then the pace from half to the whole", Source: "Warden et al. 2014, J Orthop Sports Phys Ther 44:749", Status: "value from memory",
	},
	{
		ID: "shin-six", Name: "Six phases for the inner shin", Sites: []rehab.Site{rehab.Shin},
		Steps: []Stage{{1, 4, 2, 2}, {2, 4, 3, 2}, {3, 1, 16, 0}, {4, 1, 18, 0}},
		Note:  "three times a week, on alternate days; its phases 1 and 2, and 3 and 4, differ in pace alone; begun by the miles of a test run until pain of 2 of 10: up to 0.25 with phase 1, 0.5 with 2, 0.75 with 3, 1 with 4", Source: "Moen et al. 2012", Status: "as cited on an adapted page",
	},
	{
		ID: "knee-six", Name: "Six phases for the knee", Sites: []rehab.Site{rehab.Patellar, rehab.Other},
		Steps: []Stage{{1, 3, 3, 2}, {2, 4, 3, 2}, {3, 3, 4, 2}, {4, 4, 4, 2}, {5, 5, 4, 1}, {6, 1, 22, 0}},
		Note:  "a rest day between, each phase twice, flat only; effort 3 to 5 of 10", Source: "Trials 2023, doi 10.1186/s13063-023-07502-x, Table 1",
		Status: "read, in miles; the minutes are derived at 2.4 m/s running and 1.4 m/s walking, project default",
	},
	{
		ID: "two-by-two", Name: "Two minutes of walking, two of running, four times", Steps: []Stage{{1, 4, 2, 2}},
		Note: "a beginning after surgery; the default ladder goes on from it", Source: "Saxena and Guillet", Status: "as cited",
	},
}

// FindTable returns the table of an ID; empty is the default.
func FindTable(id string) (Table, error) {
	if id == "" {
		id = DefaultTable
	}
	i := slices.IndexFunc(Tables, func(t Table) bool { return t.ID == id })
	if i < 0 {
		return Table{}, fmt.Errorf("find ladder %.40q: there is none", id)
	}
	return Tables[i], nil
}

// TablesFor returns those that can be chosen for a site.
func TablesFor(site rehab.Site) (out []Table) {
	for _, t := range Tables {
		if t.Sites == nil || slices.Contains(t.Sites, site) {
			out = append(out, t)
		}
	}
	return out
}

// Ladder returns the steps as a ladder that the session cap can climb: a step that asks for
// more is led up to with shorter runs, or fewer of them; above its last step it
// goes on as the default ladder does.
func (t *Table) Ladder() (ladder []Stage) {
	add := func(s Stage) {
		s.Stage = len(ladder) + 1
		ladder = append(ladder, s)
	}
	for _, s := range append(slices.Clone(t.Steps), beyond(t.Steps)...) {
		if len(ladder) > 0 {
			for _, between := range bridge(ladder[len(ladder)-1].Total(), s) {
				add(between)
			}
		}
		add(s)
	}
	return ladder
}

// beyond returns the stages of the default ladder that ask for more than the last step.
func beyond(steps []Stage) (out []Stage) {
	last := steps[len(steps)-1].Total()
	for _, s := range Ladder {
		if s.Total() > last {
			out = append(out, s)
		}
	}
	return out
}

// bridge returns stages between so many minutes and a step, each as large as the session
// cap allows: the step with shorter runs, in half minutes, or with fewer of them.
func bridge(from Minutes, to Stage) (out []Stage) {
	for grownBy(from) < to.Total()-hair {
		s := under(to, grownBy(from))
		if s.Total() <= from {
			return out // the plan waits below it
		}
		out = append(out, s)
		from = s.Total()
	}
	return out
}

// under returns the most of a step that so many minutes allow.
func under(to Stage, roof Minutes) Stage {
	shorter, fewer := to, to
	shorter.Run = wholeMinutes(2*roof/Minutes(to.Reps)) / 2
	fewer.Reps = int((roof + hair) / to.Run)
	if fewer.Total() > shorter.Total() {
		return fewer
	}
	return shorter
}

// The bounds of a ladder that somebody makes; project defaults.
const (
	mostStages      = 40
	mostReps        = 60
	mostStageRun    = 240
	mostStageWalk   = 60
	leastStageTotal = 1
)

// CheckLadder reports why stages are no ladder: each must ask for no less than the one
// before and no more than the session cap allows after it.
func CheckLadder(stages []Stage) error {
	if len(stages) == 0 || len(stages) > mostStages {
		return fmt.Errorf("%d stages: want 1 to %d", len(stages), mostStages)
	}
	for i, s := range stages {
		n := i + 1
		switch {
		case s.Reps < 1 || s.Reps > mostReps:
			return fmt.Errorf("stage %d: %d times: want 1 to %d", n, s.Reps, mostReps)
		case !(s.Run > 0 && s.Run <= mostStageRun && s.Total() >= leastStageTotal):
			return fmt.Errorf("stage %d: %g min of running: want up to %d, and a minute in all at least", n, float64(s.Run), mostStageRun)
		case !(s.Walk >= 0 && s.Walk <= mostStageWalk):
			return fmt.Errorf("stage %d: %g min of walking: want 0 to %d", n, float64(s.Walk), mostStageWalk)
		case i > 0 && s.Total() < stages[i-1].Total()-hair:
			return fmt.Errorf("stage %d: %s min of running, and stage %d has %s: want no less", n, inWords(s.Total()), i, inWords(stages[i-1].Total()))
		case i > 0 && s.Total() > grownBy(stages[i-1].Total())+hair:
			return fmt.Errorf("stage %d: %s min of running after %s: the session cap allows %s", n, inWords(s.Total()), inWords(stages[i-1].Total()), inWords(grownBy(stages[i-1].Total())))
		}
	}
	return nil
}
