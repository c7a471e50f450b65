package main

import (
	"errors"
	"fmt"
	"net"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"tidemark/cmd/tidemark/demo"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

type demoCommand struct {
	Dir  string `placeholder:"FOLDER" help:"Keep the files and the journal in this folder; by default they are thrown away."`
	Addr string `placeholder:"HOST:PORT" help:"Where to listen; by default 127.0.0.1:8080, or any port that is free."`
}

func (*demoCommand) examples() string {
	return `  tidemark demo
  tidemark demo --dir club              # and then: tidemark load --db club/tidemark.db --runner "Edda Quill"
  tidemark demo --json                  # the first runner's load instead of the pages`
}

// Run writes the club's files, imports them as anybody's, and serves their
// logbooks, that of the first runner first.
func (c *demoCommand) Run(a *app) error {
	if a.DB != "" && c.Dir == "" {
		a.DB = "" // a journal of one's own is no place for invented runners
	}
	folder, done, err := c.folder()
	if err != nil {
		return err
	}
	defer done()
	today := a.On
	if today == 0 {
		today = load.DayOf(a.now())
	}
	club := demo.Club(today)
	for i := range club {
		if err := a.joinClub(folder, &club[i], today); err != nil {
			return err
		}
	}
	if err := a.joinPeople(folder, club, today); err != nil {
		return err
	}
	if a.JSON {
		return (&loadCommand{}).Run(a.as(folder, club[0].Name, today))
	}
	a.say("\nSome of the club's files are damaged or no recordings on purpose.\n%s: %s\n", club[0].Name, club[0].Story)
	if c.Dir != "" {
		a.say("The files are in %s. Look on with: tidemark load --db %s --runner NAME\n", folder, filepath.Join(folder, "tidemark.db"))
	}
	return c.serve(a.as(folder, club[0].Name, a.On), club)
}

// usual is where the demo listens if nothing else does.
const usual = "127.0.0.1:8080"

func (c *demoCommand) serve(a *app, club []demo.Runner) error {
	a.Quiet = true // the requests of one person trying it are no news
	at := serveCommand{Addr: c.Addr}
	at.entrances = func(j *opened, base *url.URL) error { return a.printEntrances(j, club, base) }
	if at.Addr == "" {
		at.Addr = usual
		if taken, err := net.Listen("tcp", usual); err == nil {
			taken.Close()
		} else {
			at.Addr = "127.0.0.1:0"
		}
	}
	return at.Run(a)
}

// folder returns where the club's files go and what to do with it at the end.
func (c *demoCommand) folder() (folder string, done func(), err error) {
	if c.Dir == "" {
		folder, err = os.MkdirTemp("", "tidemark-demo-")
		return folder, func() { _ = os.RemoveAll(folder) }, err
	}
	if _, err := os.Stat(filepath.Join(c.Dir, "tidemark.db")); err == nil {
		return "", nil, &failure{exitUse, fmt.Errorf("demo: there is a journal in %s already", c.Dir), "give another folder"}
	}
	return c.Dir, func() {}, os.MkdirAll(c.Dir, 0o755)
}

// as is the app on the demo's journal, on a clock that shows the demo's day.
func (a *app) as(folder, runner string, on load.Day) *app {
	common, streams := *a.Common, *a.streams
	common.DB, common.Runner, common.On = filepath.Join(folder, "tidemark.db"), runner, on
	if on != 0 {
		streams.now = on.Noon
	}
	return &app{ctx: a.ctx, streams: &streams, Common: &common}
}

// joinClub makes one runner and imports what they exported.
func (a *app) joinClub(folder string, r *demo.Runner, today load.Day) error {
	exports := filepath.Join(folder, "exports", strings.ToLower(strings.ReplaceAll(r.Name, " ", "-")))
	for _, f := range r.Files {
		path := filepath.Join(exports, f.Name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return fmt.Errorf("write the club's files: %w", err)
		}
		if err := os.WriteFile(path, f.Data, 0o644); err != nil {
			return fmt.Errorf("write the club's files: %w", err)
		}
	}
	if err := a.as(folder, "", today).addRunner(r); err != nil {
		return err
	}
	to := a.as(folder, r.Name, today)
	to.JSON, to.Quiet = false, a.JSON || a.Quiet
	to.say("%s: importing %s\n", r.Name, exports)
	err := (&importCommand{Paths: []string{exports}}).Run(to)
	if errors.Is(err, errTold) {
		err = nil // the club has files that are to be refused
	}
	return err
}

// joinPeople makes the accounts of the club.
func (a *app) joinPeople(folder string, club []demo.Runner, today load.Day) error {
	to := a.as(folder, "", today)
	j, err := to.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	if err := to.peopleOf(j, club); err != nil {
		return a.journalFailure(err)
	}
	return nil
}

func (a *app) addRunner(r *demo.Runner) error {
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	runner, err := j.AddRunner(a.ctx, r.Name, r.Home, r.FirstUse)
	if err == nil && r.Care != nil {
		err = a.follow(j, runner.ID, r.Care)
	}
	if err != nil {
		return a.journalFailure(err)
	}
	return nil
}

// follow opens a complaint with its programme and what was done of it.
func (a *app) follow(j *opened, runner journal.RunnerID, c *demo.Care) error {
	book, err := j.Open(a.ctx, journal.Local, runner)
	if err != nil {
		return err
	}
	if _, err := book.OpenComplaint(a.ctx, c.Complaint, []rehab.Side{c.Complaint.Side}, c.Why); err != nil {
		return err
	}
	for _, p := range c.Programme {
		if err := book.Prescribe(a.ctx, p.Prescription, p.Why); err != nil {
			return err
		}
	}
	if err := book.LogDone(a.ctx, c.Done); err != nil {
		return err
	}
	if err := book.AddGate(a.ctx, c.Gate); err != nil {
		return err
	}
	return book.SetRamp(a.ctx, c.Terms, c.TermsWhy)
}
