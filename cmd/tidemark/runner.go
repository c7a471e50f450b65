package main

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

// runner returns the runner that is meant. In an empty journal that is written to
// it makes one.
func (a *app) runner(j *opened, write bool) (journal.Runner, error) {
	all, err := j.Runners(a.ctx, journal.Local)
	switch {
	case err != nil:
		return journal.Runner{}, a.journalFailure(err)
	case len(all) == 0 && write:
		return a.makeRunner(j)
	case len(all) == 0:
		return journal.Runner{}, &failure{exitJournal, errors.New("the journal has no runner yet"), "tidemark import FOLDER makes one"}
	case a.Runner == "" && len(all) == 1:
		return all[0], nil
	}
	var names []string
	for _, r := range all {
		if a.Runner == r.Name || a.Runner == string(r.ID) {
			return r, nil
		}
		names = append(names, r.Name)
	}
	hint := "--runner with one of: " + strings.Join(names, ", ")
	if a.Runner == "" {
		return journal.Runner{}, &failure{exitUse, errors.New("the journal has several runners"), hint}
	}
	return journal.Runner{}, &failure{exitUse, fmt.Errorf("find runner %q: there is none", a.Runner), hint}
}

// makeRunner makes the first runner of a journal: the one that was named, or me.
func (a *app) makeRunner(j *opened) (journal.Runner, error) {
	zone := a.Zone
	if zone == "" {
		zone = machineZone(a.env)
	}
	if _, err := time.LoadLocation(zone); err != nil || zone == "Local" {
		return journal.Runner{}, &failure{exitUse, fmt.Errorf("read zone %q: no such zone", zone), "a name as in Europe/Oslo"}
	}
	name := a.Runner
	if name == "" {
		name = "me"
	}
	today, err := a.today(journal.Runner{Home: zone})
	if err != nil {
		return journal.Runner{}, err
	}
	r, err := j.AddRunner(a.ctx, name, zone, today)
	if err != nil {
		return r, a.journalFailure(err)
	}
	return r, nil
}

// machineZone returns the IANA name of this machine's zone, UTC if it has none.
func machineZone(env func(string) string) string {
	if zone := strings.TrimPrefix(env("TZ"), ":"); zone != "" {
		return zone
	}
	target, err := os.Readlink("/etc/localtime")
	if _, zone, ok := strings.Cut(target, "zoneinfo/"); err == nil && ok {
		return zone
	}
	return "UTC"
}

// today is --on, or the date on the runner's clock.
func (a *app) today(r journal.Runner) (load.Day, error) {
	if a.On != 0 {
		return a.On, nil
	}
	today, err := r.Today(load.InstantOf(a.now()))
	if err != nil {
		return 0, &failure{exitJournal, err, ""}
	}
	return today, nil
}
