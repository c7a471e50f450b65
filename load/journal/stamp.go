package journal

import "context"

// Versions says what made a derived row. Each number rises when its part may
// give another result from the same input.
type Versions struct {
	Decoder int // file to activity
	Model   int // activity to session, session to day and window
	Rules   int // windows to findings and headroom
}

// Part names what a stamp is on.
type Part string

// The parts that are stamped by runner. Standing rows carry their own.
const (
	SessionPart Part = "sessions"
	FindingPart Part = "findings"
)

// StampTx keeps which versions the derived rows of a runner are of.
type StampTx interface {
	PutStamp(RunnerID, Part, Versions) error
	Stamps(RunnerID) (map[Part]Versions, error)
}

// Stale reports whether sessions or findings were made by other versions than
// the journal's. A runner without derived rows is not stale.
func (b *Book) Stale(ctx context.Context) (stale bool, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		stamps, err := tx.Stamps(b.runner)
		if err != nil {
			return err
		}
		findings, ok := stamps[FindingPart]
		stale = b.sessionsStale(stamps) || ok && findings != b.journal.versions
		return nil
	})
	return stale, err
}

// sessionsStale leaves the rules out of it: no session depends on them.
func (b *Book) sessionsStale(stamps map[Part]Versions) bool {
	v, ok := stamps[SessionPart]
	want := b.journal.versions
	return ok && (v.Decoder != want.Decoder || v.Model != want.Model)
}

// checkFresh keeps sessions of two versions from mixing.
func (b *Book) checkFresh(tx Tx) error {
	stamps, err := tx.Stamps(b.runner)
	if err == nil && b.sessionsStale(stamps) {
		err = ErrStale
	}
	return err
}
