package journaltest

import (
	"bytes"
	"errors"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

// newerVersions are those of a program whose decoder is newer.
func newerVersions() journal.Versions {
	v := versions
	v.Decoder++
	return v
}

// later is the journal of that program.
func later(t *testing.T, s journal.Store, b *journal.Book) *journal.Book {
	t.Helper()
	out, err := journal.New(s, clock, newerVersions()).Open(t.Context(), journal.Local, get[journal.Runner](t)(b.Runner(t.Context())).ID)
	must(t, err)
	return out
}

func testRederive(t *testing.T, s journal.Store) {
	j := newJournal(s)
	old := book(t, j, "Ada")
	diary, second := recordingOf(7, content(7, 50), row(1, 5000)), recordingOf(8, content(8, 50), row(1, 5000), row(2, 6000))
	diary.Rests = []load.Day{3}
	_, err := old.Add(t.Context(), []journal.Recording{recording(2), diary, recording(1), second})
	must(t, err)
	must(t, old.Set(t.Context(), "hr-max", 0, "180"))
	before := get[[]load.Session](t)(old.Sessions(t.Context()))
	b := later(t, s, old)

	// The newer decoder measures more, finds a second activity in recording 1,
	// believes in another zone, and knows another rest day.
	extra := session(30)
	var order []journal.Sum
	decode := func(o journal.Original) ([]load.Session, []load.Day, error) {
		order = append(order, o.Sum)
		switch o.Sum {
		case diary.Sum:
			return []load.Session{row(1, 5000)}, []load.Day{4}, nil
		case second.Sum:
			return []load.Session{row(1, 5000), row(2, 6000)}, nil, nil
		}
		n := 1
		if o.Sum == recording(2).Sum {
			n = 2
		}
		if !bytes.Equal(o.Bytes, content(n, 2000)) || len(o.Zones) != 1 {
			t.Errorf("decode got %d bytes and %d zones", len(o.Bytes), len(o.Zones))
		}
		s := session(n)
		s.Distance, s.Day = 12000, s.Day+1
		s.Zone = load.Zone{Name: "Asia/Tokyo", Offset: 9 * time.Hour, Source: load.ZoneFromHome}
		if n == 1 {
			return []load.Session{s, extra}, nil, nil
		}
		return []load.Session{s}, nil, nil
	}
	must(t, b.Rederive(t.Context(), decode))
	same(t, "order of decoding", order, []journal.Sum{recording(2).Sum, diary.Sum, recording(1).Sum, second.Sum})

	want := before
	for i := range want {
		if !want[i].Typed {
			want[i].Distance = 12000 // the zone and day stand
		}
	}
	extra.ID = journal.ID(recording(1).Sum, extra.Start, 1)
	same(t, "Sessions", get[[]load.Session](t)(b.Sessions(t.Context())), append(want, extra))
	same(t, "Rests", get[[]load.Day](t)(b.Rests(t.Context())), []load.Day{3, 4})
	same(t, "Settings", len(get[[]journal.Setting](t)(b.Settings(t.Context()))), 1)
	same(t, "Stale", get[bool](t)(b.Stale(t.Context())), false)
	_, err = b.Add(t.Context(), []journal.Recording{recording(3)})
	must(t, err)
}

func testRederiveFails(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	_, err := b.Add(t.Context(), []journal.Recording{recording(1), recording(2)})
	must(t, err)
	want := get[[]load.Session](t)(b.Sessions(t.Context()))
	mine := errors.New("not understood any more")
	newer := later(t, s, b)
	err = newer.Rederive(t.Context(), func(o journal.Original) ([]load.Session, []load.Day, error) {
		if o.Sum == recording(2).Sum {
			return nil, nil, mine
		}
		return nil, nil, nil
	})
	if !errors.Is(err, mine) {
		t.Errorf("Rederive: %v", err)
	}
	clash := func(journal.Original) ([]load.Session, []load.Day, error) {
		s := session(1)
		s.Sport = load.Sport(200)
		return []load.Session{s}, nil, nil
	}
	func() {
		defer func() {
			if recover() == nil {
				t.Error("a sport that is none was kept")
			}
		}()
		newer.Rederive(t.Context(), clash)
	}()
	same(t, "Sessions", get[[]load.Session](t)(b.Sessions(t.Context())), want)
	same(t, "still stale", get[bool](t)(newer.Stale(t.Context())), true)
}

func testRederiveMeanwhile(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	_, err := b.Add(t.Context(), []journal.Recording{recording(1)})
	must(t, err)
	calls := 0
	must(t, b.Rederive(t.Context(), func(o journal.Original) ([]load.Session, []load.Day, error) {
		calls++
		if calls == 1 {
			_, err := b.Add(t.Context(), []journal.Recording{recording(2)})
			must(t, err)
			return []load.Session{session(1)}, nil, nil
		}
		return []load.Session{session(2)}, nil, nil
	}))
	same(t, "each is decoded once", calls, 2)
	same(t, "sessions", len(get[[]load.Session](t)(b.Sessions(t.Context()))), 2)
}

func testFindingsSurvive(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	_, err := b.Add(t.Context(), []journal.Recording{recording(1)})
	must(t, err)
	must(t, b.KeepFindings(t.Context(), []load.Finding{spike(0, load.Stop), spike(1, load.Remark)}, firstUse+1))
	must(t, b.Answer(t.Context(), spike(1, load.Remark).ID, journal.SetAside, "a race"))
	must(t, b.KeepFindings(t.Context(), []load.Finding{spike(1, load.Remark)}, firstUse+1))
	want := get[[]journal.Finding](t)(b.Findings(t.Context()))
	steps := get[[]journal.StateChange](t)(b.States(t.Context()))
	must(t, later(t, s, b).Rederive(t.Context(), func(journal.Original) ([]load.Session, []load.Day, error) {
		return []load.Session{session(1)}, nil, nil
	}))
	same(t, "Findings", get[[]journal.Finding](t)(b.Findings(t.Context())), want)
	same(t, "States", get[[]journal.StateChange](t)(b.States(t.Context())), steps)
	same(t, "states", []journal.State{want[0].State, want[1].State}, []journal.State{journal.Withdrawn, journal.SetAside})
}

func testStale(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	id := get[journal.Runner](t)(b.Runner(t.Context())).ID
	stale := func(decoder, model, rules int) bool {
		t.Helper()
		v := journal.Versions{Decoder: decoder, Model: model, Rules: rules}
		b, err := journal.New(s, clock, v).Open(t.Context(), journal.Local, id)
		must(t, err)
		return get[bool](t)(b.Stale(t.Context()))
	}
	same(t, "nothing derived yet", stale(9, 9, 9), false)
	_, err := b.Add(t.Context(), []journal.Recording{recording(1)})
	must(t, err)
	same(t, "the same", stale(2, 3, 4), false)
	same(t, "decoder", stale(3, 3, 4), true)
	same(t, "model", stale(2, 2, 4), true)
	same(t, "rules, no findings yet", stale(2, 3, 5), false)
	must(t, b.KeepFindings(t.Context(), nil, firstUse))
	same(t, "rules", stale(2, 3, 5), true)
}
