package main

import (
	"errors"
	"fmt"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
	"tidemark/web/words"
)

type racesCommand struct {
	Plan load.Day `placeholder:"YYYY-MM-DD" help:"Plan and accept a race on this day."`
	Off  load.Day `placeholder:"YYYY-MM-DD" help:"Take the race of this day off."`
	Name string   `placeholder:"NAME" help:"What the race is called."`
	KM   float64  `name:"km" placeholder:"KM" help:"How long it is."`
}

func (*racesCommand) examples() string {
	return `  tidemark races
  tidemark races --plan 2026-10-04 --name "Island half" --km 21.1
  tidemark races --off 2026-10-04`
}

// Run lists the races, or changes one.
func (c *racesCommand) Run(a *app) error {
	write := c.Plan != 0 || c.Off != 0
	if c.Plan != 0 && c.Off != 0 || c.Plan == 0 && (c.Name != "" || c.KM != 0) {
		return &failure{exitUse, errors.New("races: want one of --plan and --off; --name and --km belong to --plan"), ""}
	}
	book, today, done, err := a.reading(write)
	if err != nil {
		return err
	}
	defer done()
	if write {
		return c.change(a, book, today)
	}
	races, err := book.Planned(a.ctx)
	if err != nil {
		return a.journalFailure(err)
	}
	return listRaces(a, races)
}

func (c *racesCommand) change(a *app, book *journal.Book, today load.Day) error {
	race := load.PlannedRace{Day: c.Plan, Name: c.Name}
	if c.KM != 0 {
		if !(c.KM >= 0.1 && c.KM <= 500) {
			return &failure{exitUse, fmt.Errorf("races: --km takes 0.1 to 500, not %g", c.KM), ""}
		}
		race.Distance = load.Distance.Of(c.KM)
	}
	if c.Off != 0 {
		race.Day = c.Off
	}
	if err := race.Check(); err != nil {
		return &failure{exitUse, fmt.Errorf("races: %w", err), ""}
	}
	if err := book.PlanRace(a.ctx, race, c.Off != 0); err != nil {
		return a.journalFailure(err)
	}
	if err := book.Refresh(a.ctx, today); err != nil {
		return a.journalFailure(err)
	}
	a.say("kept\n")
	return nil
}

func listRaces(a *app, races []load.PlannedRace) error {
	if a.JSON {
		return a.writeJSON(wire.FromRaces(races))
	}
	if len(races) == 0 {
		fmt.Fprintln(a.out, "No race is planned.")
	}
	for _, r := range races {
		text := words.Weekday(r.Day)
		if r.Name != "" {
			text += ": " + r.Name
		}
		if r.Distance > 0 {
			text += ", " + words.Value(load.Distance, load.Distance.In(r.Distance))
		}
		fmt.Fprintln(a.out, text)
	}
	return nil
}
