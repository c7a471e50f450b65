package journaltest

import (
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

// testDigest holds the digest of a few rows against one that a program in another
// language made of them, by hashlib and struct of Python.
func testDigest(t *testing.T, s journal.Store) {
	same(t, "of nothing", digest(t, s).Sum.String(), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855") // FIPS 180-4, of no bytes
	pain := 2.5
	update(t, s, func(tx journal.Tx) error {
		must(t, tx.AddRunner(journal.Runner{ID: "a1", Name: "Ada", Home: "UTC", FirstUse: -3, Revision: 7}))
		must(t, tx.AddComplaint("a1", journal.Complaint{ID: "c", Site: "calf", Side: "left", Onset: 5, Bone: true}))
		must(t, tx.PutComplaintBase("a1", journal.ComplaintBase{Complaint: "c", Base: rehab.Base{From: 6, Pain: &pain}, By: "Ümit", At: 9}))
		return tx.PutOriginal("a1", journal.Original{Path: "p", Format: "gpx", Size: 3, Added: 9}, []byte("xyz"))
	})
	got := digest(t, s)
	same(t, "sum", got.Sum.String(), "a0768c7073dd4791464a5f5d6f838e84c920ec5699f9e3bec049479d96aa4d2e")
	same(t, "rows", got.Rows, int64(5))
}

// testDigestChanges wants another digest after each write of what is kept, and the
// same after what is derived.
func testDigestChanges(t *testing.T, s journal.Store) {
	a := runner(t, s, "a")
	seen := map[journal.Sum]string{digest(t, s).Sum: "the runner"}
	kept := []struct {
		name string
		put  func(journal.Tx) error
	}{
		{"an original", func(tx journal.Tx) error { return tx.PutOriginal(a, original(1), []byte("x")) }},
		{"another", func(tx journal.Tx) error { return tx.PutOriginal(a, original(2), []byte("x")) }},
		{"a zone", func(tx journal.Tx) error {
			return tx.PutZone(a, journal.ZoneDecision{Session: "s", Sum: original(1).Sum})
		}},
		{"a setting", func(tx journal.Tx) error { return tx.PutSetting(a, journal.Setting{Key: "k"}) }},
		{"the same again", func(tx journal.Tx) error { return tx.PutSetting(a, journal.Setting{Key: "k"}) }},
		{"an edit", func(tx journal.Tx) error { return tx.PutEdit(a, said("s", "note", "wet")) }},
		{"a race", func(tx journal.Tx) error { return tx.PutRace(a, journal.Race{Day: 5}) }},
		{"a finding", func(tx journal.Tx) error { return tx.PutFinding(a, spike(1, load.Stop)) }},
		{"its state", func(tx journal.Tx) error {
			return tx.PutState(a, journal.StateChange{Finding: spike(1, load.Stop).ID, State: journal.Open})
		}},
		{"a revision", func(tx journal.Tx) error {
			_, err := tx.Touch(a)
			return err
		}},
	}
	for _, k := range kept {
		update(t, s, k.put)
		d := digest(t, s)
		if other, ok := seen[d.Sum]; ok {
			t.Errorf("the digest after %s is that after %s", k.name, other)
		}
		seen[d.Sum] = k.name
	}
	before := digest(t, s)
	update(t, s, func(tx journal.Tx) error {
		must(t, tx.AddSession(a, original(1).Sum, session(1)))
		must(t, tx.PutStanding(standing(a)))
		return tx.PutStamp(a, journal.SessionPart, versions)
	})
	same(t, "after what is derived", digest(t, s), before)
}

func digest(t *testing.T, s journal.Store) journal.Digest {
	t.Helper()
	return get[journal.Digest](t)(newJournal(s).Digest(t.Context()))
}
