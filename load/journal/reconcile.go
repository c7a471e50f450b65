package journal

import (
	"cmp"
	"fmt"
	"slices"

	"tidemark/load"
)

// Why the rules changed a state.
const (
	whyHistory = "before the first use"
	whyQuiet   = "quiet for 14 days"
	whyGone    = "its cause is gone"
)

// Reconcile returns the findings that stand after the rules found now in the
// runner's whole history, given those that stood before; by day, then ID.
//
//   - A new finding is open. One whose last evidence is dated before firstUse
//     is history: closed, never open.
//   - Under the same ID the text follows the rules and the state stays what a
//     person made it, but a level that rose opens it again.
//   - Open and seen ones close when they were quiet for load.QuietDays.
//   - One that the rules no longer find is withdrawn; if they find it again, it
//     is judged like a new one, as is one that they closed themselves.
//
// Nothing is deleted. Reconcile changes neither argument, and a second call
// with its result and the same now and today changes nothing. It panics if an
// ID appears twice in now.
func Reconcile(before []Finding, now []load.Finding, today, firstUse load.Day) []Finding {
	old := make(map[string]Finding, len(before))
	for _, f := range before {
		old[f.ID] = f
	}
	out := make([]Finding, 0, len(before)+len(now))
	found := make(map[string]bool, len(now))
	for _, n := range now {
		if found[n.ID] {
			panic("journal: Reconcile: finding " + n.ID + " appears twice")
		}
		found[n.ID] = true
		out = append(out, judge(old, n, today, firstUse))
	}
	for _, f := range before {
		if !found[f.ID] {
			out = append(out, withdrawn(f))
		}
	}
	slices.SortFunc(out, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.ID, b.ID))
	})
	return out
}

func judge(old map[string]Finding, n load.Finding, today, firstUse load.Day) Finding {
	b, there := old[n.ID]
	f := Finding{Finding: n, State: b.State, By: b.By, Why: b.Why, Reopened: b.Reopened}
	byRules := !there || b.State == Withdrawn || b.State == Closed && b.By == Rules
	switch {
	case n.LastDay < firstUse:
		if byRules || b.State == Open {
			f.State, f.By, f.Why = Closed, Rules, whyHistory
		}
	case there && b.State != Withdrawn && n.Level > b.Level:
		f.State, f.By, f.Reopened = Open, Rules, today
		f.Why = fmt.Sprintf("level rose from %v to %v", b.Level, n.Level)
	case byRules:
		f.State, f.By, f.Why = Open, Rules, ""
		if quiet(f, today) {
			f.State, f.Why = Closed, whyQuiet
		}
	case (b.State == Open || b.State == Seen) && quiet(f, today):
		f.State, f.By, f.Why = Closed, Rules, whyQuiet
	}
	return f
}

func quiet(f Finding, today load.Day) bool {
	return today-max(f.LastDay, f.Reopened) >= load.QuietDays
}

func withdrawn(f Finding) Finding {
	if f.State != Withdrawn {
		f.State, f.By, f.Why = Withdrawn, Rules, whyGone
	}
	return f
}
