package journaltest

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

func original(n int) journal.Original {
	return journal.Original{
		Sum: sha256.Sum256(content(n, 100)), Path: "läufe/2026.zip!a b?.gpx", Format: "gpx",
		Size: 100, Added: noon + load.Instant(n),
	}
}

func testOriginals(t *testing.T, s journal.Store) {
	a := runner(t, s, "a")
	// Sums in falling and rising order, so that arrival is neither.
	var want []journal.Original
	for _, n := range []int{5, 1, 9, 3} {
		want = append(want, original(n))
		update(t, s, func(tx journal.Tx) error { return tx.PutOriginal(a, original(n), []byte{byte(n), 0}) })
	}
	view(t, s, func(tx journal.Tx) error {
		same(t, "Originals in order of arrival", get[[]journal.Original](t)(tx.Originals(a)), want)
		o, packed, err := tx.Original(a, original(9).Sum)
		must(t, err)
		same(t, "Original", o, original(9))
		same(t, "its bytes", packed, []byte{9, 0})
		same(t, "HasOriginal", get[bool](t)(tx.HasOriginal(a, original(3).Sum)), true)
		same(t, "HasOriginal of another", get[bool](t)(tx.HasOriginal(a, original(4).Sum)), false)
		if _, _, err := tx.Original(a, original(4).Sum); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("Original that is not there: %v", err)
		}
		return nil
	})
	err := s.Update(t.Context(), func(tx journal.Tx) error { return tx.PutOriginal(a, original(1), nil) })
	if !errors.Is(err, journal.ErrConflict) {
		t.Errorf("PutOriginal of the same sum: %v", err)
	}
	err = s.Update(t.Context(), func(tx journal.Tx) error { return tx.PutOriginal("nobody", original(1), nil) })
	if !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("PutOriginal for nobody: %v", err)
	}
	update(t, s, func(tx journal.Tx) error { return tx.PutOriginal(a, original(8), nil) })
	view(t, s, func(tx journal.Tx) error {
		_, packed, err := tx.Original(a, original(8).Sum)
		same(t, "no bytes", len(packed), 0)
		return err
	})
}

func testLargeOriginal(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	big := content(1, 24<<20)
	r := recordingOf(1, big, session(1))
	if _, err := b.Add(t.Context(), []journal.Recording{r}); err != nil {
		t.Fatal(err)
	}
	if got := get[[]byte](t)(b.Original(t.Context(), r.Sum)); !bytes.Equal(got, big) {
		t.Errorf("24 MB come back as %d other bytes", len(got))
	}
}

func testDamagedOriginal(t *testing.T, s journal.Store) {
	j := newJournal(s)
	b := book(t, j, "Ada")
	bytesDiffer, sizeDiffers, noZstd := recording(1), recording(2), recording(3)
	bytesDiffer.Packed = journal.Pack(content(9, 2000))
	sizeDiffers.Size++
	noZstd.Packed = []byte("not packed")
	group := []journal.Recording{bytesDiffer, sizeDiffers, noZstd, recording(4)}
	_, err := b.Add(t.Context(), group)
	must(t, err)
	for _, r := range group[:3] {
		if _, err := b.Original(t.Context(), r.Sum); !errors.Is(err, journal.ErrDamaged) {
			t.Errorf("Original: %v", err)
		}
	}
	problems := get[[]journal.Problem](t)(j.Check(t.Context()))
	var got []string
	for _, p := range problems {
		got = append(got, p.Subject)
	}
	same(t, "Check", got, []string{
		"original " + group[0].Sum.String(), "original " + group[1].Sum.String(), "original " + group[2].Sum.String(),
	})
}

func testSumOfTwoRunners(t *testing.T, s journal.Store) {
	j := newJournal(s)
	ada, bo := book(t, j, "Ada"), book(t, j, "Bo")
	for _, b := range []*journal.Book{ada, bo} {
		out, err := b.Add(t.Context(), []journal.Recording{recording(1)})
		must(t, err)
		if !out[0].Added {
			t.Error("what one runner has is taken for kept by the other")
		}
	}
	has, err := book(t, j, "Cy").Has(t.Context(), recording(1).Sum)
	must(t, err)
	same(t, "a third runner has it", has, false)
}
