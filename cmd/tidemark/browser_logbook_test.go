package main

import (
	"context"
	"io"
	"log/slog"
	"net"
	"path/filepath"
	"testing"

	"tidemark/cmd/tidemark/demo"
	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web"
)

// logbook is a journal that is served, on a clock that stands at noon of a day.
type logbook struct {
	journal *journal.Journal
	day     load.Day
	host    string
	runners map[string]journal.Runner // by name
}

// The runners that the tests look at: one of the club with everything, one of
// the club whose runs may be corrected, and one whose logbook begins empty.
const (
	edda  = "Edda Quill"
	hedda = "Hedda Brock"
	tove  = "Tove Marsh"
	osk   = "Osk Tarrant" // of the club, with days without a record
	nessa = "Nessa Vale"  // of the club, with a tendon that hurts
)

// quietApp is the program on the journal of a folder, silent.
func quietApp(folder string, day load.Day) *app {
	common := Common{DB: filepath.Join(folder, "tidemark.db"), On: day, Quiet: true}
	world := streams{out: io.Discard, err: io.Discard, now: day.Noon, env: func(string) string { return "" }}
	return &app{streams: &world, Common: &common, ctx: context.Background()}
}

// serveClub serves the demo's journal, the first page being that of its first
// runner.
func serveClub(t *testing.T, day load.Day) logbook {
	t.Helper()
	a := quietApp(t.TempDir(), day)
	club := demo.Club(day)
	for i := range club {
		if err := a.joinClub(filepath.Dir(a.DB), &club[i], day); err != nil {
			t.Fatal(err)
		}
	}
	return a.serveLogbook(t, edda)
}

// serveShared serves the same with accounts: nobody is asked for a password, the test signs
// them in.
func serveShared(t *testing.T, day load.Day) logbook {
	t.Helper()
	a := quietApp(t.TempDir(), day)
	club := demo.Club(day)
	for i := range club {
		if err := a.joinClub(filepath.Dir(a.DB), &club[i], day); err != nil {
			t.Fatal(err)
		}
	}
	if err := a.joinPeople(filepath.Dir(a.DB), club, day); err != nil {
		t.Fatal(err)
	}
	return a.serveLogbook(t, "")
}

// serveFresh serves a journal with one runner and no run.
func serveFresh(t *testing.T, day load.Day) logbook {
	t.Helper()
	a := quietApp(t.TempDir(), day)
	if err := a.addRunner(&demo.Runner{Name: tove, Home: demo.Home, FirstUse: day}); err != nil {
		t.Fatal(err)
	}
	return a.serveLogbook(t, tove)
}

// serveLogbook serves the journal on a free port until the test ends.
func (a *app) serveLogbook(t *testing.T, first string) logbook {
	t.Helper()
	j, err := a.open(true)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { j.Close() })
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	book := logbook{journal: j.Journal, day: a.On, host: l.Addr().String(), runners: make(map[string]journal.Runner)}
	all, err := j.Runners(a.ctx, journal.Local)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range all {
		book.runners[r.Name] = r
	}
	server := web.New(web.Options{
		Journal: j.Journal, Now: a.clock(journal.Runner{}), Log: slog.New(slog.NewTextHandler(t.Output(), &slog.HandlerOptions{Level: slog.LevelError})),
		Runner: book.runners[first].ID, Limits: ingest.DefaultLimits, Accounts: first == "", Letters: func() {},
	})
	ctx, stop := context.WithCancel(a.ctx)
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(ctx, l) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return book
}

// page returns the address of a page of a runner: "" is today, "/load" the load.
func (l *logbook) page(runner, rest string) string {
	return "http://" + l.host + "/r/" + string(l.runners[runner].ID) + rest
}

// book opens a runner's book as the one local person.
func (l *logbook) book(t *testing.T, runner string) *journal.Book {
	t.Helper()
	b, err := l.journal.Open(t.Context(), journal.Local, l.runners[runner].ID)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// sessions returns what is in a runner's logbook, in order of time.
func (l *logbook) sessions(t *testing.T, runner string) []load.Session {
	t.Helper()
	all, err := l.book(t, runner).Sessions(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// latestRun returns the latest run of a runner.
func (l *logbook) latestRun(t *testing.T, runner string) load.Session {
	t.Helper()
	all := l.sessions(t, runner)
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].Sport == load.Running {
			return all[i]
		}
	}
	t.Fatalf("%s has no run", runner)
	return load.Session{}
}
