package journaltest

import (
	"errors"
	"slices"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

// put keeps sessions of one original in the bare store.
func put(t *testing.T, s journal.Store, r journal.RunnerID, o journal.Original, sessions ...load.Session) {
	t.Helper()
	update(t, s, func(tx journal.Tx) error {
		err := tx.PutOriginal(r, o, nil)
		for _, session := range sessions {
			err = errors.Join(err, tx.AddSession(r, o.Sum, session))
		}
		return err
	})
}

func testZones(t *testing.T, s journal.Store) {
	a := runner(t, s, "a")
	put(t, s, a, original(1))
	put(t, s, a, original(2))
	whole := journal.ZoneDecision{
		Session: "s1", Sum: original(1).Sum, Day: -1,
		Zone: load.Zone{Name: "Asia/Kathmandu", Offset: 5*time.Hour + 45*time.Minute, Source: load.ZoneFromCoordinates},
	}
	bare := journal.ZoneDecision{
		Session: "s2", Sum: original(2).Sum, Day: 20000,
		Zone: load.Zone{Offset: -3*time.Hour - 30*time.Minute, Source: load.ZoneFromFile},
	}
	update(t, s, func(tx journal.Tx) error { return errors.Join(tx.PutZone(a, whole), tx.PutZone(a, bare)) })
	view(t, s, func(tx journal.Tx) error {
		got := get[[]journal.ZoneDecision](t)(tx.Zones(a))
		slices.SortFunc(got, func(a, b journal.ZoneDecision) int { return int(a.Day - b.Day) })
		same(t, "Zones", got, []journal.ZoneDecision{whole, bare})
		same(t, "ZonesOf", get[[]journal.ZoneDecision](t)(tx.ZonesOf(a, bare.Sum)), []journal.ZoneDecision{bare})
		return nil
	})
	if err := s.Update(t.Context(), func(tx journal.Tx) error { return tx.PutZone(a, whole) }); !errors.Is(err, journal.ErrConflict) {
		t.Errorf("a second decision: %v", err)
	}
	whole.Session, whole.Sum = "s3", original(3).Sum
	if err := s.Update(t.Context(), func(tx journal.Tx) error { return tx.PutZone(a, whole) }); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("a decision without its original: %v", err)
	}
}

func testEveryField(t *testing.T, s journal.Store) {
	a := runner(t, s, "a")
	full := session(1)
	wantEveryField(t, full, "NoStart", "Typed") // the typed row has them
	typed := row(2, 5000)
	empty := load.Session{ID: "empty", Sport: load.UnknownSport}
	early := load.Session{ID: "early", Start: -1, End: 0, Day: -1, Sport: load.OtherSport}
	early.Measures.Set(load.Steps, 0) // zero is not missing
	want := []load.Session{early, empty, typed, full}
	slices.SortFunc(want, func(a, b load.Session) int { return int((a.Start - b.Start) / 1000) })
	put(t, s, a, original(1), full, typed, empty, early)
	view(t, s, func(tx journal.Tx) error {
		same(t, "Sessions", get[[]load.Session](t)(tx.Sessions(a)), want)
		for _, w := range want {
			same(t, "Session "+w.ID, get[load.Session](t)(tx.Session(a, w.ID)), w)
		}
		same(t, "SessionSums", get[map[string]journal.Sum](t)(tx.SessionSums(a))["empty"], original(1).Sum)
		return nil
	})
}

func testOrder(t *testing.T, s journal.Store) {
	a := runner(t, s, "a")
	at := func(id string, day load.Day, start load.Instant) load.Session {
		return load.Session{ID: id, Day: day, Start: start, End: start}
	}
	// Around the date line a later start can have an earlier day.
	put(t, s, a, original(1), at("d", 9, 3000), at("b", 10, 2000), at("c", 10, 2000))
	put(t, s, a, original(2), at("a", 11, 1000), at("e", 9, 2500))
	view(t, s, func(tx journal.Tx) error {
		same(t, "Sessions", ids(get[[]load.Session](t)(tx.Sessions(a))), []string{"a", "b", "c", "e", "d"})
		same(t, "SessionsOf", ids(get[[]load.Session](t)(tx.SessionsOf(a, original(1).Sum))), []string{"b", "c", "d"})
		return nil
	})
}

func testSessionConflict(t *testing.T, s journal.Store) {
	a := runner(t, s, "a")
	put(t, s, a, original(1), session(1))
	other := session(2)
	other.ID = session(1).ID
	add := func(sum journal.Sum, session load.Session) error {
		return s.Update(t.Context(), func(tx journal.Tx) error { return tx.AddSession(a, sum, session) })
	}
	if err := add(original(1).Sum, other); !errors.Is(err, journal.ErrConflict) {
		t.Errorf("an ID that is taken: %v", err)
	}
	other.ID = "other"
	if err := add(original(2).Sum, other); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("a session without its original: %v", err)
	}
	view(t, s, func(tx journal.Tx) error {
		same(t, "what is there", get[load.Session](t)(tx.Session(a, session(1).ID)), session(1))
		same(t, "HasSession", get[bool](t)(tx.HasSession(a, session(1).ID)), true)
		same(t, "HasSession of another", get[bool](t)(tx.HasSession(a, "other")), false)
		if _, err := tx.Session(a, "other"); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("Session of another ID: %v", err)
		}
		return nil
	})
	update(t, s, func(tx journal.Tx) error { return tx.DropSessions(a) })
	view(t, s, func(tx journal.Tx) error {
		same(t, "after DropSessions", len(get[[]load.Session](t)(tx.Sessions(a))), 0)
		same(t, "originals", len(get[[]journal.Original](t)(tx.Originals(a))), 1)
		return nil
	})
}

func testRests(t *testing.T, s journal.Store) {
	a := runner(t, s, "a")
	put(t, s, a, original(1))
	update(t, s, func(tx journal.Tx) error {
		for _, d := range []struct {
			day load.Day
			add bool
		}{{30, true}, {-4, true}, {7, true}, {30, false}} {
			same(t, "PutRest", get[bool](t)(tx.PutRest(a, original(1).Sum, d.day)), d.add)
		}
		return nil
	})
	view(t, s, func(tx journal.Tx) error {
		same(t, "Rests", get[[]load.Day](t)(tx.Rests(a)), []load.Day{-4, 7, 30})
		return nil
	})
}

func testSettings(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	must(t, b.Set(t.Context(), "hr-max", 10, "180"))
	must(t, b.Set(t.Context(), "home", 10, "Europe/Vienna"))
	must(t, b.Set(t.Context(), "hr-max", 20, "185"))
	must(t, b.Set(t.Context(), "hr-max", 10, "182")) // a correction
	if err := b.Set(t.Context(), "", 10, "x"); err == nil {
		t.Error("an empty key was taken")
	}
	settings := get[[]journal.Setting](t)(b.Settings(t.Context()))
	by := func(key string, from load.Day, value string) journal.Setting {
		return journal.Setting{Key: key, From: from, Value: value, By: journal.Local, At: noon}
	}
	same(t, "Settings", settings, []journal.Setting{
		by("hr-max", 10, "180"), by("home", 10, "Europe/Vienna"), by("hr-max", 20, "185"), by("hr-max", 10, "182"),
	})
}
