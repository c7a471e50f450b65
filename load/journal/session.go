package journal

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"time"

	"tidemark/load"
)

// ID returns the name of a session that was recorded: the first 16 digits of
// its recording's sum and the second of its start, so that a newer decoder
// finds the same name. Where several activities of a recording start in the
// same second, n = 2, 3, ... tells them apart; n = 1 adds nothing.
func ID(sum Sum, start load.Instant, n int) string {
	id := fmt.Sprintf("%s%d", prefixOf(sum), start.Time().Unix())
	if n > 1 {
		id = fmt.Sprintf("%s-%d", id, n)
	}
	return id
}

func prefixOf(sum Sum) string { return hex.EncodeToString(sum[:8]) + "-" }

// RowID returns the name of a session that was typed: it follows from date,
// time of day, kind, distance (to the millimetre) and duration (to the millisecond)
// alone, so that a diary handed in again with more rows adds only those. It
// panics if the activity was not typed.
func RowID(a *load.Activity) string {
	if a.Typed == nil {
		panic("journal: RowID: activity was not typed")
	}
	start := "-"
	if a.Typed.HasStart {
		start = a.Typed.Clock.String()
	}
	lasted := max(a.Totals.Elapsed, a.Totals.Timer).Round(time.Millisecond)
	row := fmt.Sprintf("%d %s %v %d %d", a.Typed.Day, start, a.Sport,
		load.Distance.Of(float64(a.Totals.Distance)/1000), lasted.Milliseconds())
	sum := sha256.Sum256([]byte(row))
	return "row-" + hex.EncodeToString(sum[:8])
}

// named returns a copy of the recording's sessions with their IDs. Typed ones
// bring theirs. Those that have one of the recording keep it: the runner may have
// moved their start.
func named(sum Sum, sessions []load.Session) []load.Session {
	out := make([]load.Session, len(sessions))
	starts := make(map[int64]int)
	for i, s := range sessions {
		if s.Typed && s.ID == "" {
			panic("journal: typed session without the ID that RowID gives")
		}
		if !s.Typed && !strings.HasPrefix(s.ID, prefixOf(sum)) {
			second := s.Start.Time().Unix()
			starts[second]++
			s.ID = ID(sum, s.Start, starts[second])
		}
		out[i] = s
	}
	return out
}

// SessionTx keeps activities and sessions, which are derived.
type SessionTx interface {
	AddSession(RunnerID, Sum, load.Session) error // ErrConflict: the ID is there
	Session(RunnerID, string) (load.Session, error)
	HasSession(RunnerID, string) (bool, error)
	Sessions(RunnerID) ([]load.Session, error)        // in order of start, then ID
	SessionsOf(RunnerID, Sum) ([]load.Session, error) // in order of start, then ID
	SumOf(RunnerID, string) (Sum, error)              // the recording that a session is from
	DropSessions(RunnerID) error
	DropSessionsOf(RunnerID, Sum) error
}

// Sessions returns all sessions in order of start.
func (b *Book) Sessions(ctx context.Context) (out []load.Session, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		out, err = tx.Sessions(b.runner)
		return err
	})
	return out, err
}

// Session returns one session by its ID.
func (b *Book) Session(ctx context.Context, id string) (s load.Session, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		s, err = tx.Session(b.runner, id)
		return err
	})
	return s, err
}
