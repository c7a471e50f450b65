package main

import (
	"errors"
	"fmt"
	"text/tabwriter"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/web/api/intake"
	"tidemark/web/api/wire"
	"tidemark/web/words"
)

type inspectCommand struct {
	File string `arg:"" help:"A recording, plain or packed."`
}

func (*inspectCommand) examples() string {
	return "  tidemark inspect sunday.fit\n  tidemark inspect --json export.zip | jq '.[].notes'"
}

// Run decodes the file and prints what was understood. With no runner to ask,
// the home zone is --zone or this machine's.
func (c *inspectCommand) Run(a *app) error {
	zone := a.Zone
	if zone == "" {
		zone = machineZone(a.env)
	}
	home, err := time.LoadLocation(zone)
	if err != nil {
		return &failure{exitUse, fmt.Errorf("read zone %q: no such zone", zone), "a name as in Europe/Oslo"}
	}
	f, err := openFile(c.File)
	if err != nil {
		return &failure{exitUse, fmt.Errorf("inspect: %w", err), ""}
	}
	defer f.Close()
	opt := intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(a.now()), Home: home}
	found := []wire.Inspected{}
	refused, mornings := 0, 0
	for rec, err := range ingest.Unpack(c.File, f, f.Size(), opt.Limits) {
		switch {
		case err != nil:
		case rec.IsMornings():
			mornings++
			err = a.inspectMornings(rec, opt)
		default:
			var more []wire.Inspected
			more, err = inspect(rec, opt)
			found = append(found, more...)
		}
		if err != nil && !errors.Is(err, ingest.ErrAside) {
			refused++
			a.fail(&failure{exitRefused, fmt.Errorf("%s: %w", rec.Path, err), ""})
		}
	}
	if len(found) > 0 || refused == 0 && mornings == 0 {
		if err := a.printInspected(found); err != nil {
			return err
		}
	}
	if refused > 0 {
		return errTold
	}
	return nil
}

// inspectMornings says what was read of a file of mornings.
func (a *app) inspectMornings(rec ingest.Recording, opt intake.Options) error {
	got, err := rec.Decode(ingest.Options{Limits: opt.Limits, Now: opt.Now, Home: opt.Home})
	if err != nil {
		return err
	}
	first, last := got.Mornings[0].Day, got.Mornings[0].Day
	for _, row := range got.Mornings {
		first, last = min(first, row.Day), max(last, row.Day)
	}
	if a.JSON {
		return a.writeJSON(struct {
			Format   ingest.Format `json:"format"`
			Mornings int           `json:"mornings"`
			First    load.Day      `json:"first"`
			Last     load.Day      `json:"last"`
		}{got.Format, len(got.Mornings), first, last})
	}
	fmt.Fprintf(a.out, "%s, %s to %s\n", words.Plural(len(got.Mornings), "morning"), words.Day(first), words.Day(last))
	return nil
}

func inspect(rec ingest.Recording, opt intake.Options) (found []wire.Inspected, err error) {
	format, sessions, _, err := intake.Decode(rec, opt, nil)
	for i := range sessions {
		found = append(found, wire.FromSession(string(format), &sessions[i]))
	}
	return found, err
}

// printInspected writes one object for one activity, an array for several.
func (a *app) printInspected(found []wire.Inspected) error {
	switch {
	case a.JSON && len(found) == 1:
		return a.writeJSON(found[0])
	case a.JSON:
		return a.writeJSON(found)
	}
	for i := range found {
		if i > 0 {
			fmt.Fprintln(a.out)
		}
		if err := printActivity(a, &found[i]); err != nil {
			return err
		}
	}
	return nil
}

func printActivity(a *app, s *wire.Inspected) error {
	w := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	row := func(name, format string, args ...any) {
		fmt.Fprintf(w, "%s\t"+format+"\n", append([]any{name}, args...)...)
	}
	sport := s.Sport
	if s.SubSport != nil {
		sport += ", " + *s.SubSport
	}
	row("what", "%s (%s)", sport, s.Format)
	row("start", "%s, day %v (zone from %s)", s.Start, s.Day, s.ZoneSource)
	if s.Distance != nil {
		row("distance", "%.2f km (%s)", *s.Distance/1000, *s.DistanceSource)
	}
	row("time", "%s moving of %s", clock(s.Moving), clock(s.Elapsed))
	if s.RunTime > 0 || s.WalkTime > 0 {
		row("", "%s running in %s, %s walking", clock(s.RunTime), words.Plural(s.RunSpells, "spell"), clock(s.WalkTime))
	}
	if s.Steps != nil {
		row("steps", "%d (from %s)", *s.Steps, *s.StepsSource)
	}
	if s.HeartMean != nil && s.HeartMax != nil {
		row("heart", "%.0f on average, %.0f at most, per minute", *s.HeartMean, *s.HeartMax)
	}
	if s.Ascent != nil && s.Descent != nil {
		row("ascent", "%.0f m up, %.0f m down", *s.Ascent, *s.Descent)
	}
	if flat := s.Measures[load.Flat.String()]; flat != nil && s.FlatACSM != nil {
		row("flat", "%.2f km on the level cost as much (Minetti), or %.2f (ACSM uphill)", *flat, *s.FlatACSM/1000)
	}
	row("samples", "%d, laps %d", s.Points, s.Laps)
	for _, note := range s.Notes {
		row("note", "%s (%s)", note.Text, note.Code)
	}
	return w.Flush()
}

// clock writes seconds as h:mm:ss.
func clock(seconds float64) string {
	d := time.Duration(seconds * float64(time.Second)).Round(time.Second)
	return fmt.Sprintf("%d:%02d:%02d", int(d.Hours()), int(d.Minutes())%60, int(d.Seconds())%60)
}
