package sqlite

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

// TestDiskFull lets the file grow by a few pages only, which the engine reports
// as it reports a full disk.
func TestDiskFull(t *testing.T) {
	s := openTest(t)
	j := journal.New(s, func() load.Instant { return 0 }, journal.Versions{})
	r, err := j.AddRunner(t.Context(), "Ada", "UTC", 0)
	if err != nil {
		t.Fatal(err)
	}
	b, err := j.Open(t.Context(), journal.Local, r.ID)
	if err != nil {
		t.Fatal(err)
	}
	pages, err := pragma(t.Context(), s.writer, "page_count")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := pragma(t.Context(), s.writer, fmt.Sprintf("max_page_count = %d", pages+20)); err != nil {
		t.Fatal(err)
	}
	small, large := recordingOf(1, 4000), recordingOf(2, 200_000)
	if _, err := b.Add(t.Context(), []journal.Recording{small, large}); !errors.Is(err, journal.ErrFull) {
		t.Fatalf("Add: %v", err)
	}
	originals, err := b.Originals(t.Context())
	if err != nil || len(originals) != 0 {
		t.Errorf("half of the group is kept: %v, %v", originals, err)
	}
	if _, err := b.Add(t.Context(), []journal.Recording{small}); err != nil {
		t.Errorf("what has room is refused afterwards: %v", err)
	}
	if problems, err := j.Check(t.Context()); err != nil || len(problems) > 0 {
		t.Errorf("Check: %v, %v", problems, err)
	}
}

// recordingOf returns a recording of zeros that is not compressed.
func recordingOf(n byte, size int) journal.Recording {
	content := make([]byte, size)
	content[0] = n
	sum := sha256.Sum256(content)
	s := load.Session{Start: load.Unix(int64(n)), End: load.Unix(int64(n))}
	// A frame of zstd with one raw block after another, so that it stays large.
	return journal.Recording{Sum: sum, Path: "a", Size: int64(size), Packed: stored(content), Sessions: []load.Session{s}}
}

// stored packs bytes without compressing them: magic number, a header that
// gives the size in four bytes, and raw blocks (RFC 8878, 3.1.1).
func stored(b []byte) []byte {
	n := len(b)
	out := []byte{0x28, 0xb5, 0x2f, 0xfd, 0xa0, byte(n), byte(n >> 8), byte(n >> 16), byte(n >> 24)}
	const most = 100_000 // a block holds at most 128 kB
	for len(b) > 0 {
		block := b[:min(most, len(b))]
		b = b[len(block):]
		header := len(block) << 3
		if len(b) == 0 {
			header |= 1
		}
		out = append(append(out, byte(header), byte(header>>8), byte(header>>16)), block...)
	}
	return out
}
