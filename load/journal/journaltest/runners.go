package journaltest

import (
	"errors"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

func testRunners(t *testing.T, s journal.Store) {
	want := journal.Runner{ID: "a1", Name: "Ada", Home: "Asia/Kathmandu", FirstUse: -3, Revision: 7}
	update(t, s, func(tx journal.Tx) error { return tx.AddRunner(want) })
	view(t, s, func(tx journal.Tx) error {
		same(t, "Runner", get[journal.Runner](t)(tx.Runner("a1")), want)
		same(t, "RunnerNamed", get[journal.Runner](t)(tx.RunnerNamed("Ada")), want)
		same(t, "Runners", get[[]journal.Runner](t)(tx.Runners()), []journal.Runner{want})
		if _, err := tx.Runner("A1"); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("Runner of another ID: %v", err)
		}
		if _, err := tx.RunnerNamed("ada"); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("RunnerNamed of another name: %v", err)
		}
		return nil
	})
	for _, r := range []journal.Runner{{ID: "a1", Name: "Other"}, {ID: "a2", Name: "Ada"}} {
		err := s.Update(t.Context(), func(tx journal.Tx) error { return tx.AddRunner(r) })
		if !errors.Is(err, journal.ErrConflict) {
			t.Errorf("AddRunner %+v: %v", r, err)
		}
	}
	update(t, s, func(tx journal.Tx) error {
		same(t, "Touch", get[int64](t)(tx.Touch("a1")), int64(8))
		if _, err := tx.Touch("b"); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("Touch of nobody: %v", err)
		}
		return nil
	})
}

func testRunnerNames(t *testing.T, s journal.Store) {
	j := newJournal(s)
	cases := []struct{ name, kept string }{ // kept empty: refused
		{"  Łukasz Żółć ", "Łukasz Żółć"},
		{"Zoe\u0308", "Zo\u00eb"}, // two code points become one
		{"走る人", "走る人"},
		{"🏃🏽‍♀️", "🏃🏽‍♀️"},
		{"O'Hara; --", "O'Hara; --"},
		{strings.Repeat("ü", 200), strings.Repeat("ü", 200)},
		{strings.Repeat("ü", 201), ""},
		{" \t ", ""},
		{"two\nlines", ""},
		{"not \xff UTF-8", ""},
	}
	for _, c := range cases {
		r, err := j.AddRunner(t.Context(), c.name, "UTC", firstUse)
		if (err == nil) != (c.kept != "") || r.Name != c.kept {
			t.Errorf("AddRunner(%q) = %q, %v; want %q", c.name, r.Name, err, c.kept)
			continue
		}
		if err == nil {
			same(t, "Find "+c.name, get[journal.Runner](t)(j.Find(t.Context(), journal.Local, c.name)), r)
		}
	}
	if _, err := j.AddRunner(t.Context(), "Zo\u00eb", "UTC", firstUse); !errors.Is(err, journal.ErrConflict) {
		t.Errorf("a name that is taken: %v", err)
	}
	for _, zone := range []string{"", "Local", "Mars/Olympus"} {
		if _, err := j.AddRunner(t.Context(), "in "+zone, zone, firstUse); err == nil {
			t.Errorf("home zone %q was taken", zone)
		}
	}
}

func testFind(t *testing.T, s journal.Store) {
	j := newJournal(s)
	same(t, "runners of an empty journal", len(get[[]journal.Runner](t)(j.Runners(t.Context(), journal.Local))), 0)
	b := get[journal.Runner](t)(j.AddRunner(t.Context(), "Bo", "UTC", firstUse))
	a := get[journal.Runner](t)(j.AddRunner(t.Context(), "Al", "Europe/Vienna", firstUse))
	same(t, "Runners in order of name", get[[]journal.Runner](t)(j.Runners(t.Context(), journal.Local)), []journal.Runner{a, b})
	same(t, "by ID", get[journal.Runner](t)(j.Find(t.Context(), journal.Local, string(a.ID))), a)
	same(t, "by name", get[journal.Runner](t)(j.Find(t.Context(), journal.Local, "Bo")), b)
	if _, err := j.Find(t.Context(), journal.Local, "B"); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("Find by half a name: %v", err)
	}
	if a.ID == b.ID || len(a.ID) != 13 {
		t.Errorf("IDs %q and %q", a.ID, b.ID)
	}
	// 23:30 UTC is the next day in Vienna, one hour ahead.
	same(t, "Today", get[load.Day](t)(a.Today(noon+load.Instant(11.5*3600e3))), firstUse+1)
}

func testPersons(t *testing.T, s journal.Store) {
	j := newJournal(s)
	r := get[journal.Runner](t)(j.AddRunner(t.Context(), "Ada", "UTC", firstUse))
	for _, person := range []journal.Person{"coach", "", journal.Rules} {
		if _, err := j.Open(t.Context(), person, r.ID); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("Open as %q: %v", person, err)
		}
		if _, err := j.Find(t.Context(), person, "Ada"); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("Find as %q: %v", person, err)
		}
		same(t, "Runners", len(get[[]journal.Runner](t)(j.Runners(t.Context(), person))), 0)
	}
	if _, err := j.Open(t.Context(), journal.Local, "nobody"); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("Open of nobody's book: %v", err)
	}
	b, err := j.Open(t.Context(), journal.Local, r.ID)
	must(t, err)
	same(t, "Rights", get[journal.Rights](t)(b.Rights(t.Context())), journal.AllRights)
	same(t, "Runner", get[journal.Runner](t)(b.Runner(t.Context())), r)
}
