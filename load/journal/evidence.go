package journal

import (
	"context"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/rehab"
)

// Evidence counts the days of all runners that a person may see together, and says of how
// many; on is the day up to which, 0: each runner's today. Complaints are counted where they
// may be seen.
func (j *Journal) Evidence(ctx context.Context, person Person, on load.Day) (e assess.Evidence, runners int, err error) {
	all, err := j.Runners(ctx, person)
	if err != nil {
		return e, 0, err
	}
	var each []assess.Evidence
	for _, r := range all {
		b := &Book{journal: j, person: person, runner: r.ID}
		one, err := b.evidence(ctx, r, on)
		if err != nil {
			return e, 0, err
		}
		each = append(each, one)
	}
	return assess.Pool(each), len(each), nil
}

func (b *Book) evidence(ctx context.Context, r Runner, on load.Day) (e assess.Evidence, err error) {
	if on == 0 {
		if on, err = r.Today(b.now()); err != nil {
			return e, err
		}
	}
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		medical, err := b.sees(tx, RightMedical)
		if err != nil {
			return err
		}
		in, err := b.input(tx, on)
		if err != nil {
			return err
		}
		var followed []rehab.Complaint
		if medical {
			if followed, err = complaints(tx, b.runner); err != nil {
				return err
			}
			followed = append([]rehab.Complaint{}, followed...)
		}
		e = assess.EvidenceOf(in, followed)
		return nil
	})
	return e, err
}
