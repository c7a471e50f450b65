package journaltest

import (
	"bytes"
	"errors"
	"slices"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

// unedited returns the n-th recording as its file has it: no race, not excluded.
func unedited(n int) journal.Recording {
	r := recording(n)
	r.Sessions[0].Race, r.Sessions[0].Excluded = false, false
	return r
}

// idOf returns the name of the only session of an unedited recording.
func idOf(r journal.Recording) string { return journal.ID(r.Sum, r.Sessions[0].Start, 1) }

// decoding returns a decode function that knows the recordings and does with
// edits what load does. Each call is told to heard first.
func decoding(heard func(journal.Original), known ...journal.Recording) func(journal.Original) ([]load.Session, []load.Day, error) {
	return func(o journal.Original) ([]load.Session, []load.Day, error) {
		if heard != nil {
			heard(o)
		}
		i := slices.IndexFunc(known, func(r journal.Recording) bool { return r.Sum == o.Sum })
		if i < 0 {
			return nil, nil, errors.New("an original that nobody knows")
		}
		sessions := slices.Clone(known[i].Sessions)
		for i := range sessions {
			s := &sessions[i]
			id := s.ID
			if !s.Typed {
				id = journal.ID(o.Sum, s.Start, 1)
			}
			apply(o.Edits[id], s)
		}
		return sessions, known[i].Rests, nil
	}
}

func apply(e load.Edit, s *load.Session) {
	if e.Kind != nil {
		s.Sport = *e.Kind
	}
	if e.Race != nil {
		s.Race = *e.Race
	}
	if e.Exertion != nil {
		s.Measures.Set(load.Exertion, load.Exertion.Of(*e.Exertion*60))
	}
	s.Excluded = e.Excluded
}

// withEdits opens Ada's book on these recordings.
func withEdits(t *testing.T, s journal.Store, recordings ...journal.Recording) (*journal.Book, func(journal.Original) ([]load.Session, []load.Day, error)) {
	t.Helper()
	b := book(t, newJournal(s), "Ada")
	_, err := b.Add(t.Context(), recordings)
	must(t, err)
	return b, decoding(nil, recordings...)
}

func revision(t *testing.T, b *journal.Book) int64 {
	t.Helper()
	return get[journal.Runner](t)(b.Runner(t.Context())).Revision
}

func said(session, field, value string) journal.Edit {
	return journal.Edit{Session: session, Field: field, Value: value, By: journal.Local, At: noon}
}

type changes = map[string]string

func testEditFields(t *testing.T, s journal.Store) {
	a := runner(t, s, "a")
	rows := []journal.Edit{
		{Session: "z", Field: "race", Value: "yes", By: "Ümit", At: noon},
		{Session: "a", Field: "note", Value: "\"wet\", cold ☃", By: journal.Local, At: noon - 1},
		{Session: "z", Field: "race", By: journal.Local, At: -1},
	}
	wantEveryField(t, rows[0])
	update(t, s, func(tx journal.Tx) error {
		var err error
		for _, row := range rows {
			err = errors.Join(err, tx.PutEdit(a, row))
		}
		return err
	})
	view(t, s, func(tx journal.Tx) error {
		same(t, "Edits", get[[]journal.Edit](t)(tx.Edits(a)), rows)
		same(t, "EditsOf", get[[]journal.Edit](t)(tx.EditsOf(a, "z")), []journal.Edit{rows[0], rows[2]})
		same(t, "EditsOf another", len(get[[]journal.Edit](t)(tx.EditsOf(a, "b"))), 0)
		return nil
	})
	err := s.Update(t.Context(), func(tx journal.Tx) error { return tx.PutEdit("nobody", rows[0]) })
	if !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("PutEdit for nobody: %v", err)
	}
}

func testSessionsOfRecording(t *testing.T, s journal.Store) {
	a, b := runner(t, s, "a"), runner(t, s, "b")
	at := func(id string, n load.Day) load.Session {
		start := load.InstantOf((firstUse + n).Noon())
		return load.Session{ID: id, Day: firstUse + n, Start: start, End: start}
	}
	put(t, s, a, original(1), at("x", 1), at("y", 2))
	put(t, s, a, original(2), at("z", 1))
	put(t, s, b, original(1), at("x", 1))
	view(t, s, func(tx journal.Tx) error {
		same(t, "SumOf", get[journal.Sum](t)(tx.SumOf(a, "z")), original(2).Sum)
		if _, err := tx.SumOf(b, "z"); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("SumOf another's session: %v", err)
		}
		return nil
	})
	update(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.DropSessionsOf(a, original(1).Sum), tx.DropSessionsOf(a, original(7).Sum))
	})
	view(t, s, func(tx journal.Tx) error {
		same(t, "sessions left", ids(get[[]load.Session](t)(tx.Sessions(a))), []string{"z"})
		same(t, "sums left", len(get[map[string]journal.Sum](t)(tx.SessionSums(a))), 1)
		same(t, "originals", len(get[[]journal.Original](t)(tx.Originals(a))), 2)
		same(t, "sessions of b", ids(get[[]load.Session](t)(tx.Sessions(b))), []string{"x"})
		return nil
	})
	update(t, s, func(tx journal.Tx) error { return tx.AddSession(a, original(1).Sum, at("x", 1)) })
}

func testEdit(t *testing.T, s journal.Store) {
	r := unedited(1)
	b, decode := withEdits(t, s, r, unedited(2))
	id, before := idOf(r), revision(t, b)
	var kept []journal.Edit
	want := get[load.Session](t)(b.Session(t.Context(), id))
	steps := []struct {
		name  string
		edit  changes
		rows  [][2]string // in the order of the table of fields
		check func(*load.Session)
	}{
		{"two fields", changes{"race": "yes", "exertion": "07,50"}, [][2]string{{"exertion", "7.5"}, {"race", "yes"}}, func(s *load.Session) {
			s.Race = true
			s.Measures.Set(load.Exertion, load.Exertion.Of(450))
		}},
		{"the same", changes{"race": "yes", "exertion": "7.5", "kind": "", "excluded": "no"}, nil, func(*load.Session) {}},
		{"nothing", nil, nil, func(*load.Session) {}},
		{"excluded", changes{"excluded": "yes", "race": "yes"}, [][2]string{{"excluded", "yes"}}, func(s *load.Session) { s.Excluded = true }},
		{"another word", changes{"race": "no", "kind": "walking"}, [][2]string{{"kind", "walking"}, {"race", "no"}}, func(s *load.Session) {
			s.Race, s.Sport = false, load.Walking
		}},
		{"taken back", changes{"race": "", "kind": "", "exertion": "", "excluded": ""}, [][2]string{{"exertion", ""}, {"kind", ""}, {"race", ""}, {"excluded", ""}}, func(s *load.Session) {
			*s = r.Sessions[0]
			s.ID = id
		}},
	}
	for _, step := range steps {
		must(t, b.Edit(t.Context(), id, len(kept), step.edit, decode))
		for _, row := range step.rows {
			kept = append(kept, said(id, row[0], row[1]))
		}
		if len(step.rows) > 0 {
			before++
		}
		step.check(&want)
		same(t, step.name+": edits", get[[]journal.Edit](t)(b.Edits(t.Context(), id)), kept)
		same(t, step.name+": revision", revision(t, b), before)
		same(t, step.name+": session", get[load.Session](t)(b.Session(t.Context(), id)), want)
	}
	other := unedited(2).Sessions[0]
	other.ID = idOf(unedited(2))
	same(t, "the other session", get[load.Session](t)(b.Session(t.Context(), other.ID)), other)
	same(t, "edits of the other", len(get[[]journal.Edit](t)(b.Edits(t.Context(), other.ID))), 0)
	if got := get[[]byte](t)(b.Original(t.Context(), r.Sum)); !bytes.Equal(got, content(1, 2000)) {
		t.Error("the original was touched")
	}
}

// The second of two editors who saw the same is told, before and after decoding.
func testEditConflict(t *testing.T, s journal.Store) {
	r := unedited(1)
	b, decode := withEdits(t, s, r)
	id := idOf(r)
	edit := func(seen int, decode func(journal.Original) ([]load.Session, []load.Day, error), to changes) error {
		return b.Edit(t.Context(), id, seen, to, decode)
	}
	must(t, edit(0, decode, changes{"race": "yes"}))
	for _, seen := range []int{0, 2, -1} {
		if err := edit(seen, decode, changes{"race": "no"}); !errors.Is(err, journal.ErrConflict) {
			t.Errorf("an edit after %d were seen of 1: %v", seen, err)
		}
	}
	first := true
	overtaken := decoding(func(journal.Original) {
		if first {
			first = false
			must(t, edit(1, decode, changes{"excluded": "yes"}))
		}
	}, r)
	if err := edit(1, overtaken, changes{"race": "no"}); !errors.Is(err, journal.ErrConflict) {
		t.Errorf("an edit that was overtaken: %v", err)
	}
	got := get[load.Session](t)(b.Session(t.Context(), id))
	same(t, "race, excluded", []bool{got.Race, got.Excluded}, []bool{true, true})
	same(t, "edits", len(get[[]journal.Edit](t)(b.Edits(t.Context(), id))), 2)
}

func testEditRefused(t *testing.T, s journal.Store) {
	r := unedited(1)
	b, decode := withEdits(t, s, r)
	id, before := idOf(r), revision(t, b)
	stranger := book(t, newJournal(s), "Bo")
	mine := errors.New("not understood any more")
	failing := func(journal.Original) ([]load.Session, []load.Day, error) { return nil, nil, mine }
	empty := func(journal.Original) ([]load.Session, []load.Day, error) { return nil, nil, nil }
	for _, c := range []struct {
		name    string
		book    *journal.Book
		session string
		edit    changes
		decode  func(journal.Original) ([]load.Session, []load.Day, error)
		want    error // nil: any
	}{
		{"a bad value", b, id, changes{"race": "yes", "exertion": "11"}, decode, nil},
		{"a field that is none", b, id, changes{"race": "yes", "shoe size": "43"}, decode, nil},
		{"no session", b, "none", changes{"race": "yes"}, decode, journal.ErrNotFound},
		{"no session, no change", b, "none", nil, decode, journal.ErrNotFound},
		{"another runner's session", stranger, id, changes{"race": "yes"}, decode, journal.ErrNotFound},
		{"a session of another version", later(t, s, b), id, changes{"race": "yes"}, decode, journal.ErrStale},
		{"decoding fails", b, id, changes{"race": "yes"}, failing, mine},
		{"decoding finds another", b, id, changes{"race": "yes"}, empty, nil},
	} {
		err := c.book.Edit(t.Context(), c.session, 0, c.edit, c.decode)
		if err == nil || c.want != nil && !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
		same(t, c.name+": revision", revision(t, b), before)
		same(t, c.name+": edits", len(get[[]journal.Edit](t)(b.Edits(t.Context(), id))), 0)
		same(t, c.name+": race", get[load.Session](t)(b.Session(t.Context(), id)).Race, false)
	}
	same(t, "edits by another runner", len(get[[]journal.Edit](t)(stranger.Edits(t.Context(), id))), 0)
	same(t, "revision of the other", revision(t, stranger), int64(1))
}

// What somebody else writes about the runner meanwhile is not lost, nor is the
// edit.
func testEditMeanwhile(t *testing.T, s journal.Store) {
	first, second := unedited(1), unedited(2)
	b, _ := withEdits(t, s, first, second)
	calls := 0
	must(t, b.Edit(t.Context(), idOf(first), 0, changes{"race": "yes"}, decoding(func(journal.Original) {
		if calls++; calls == 1 {
			must(t, b.Edit(t.Context(), idOf(second), 0, changes{"excluded": "yes"}, decoding(nil, second)))
		}
	}, first)))
	same(t, "decoded", calls, 2)
	same(t, "race", get[load.Session](t)(b.Session(t.Context(), idOf(first))).Race, true)
	same(t, "excluded", get[load.Session](t)(b.Session(t.Context(), idOf(second))).Excluded, true)
	same(t, "edits", len(get[[]journal.Edit](t)(b.Edits(t.Context(), idOf(first)))), 1)
}

func testEditSurvives(t *testing.T, s journal.Store) {
	r, other := unedited(1), unedited(2)
	b, decode := withEdits(t, s, r, other)
	must(t, b.Edit(t.Context(), idOf(r), 0, changes{"kind": "cycling", "excluded": "yes"}, decode))
	edits := get[[]journal.Edit](t)(b.Edits(t.Context(), idOf(r)))
	want := get[[]load.Session](t)(b.Sessions(t.Context()))
	newer := later(t, s, b)
	must(t, newer.Rederive(t.Context(), decode))
	same(t, "Sessions", get[[]load.Session](t)(newer.Sessions(t.Context())), want)
	same(t, "kind", want[0].Sport, load.Cycling)
	same(t, "Edits", get[[]journal.Edit](t)(newer.Edits(t.Context(), idOf(r))), edits)
	must(t, newer.Edit(t.Context(), idOf(r), 2, changes{"kind": ""}, decode))
	got := get[load.Session](t)(newer.Session(t.Context(), idOf(r)))
	same(t, "after one was taken back", []any{got.Sport, got.Excluded}, []any{load.Running, true})

	// A decoder that finds nothing any more leaves edits of what is no session.
	must(t, newer.Rederive(t.Context(), func(journal.Original) ([]load.Session, []load.Day, error) { return nil, nil, nil }))
	same(t, "edits of no session", len(get[[]journal.Edit](t)(newer.Edits(t.Context(), idOf(r)))), 3)
	same(t, "Check", get[[]journal.Problem](t)(journal.New(s, clock, newerVersions()).Check(t.Context())), []journal.Problem(nil))
	must(t, newer.Rederive(t.Context(), decode))
	same(t, "found again", get[load.Session](t)(newer.Session(t.Context(), idOf(r))), got)
}

// An edit that comes while everything is derived anew is in what is derived.
func testRederiveWhileEdited(t *testing.T, s journal.Store) {
	r, other := unedited(1), unedited(2)
	b, decode := withEdits(t, s, r, other)
	var heard []journal.Sum
	must(t, b.Rederive(t.Context(), decoding(func(o journal.Original) {
		if heard = append(heard, o.Sum); len(heard) == 2 {
			must(t, b.Edit(t.Context(), idOf(r), 0, changes{"race": "yes"}, decode))
		}
	}, r, other)))
	same(t, "decoded", heard, []journal.Sum{r.Sum, other.Sum, r.Sum})
	same(t, "race", get[load.Session](t)(b.Session(t.Context(), idOf(r))).Race, true)
	same(t, "race of the other", get[load.Session](t)(b.Session(t.Context(), idOf(other))).Race, false)
}

// Two diaries share a row, which the first brought; each row is edited through the
// diary that brought it.
func testEditDiary(t *testing.T, s journal.Store) {
	first, second := recordingOf(1, content(1, 100), row(1, 5000), row(2, 6000)), recordingOf(2, content(2, 100), row(1, 5000), row(3, 7000))
	second.Rests = []load.Day{9}
	var heard []journal.Sum
	b, _ := withEdits(t, s, first, second)
	j := newJournal(s)
	decode := decoding(func(o journal.Original) { heard = append(heard, o.Sum) }, first, second)
	shared, own := row(1, 5000), row(3, 7000)
	must(t, b.Edit(t.Context(), shared.ID, 0, changes{"excluded": "yes"}, decode))
	must(t, b.Edit(t.Context(), own.ID, 0, changes{"race": "yes"}, decode))
	same(t, "decoded", heard, []journal.Sum{first.Sum, second.Sum})
	shared.Excluded, own.Race = true, true
	want := []load.Session{shared, row(2, 6000), own}
	same(t, "Sessions", get[[]load.Session](t)(b.Sessions(t.Context())), want)
	must(t, b.Rederive(t.Context(), decode))
	same(t, "Sessions derived anew", get[[]load.Session](t)(b.Sessions(t.Context())), want)
	view(t, s, func(tx journal.Tx) error {
		r := get[journal.Runner](t)(b.Runner(t.Context())).ID
		same(t, "the shared row's diary", get[journal.Sum](t)(tx.SumOf(r, shared.ID)), first.Sum)
		return nil
	})
	same(t, "Check", get[[]journal.Problem](t)(j.Check(t.Context())), []journal.Problem(nil))
}

func testOriginalOf(t *testing.T, s journal.Store) {
	r, damaged := unedited(1), unedited(2)
	damaged.Packed = journal.Pack(content(9, 2000))
	b, decode := withEdits(t, s, r, damaged)
	id := idOf(r)
	must(t, b.Edit(t.Context(), id, 0, changes{"exertion": "4"}, decode))
	o, inflated, err := b.OriginalOf(t.Context(), id)
	must(t, err)
	if !bytes.Equal(inflated, content(1, 2000)) {
		t.Errorf("%d other bytes came back", len(inflated))
	}
	four := 4.0
	want := journal.Original{
		Sum: r.Sum, Path: r.Path, Format: r.Format, Size: r.Size, Added: noon, Bytes: content(1, 2000),
		Zones: map[string]journal.ZoneDecision{id: {Session: id, Sum: r.Sum, Zone: r.Sessions[0].Zone, Day: r.Sessions[0].Day}},
		Edits: map[string]load.Edit{id: {Exertion: &four}},
	}
	same(t, "OriginalOf", o, want)
	for session, want := range map[string]error{"none": journal.ErrNotFound, idOf(damaged): journal.ErrDamaged} {
		if _, _, err := b.OriginalOf(t.Context(), session); !errors.Is(err, want) {
			t.Errorf("OriginalOf %s: %v, want %v", session, err, want)
		}
	}
}
