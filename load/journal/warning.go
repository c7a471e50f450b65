package journal

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"tidemark/load"
)

// Warned is a runner with what a list of warnings needs of them.
type Warned struct {
	Runner   Runner
	Grant    Grant    // of the person; zero for Local
	Standing Standing // Whole and Bare only where a finding stands open; zero: there is no row
}

// WarningTx reads what stands open of many runners.
type WarningTx interface {
	// Homes returns each home zone of a runner once.
	Homes() ([]string, error)
	// Warned returns the runners with a grant of a person that stands; of Local, all. Those of
	// whom nothing stands open by a row of today, which is told by home zone, of their revision
	// and of versions are left out.
	Warned(person Person, today map[string]load.Day, v Versions) ([]Warned, error)
}

// OpenFinding is a warning that stands open of a runner.
type OpenFinding struct {
	Runner Runner
	Warning
}

// OpenFindings returns every warning that stands open of the runners whose logbooks a person
// may see, as far as they may see it: the loudest first, then by day and name. Rows that went
// stale are made anew first.
func (j *Journal) OpenFindings(ctx context.Context, person Person) ([]OpenFinding, error) {
	out, stale, err := j.openFindings(ctx, person)
	if err != nil || len(stale) == 0 {
		return out, err
	}
	if _, err := j.renew(ctx, person, stale); err != nil {
		return nil, err
	}
	out, _, err = j.openFindings(ctx, person)
	return out, err
}

// openFindings reads what rows say, and which of them are stale.
func (j *Journal) openFindings(ctx context.Context, person Person) (out []OpenFinding, stale []Row, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		out, stale = nil, nil
		days, err := j.todays(tx)
		if err != nil {
			return err
		}
		all, err := tx.Warned(person, days, j.versions)
		if err != nil {
			return err
		}
		for i := range all {
			w := &all[i]
			today := days[w.Runner.Home]
			if !w.Standing.fresh(w.Runner, today, j.versions) {
				stale = append(stale, Row{Logbook: Logbook{Runner: w.Runner}, Today: today, Standing: w.Standing})
			}
			sight := &w.Standing.Bare
			if person == Local || w.Grant.rights().Has(RightMedical) {
				sight = &w.Standing.Whole
			}
			for _, one := range sight.Warnings {
				out = append(out, OpenFinding{w.Runner, one})
			}
		}
		return nil
	})
	slices.SortStableFunc(out, func(a, b OpenFinding) int {
		return cmp.Or(cmp.Compare(b.Level, a.Level), cmp.Compare(a.Day, b.Day), strings.Compare(a.Runner.Name, b.Runner.Name))
	})
	return out, stale, err
}

// todays is which day it is in each home zone of a runner.
func (j *Journal) todays(tx Tx) (map[string]load.Day, error) {
	homes, err := tx.Homes()
	if err != nil {
		return nil, err
	}
	now, days := j.clock(), make(map[string]load.Day, len(homes))
	for _, home := range homes {
		if days[home], err = (Runner{Home: home}).Today(now); err != nil {
			return nil, err
		}
	}
	return days, nil
}
