package journal

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"tidemark/load"
)

// Sum is the SHA-256 of a recording's inflated bytes. The same bytes are one
// original of a runner, and never shared between runners.
type Sum [sha256.Size]byte

// String returns 64 hexadecimal digits.
func (s Sum) String() string { return hex.EncodeToString(s[:]) }

// Original is one recording as it was given to the program.
type Original struct {
	Sum    Sum
	Path   string // where it came from; ARCHIVE!MEMBER inside archives
	Format string
	Size   int64 // inflated, in bytes
	Added  load.Instant

	// Bytes, Zones and Edits are set only where an original is to be decoded:
	// by Rederive, Edit and OriginalOf. They are the inflated bytes, verified,
	// the zone decisions kept for its sessions, and what the runner said of
	// sessions, also of other recordings; both by session ID, and only to read.
	Bytes []byte
	Zones map[string]ZoneDecision
	Edits map[string]load.Edit
}

// OriginalTx keeps originals. Bytes are packed (see Pack).
type OriginalTx interface {
	PutOriginal(RunnerID, Original, []byte) error // ErrConflict: the sum is there
	Original(RunnerID, Sum) (Original, []byte, error)
	HasOriginal(RunnerID, Sum) (bool, error)
	Originals(RunnerID) ([]Original, error) // without bytes, in order of arrival
}

// Has reports whether the recording with the sum is kept, so that it need not
// be decoded again.
func (b *Book) Has(ctx context.Context, sum Sum) (has bool, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		has, err = tx.HasOriginal(b.runner, sum)
		return err
	})
	return has, err
}

// Originals lists the recordings in order of arrival, without their bytes.
func (b *Book) Originals(ctx context.Context) (out []Original, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		out, err = tx.Originals(b.runner)
		return err
	})
	return out, err
}

// Original returns the inflated bytes of a recording. Bytes that no longer
// have the sum are ErrDamaged.
func (b *Book) Original(ctx context.Context, sum Sum) ([]byte, error) {
	var o Original
	var packed []byte
	err := b.read(ctx, RightLoad, func(tx Tx) (err error) {
		o, packed, err = tx.Original(b.runner, sum)
		return err
	})
	if err != nil {
		return nil, err
	}
	return o.unpack(packed)
}

// OriginalOf returns the recording that a session is from, ready to be decoded:
// with its Bytes, which are also returned alone, its Zones and its Edits. Bytes
// that no longer have the sum are ErrDamaged.
func (b *Book) OriginalOf(ctx context.Context, session string) (o Original, content []byte, err error) {
	var packed []byte
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		sum, err := tx.SumOf(b.runner, session)
		if err != nil {
			return err
		}
		edits, err := tx.Edits(b.runner)
		if err != nil {
			return err
		}
		applied, err := Applied(edits)
		if err != nil {
			return err
		}
		o, packed, err = b.original(tx, sum, applied)
		return err
	})
	if err != nil {
		return Original{}, nil, err
	}
	if o.Bytes, err = o.unpack(packed); err != nil {
		return Original{}, nil, err
	}
	return o, o.Bytes, nil
}

// original returns a recording with its zones and the edits, and its bytes still
// packed.
func (b *Book) original(tx Tx, sum Sum, edits map[string]load.Edit) (o Original, packed []byte, err error) {
	if o, packed, err = tx.Original(b.runner, sum); err != nil {
		return o, nil, err
	}
	zones, err := tx.ZonesOf(b.runner, sum)
	o.Zones, o.Edits = bySession(zones), edits
	return o, packed, err
}

func (o *Original) unpack(packed []byte) ([]byte, error) {
	b, err := Unpack(packed)
	switch {
	case err != nil:
		return nil, fmt.Errorf("read original %s: %w", o.Sum, err)
	case int64(len(b)) != o.Size:
		return nil, fmt.Errorf("read original %s: %d bytes instead of %d: %w", o.Sum, len(b), o.Size, ErrDamaged)
	case Sum(sha256.Sum256(b)) != o.Sum:
		return nil, fmt.Errorf("read original %s: checksum differs: %w", o.Sum, ErrDamaged)
	}
	return b, nil
}
