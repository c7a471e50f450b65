package ingest

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"tidemark/load"
)

// sieve judges the activities of one recording, as a format's decoder passes
// them on. It returns those that can be kept, or why none can. The reason for
// one that is left out beside good ones becomes a note on the first of these.
func sieve(activities []load.Activity, opt Options) ([]load.Activity, error) {
	var kept []load.Activity
	var reasons []error
	for i := range activities {
		a := activities[i]
		if len(activities) > 1 {
			// Sessions of one file may share samples.
			a.Samples = slices.Clone(a.Samples)
		}
		if err := sieveActivity(&a, opt); err != nil {
			reasons = append(reasons, fmt.Errorf("activity %d: %w", i+1, err))
			if len(activities) == 1 {
				return nil, err
			}
			continue
		}
		kept = append(kept, a)
	}
	switch {
	case len(kept) > 0 && len(reasons) > 0:
		kept[0].Notes.Add(load.NoteSkipped, "of the %d activities in the file some were left out: %s",
			len(activities), enumerate(reasons))
	case len(reasons) > 0:
		return nil, reasons[0]
	case len(kept) == 0:
		return nil, ErrNoActivity
	}
	return kept, nil
}

// enumerate writes the first few of a list of reasons.
func enumerate(reasons []error) string {
	const most = 5
	var words []string
	for _, r := range reasons[:min(len(reasons), most)] {
		words = append(words, r.Error())
	}
	if more := len(reasons) - most; more > 0 {
		words = append(words, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(words, "; ")
}

// sieveActivity holds one activity against everything that a recording has to
// be. Times come first, for all else is judged in order of time.
func sieveActivity(a *load.Activity, opt Options) error {
	sieveNames(a)
	sieveTotals(a, opt.Limits)
	if err := sieveTimes(a, opt); err != nil {
		return err
	}
	if err := sievePositions(a); err != nil {
		return err
	}
	sieveHearts(a)
	sieveValues(a)
	sieveOffset(a)
	if err := sieveLength(a, opt.Limits.Shortest); err != nil {
		return err
	}
	sieveStart(a)
	sievePauses(a)
	sieveLaps(a, opt)
	return nil
}

// sieveNames keeps what a file calls things fit for a terminal and a page.
func sieveNames(a *load.Activity) {
	for _, name := range []*string{&a.Name, &a.Device, &a.Detail} {
		*name = Printable(strings.TrimSpace(*name))
	}
}

// sieveLength refuses what is too short to be anything. Where the samples are
// too few, the device's own sums will do, and the samples are left out so that
// nobody adds up the rest.
func sieveLength(a *load.Activity, shortest time.Duration) error {
	n := len(a.Samples)
	whole := span(a.Samples)
	if n >= 2 && whole >= shortest {
		return nil
	}
	long := max(a.Totals.Elapsed, a.Totals.Timer)
	switch {
	case long >= shortest || long == 0 && a.Totals.Distance > 0:
		if !a.Notes.Has(load.NoteTotals) {
			a.Notes.Add(load.NoteTotals, "the file's own sums were taken, as its samples are too few: %d", n)
		}
		if a.Start == 0 {
			a.Start = a.Samples[0].At
		}
		a.Samples = nil
		return nil
	case n == 0 && long == 0:
		return fmt.Errorf("%w: neither samples nor sums", ErrNoActivity)
	}
	err := fmt.Errorf("%w: %v, usable samples: %d", ErrTooShort, max(whole, long), n)
	for _, note := range a.Notes {
		if note.Code == load.NoteTime {
			err = fmt.Errorf("%w; %s", err, note.Text)
		}
	}
	return err
}
