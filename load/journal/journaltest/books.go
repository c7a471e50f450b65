package journaltest

import (
	"bytes"
	"errors"
	"fmt"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

func testAdd(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	// Three activities, two of which start in the same second.
	one, two, three := session(1), session(1), session(2)
	two.Start, two.End = two.Start+500, two.End+500
	r := recordingOf(1, content(1, 5000), one, two, three)
	r.Rests = []load.Day{firstUse + 9, firstUse + 8}
	out, err := b.Add(t.Context(), []journal.Recording{r})
	must(t, err)
	// 2026-03-02 17:00 UTC is second 1772470800.
	prefix := r.Sum.String()[:16]
	one.ID, two.ID = prefix+"-1772470800", prefix+"-1772470800-2"
	three.ID = prefix + "-1772557200"
	want := []load.Session{one, two, three}
	same(t, "Outcome", out, []journal.Outcome{{Added: true, Sessions: want, NewSessions: 3, NewRests: 2}})
	same(t, "Sessions", get[[]load.Session](t)(b.Sessions(t.Context())), want)
	same(t, "Session", get[load.Session](t)(b.Session(t.Context(), two.ID)), two)
	same(t, "Rests", get[[]load.Day](t)(b.Rests(t.Context())), []load.Day{firstUse + 8, firstUse + 9})
	same(t, "Has", get[bool](t)(b.Has(t.Context(), r.Sum)), true)
	same(t, "Originals", get[[]journal.Original](t)(b.Originals(t.Context())),
		[]journal.Original{{Sum: r.Sum, Path: r.Path, Format: "fit", Size: 5000, Added: noon}})
	if got := get[[]byte](t)(b.Original(t.Context(), r.Sum)); !bytes.Equal(got, content(1, 5000)) {
		t.Error("the bytes differ")
	}
	if _, err := b.Original(t.Context(), journal.Sum{}); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("Original of nothing: %v", err)
	}
	same(t, "the caller's sessions", r.Sessions[0].ID, "to be named")
}

func testAddAgain(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	// Twice in one group, and once more later without having been decoded.
	out, err := b.Add(t.Context(), []journal.Recording{recording(1), recording(1)})
	must(t, err)
	same(t, "added", []bool{out[0].Added, out[1].Added}, []bool{true, false})
	same(t, "the sessions of both", out[1].Sessions, out[0].Sessions)
	undecoded := recording(1)
	undecoded.Sessions, undecoded.Path = nil, "elsewhere.fit"
	again, err := b.Add(t.Context(), []journal.Recording{undecoded, recording(2)})
	must(t, err)
	same(t, "kept", again[0], journal.Outcome{Sessions: out[0].Sessions})
	same(t, "added beside it", again[1].NewSessions, 1)
	same(t, "originals", len(get[[]journal.Original](t)(b.Originals(t.Context()))), 2)
	same(t, "path", get[[]journal.Original](t)(b.Originals(t.Context()))[0].Path, recording(1).Path)
}

func testDiary(t *testing.T, s journal.Store) {
	j := newJournal(s)
	b := book(t, j, "Ada")
	diary := func(n int, rests []load.Day, rows ...load.Session) journal.Recording {
		r := recordingOf(n, content(n, 100), rows...)
		r.Rests, r.Format = rests, "diary"
		return r
	}
	noted := row(1, 5000)
	noted.Detail = "other words"
	cases := []struct {
		name     string
		in       journal.Recording
		sessions int
		rests    int
	}{
		{"the first", diary(1, []load.Day{3}, row(1, 5000), row(2, 6000), row(2, 6000)), 2, 1},
		{"with a row and a rest more", diary(2, []load.Day{3, 4}, row(1, 5000), row(2, 6000), row(5, 6000)), 1, 1},
		{"with other words only", diary(3, []load.Day{4}, noted), 0, 0},
	}
	for _, c := range cases {
		out, err := b.Add(t.Context(), []journal.Recording{c.in})
		must(t, err)
		same(t, c.name, []any{out[0].NewSessions, out[0].NewRests, out[0].Added},
			[]any{c.sessions, c.rests, c.sessions+c.rests > 0})
		same(t, c.name+": its rows", ids(out[0].Sessions), ids(c.in.Sessions))
	}
	want := []load.Session{row(1, 5000), row(2, 6000), row(5, 6000)}
	same(t, "Sessions", get[[]load.Session](t)(b.Sessions(t.Context())), want)
	same(t, "all bytes are kept", len(get[[]journal.Original](t)(b.Originals(t.Context()))), 3)
	same(t, "Check", get[[]journal.Problem](t)(j.Check(t.Context())), []journal.Problem(nil))
}

func testAddNothing(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	out, err := b.Add(t.Context(), nil)
	must(t, err)
	same(t, "outcomes", len(out), 0)
	out, err = b.Add(t.Context(), []journal.Recording{recordingOf(1, nil)})
	must(t, err)
	same(t, "a file without anything", out, []journal.Outcome{{Sessions: []load.Session{}}})
	same(t, "its bytes", len(get[[]byte](t)(b.Original(t.Context(), recordingOf(1, nil).Sum))), 0)
}

func testAddStale(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	_, err := b.Add(t.Context(), []journal.Recording{recording(1)})
	must(t, err)
	id := get[journal.Runner](t)(b.Runner(t.Context())).ID
	for _, v := range []journal.Versions{{Decoder: 3, Model: 3, Rules: 4}, {Decoder: 2, Model: 2, Rules: 4}} {
		other, err := journal.New(s, clock, v).Open(t.Context(), journal.Local, id)
		must(t, err)
		if _, err := other.Add(t.Context(), []journal.Recording{recording(2)}); !errors.Is(err, journal.ErrStale) {
			t.Errorf("Add with %+v: %v", v, err)
		}
	}
	rules, err := journal.New(s, clock, journal.Versions{Decoder: 2, Model: 3, Rules: 5}).Open(t.Context(), journal.Local, id)
	must(t, err)
	_, err = rules.Add(t.Context(), []journal.Recording{recording(2)})
	must(t, err)
}

func testRevision(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	other := book(t, newJournal(s), "Bo")
	add := func(n ...int) func() error {
		return func() error {
			var group []journal.Recording
			for _, i := range n {
				group = append(group, recording(i))
			}
			_, err := b.Add(t.Context(), group)
			return err
		}
	}
	decode := func(journal.Original) ([]load.Session, []load.Day, error) { return nil, nil, nil }
	steps := []struct {
		name string
		do   func() error
		want int64 // revision after it; a new runner has 1
	}{
		{"add three", add(1, 2, 3), 2},
		{"add the same", add(3, 2), 2},
		{"add one more", add(3, 4), 3},
		{"set", func() error { return b.Set(t.Context(), "k", 0, "v") }, 4},
		{"keep findings", func() error { return b.KeepFindings(t.Context(), []load.Finding{spike(1, load.Stop)}, firstUse+1) }, 5},
		{"answer", func() error { return b.Answer(t.Context(), spike(1, load.Stop).ID, journal.Seen, "") }, 6},
		{"refused", func() error {
			if b.Answer(t.Context(), "none", journal.Seen, "") == nil {
				return errors.New("an answer to nothing was taken")
			}
			return nil
		}, 6},
		{"standing", func() error { return b.PutStanding(t.Context(), journal.Standing{Revision: 6}) }, 6},
		{"rederive", func() error { return b.Rederive(t.Context(), decode) }, 7},
	}
	for _, step := range steps {
		must(t, step.do())
		same(t, "revision after "+step.name, get[journal.Runner](t)(b.Runner(t.Context())).Revision, step.want)
	}
	same(t, "revision of the other", get[journal.Runner](t)(other.Runner(t.Context())).Revision, int64(1))
}

func testCheck(t *testing.T, s journal.Store) {
	j := newJournal(s)
	b := book(t, j, "Ada")
	_, err := b.Add(t.Context(), []journal.Recording{recording(1), recording(2)})
	must(t, err)
	must(t, b.KeepFindings(t.Context(), []load.Finding{spike(1, load.Stop)}, firstUse+1))
	r := get[journal.Runner](t)(b.Runner(t.Context()))
	must(t, b.PutStanding(t.Context(), journal.Standing{Revision: r.Revision}))
	same(t, "a sound journal", get[[]journal.Problem](t)(j.Check(t.Context())), []journal.Problem(nil))

	for _, c := range faults(r) {
		update(t, s, c.make)
		problems := get[[]journal.Problem](t)(j.Check(t.Context()))
		found := false
		for _, p := range problems {
			found = found || p.Runner == r.ID && p.Subject == c.subject
		}
		if !found {
			t.Errorf("%s: %v", c.name, problems)
		}
	}
}

type fault struct {
	name, subject string
	make          func(journal.Tx) error
}

// faults are what a store lets happen and Check must see.
func faults(r journal.Runner) []fault {
	sum := recording(1).Sum
	add := func(s load.Session, d *journal.ZoneDecision) func(journal.Tx) error {
		return func(tx journal.Tx) error {
			if d == nil {
				return tx.AddSession(r.ID, sum, s)
			}
			d.Session, d.Sum = s.ID, sum
			return errors.Join(tx.AddSession(r.ID, sum, s), tx.PutZone(r.ID, *d))
		}
	}
	named := func(id string, change func(*load.Session)) load.Session {
		s := session(3)
		s.ID = id
		change(&s)
		return s
	}
	first, second := journal.ID(sum, session(1).Start, 1), journal.ID(recording(2).Sum, session(2).Start, 1)
	edit := func(session, field, value string) func(journal.Tx) error {
		return func(tx journal.Tx) error { return tx.PutEdit(r.ID, said(session, field, value)) }
	}
	undecided := named("undecided", func(*load.Session) {})
	moved := named("moved", func(*load.Session) {})
	wrongDay := named("wrong-day", func(s *load.Session) { s.Day++ })
	backwards := named("backwards", func(s *load.Session) { s.End = s.Start - 1 })
	return []fault{
		{"no zone decision", "session undecided", add(undecided, nil)},
		{"another zone than decided", "session moved", add(moved, &journal.ZoneDecision{Day: moved.Day})},
		{"another day than its start's", "session wrong-day", add(wrongDay, &journal.ZoneDecision{Zone: wrongDay.Zone, Day: wrongDay.Day})},
		{"end before start", "session backwards", add(backwards, &journal.ZoneDecision{Zone: backwards.Zone, Day: backwards.Day})},
		{"standing ahead", "standing", func(tx journal.Tx) error {
			return tx.PutStanding(journal.Standing{Runner: r.ID, Revision: r.Revision + 1})
		}},
		{"newer stamp", "stamp", func(tx journal.Tx) error {
			return tx.PutStamp(r.ID, journal.FindingPart, journal.Versions{Decoder: 2, Model: 3, Rules: 5})
		}},
		{"edit of what never was", "edit of session never", edit("never", "race", "yes")},
		{"edit of a field that is none", "edit of session " + first, edit(first, "shoe size", "43")},
		{"edit to a value that is none", "edit of session " + second, edit(second, "race", "perhaps")},
		{"finding without a state", "finding stateless", func(tx journal.Tx) error {
			return tx.PutFinding(r.ID, load.Finding{ID: "stateless"})
		}},
		{"state without a finding", "finding unsaid", func(tx journal.Tx) error {
			return tx.PutState(r.ID, journal.StateChange{Finding: "unsaid", State: journal.Open})
		}},
		{"wrong bytes", fmt.Sprintf("original %v", original(1).Sum), func(tx journal.Tx) error {
			return tx.PutOriginal(r.ID, original(1), journal.Pack([]byte("other")))
		}},
	}
}
