package load_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
)

// TestWith adds a run to five years, on the last day and in the middle: the same as
// with the run from the start, and only the days around it are laid out anew.
func TestWith(t *testing.T) {
	in := years(5)
	before := load.NewHistory(in, load.Distance)
	for _, back := range []load.Day{0, 1, 9, 400} {
		added := run(in.Today-back, 31)
		added.ID, added.Double = "added", load.DoubleApart
		all := *in
		all.Sessions = append(append([]load.Session{}, in.Sessions...), added)
		if !before.TakesOver(added) {
			t.Errorf("%d days back: everything was laid out anew", back)
		}
		want := laidOut(load.NewHistory(&all, load.Distance), &all, load.Distance)
		if diff := cmp.Diff(want, laidOut(before.With(added), &all, load.Distance), undefined); diff != "" {
			t.Errorf("%d days back (-from the start +added):\n%s", back, diff)
		}
	}
	for name, s := range map[string]load.Session{
		"before the first day": run(monday-1, 5), "a double of a run": in.Sessions[100],
	} {
		if before.TakesOver(s) {
			t.Errorf("%s: the old days were taken over", name)
		}
	}
}
