package ingest

import (
	"cmp"
	"slices"
	"time"

	"tidemark/load"
)

// longestLead is how long before its first sample a device may say that it
// started. Project default.
const longestLead = time.Minute

// sieveStart takes the first sample's time for the start, unless the device's
// own lies shortly before it.
func sieveStart(a *load.Activity) {
	if len(a.Samples) == 0 {
		return
	}
	first := a.Samples[0].At
	if a.Start <= first && a.Start >= first.Add(-longestLead) {
		return
	}
	if a.Start != 0 {
		a.Notes.Add(load.NoteTime, "the file says that it starts at %s, far from its first sample, whose time was taken", clock(a.Start))
	}
	a.Start = first
}

// sievePauses orders the pauses, joins those that touch, and clips them to the
// activity.
func sievePauses(a *load.Activity) {
	from, to := a.Start, a.End()
	if len(a.Samples) > 0 {
		from, to = a.Samples[0].At, a.Samples[len(a.Samples)-1].At
	}
	pauses := slices.Clone(a.Pauses)
	slices.SortFunc(pauses, func(p, q load.Span) int { return cmp.Compare(p.From, q.From) })
	a.Pauses = nil
	for _, p := range pauses {
		p.From, p.To = max(p.From, from), min(p.To, to)
		if last := len(a.Pauses) - 1; last >= 0 && p.From <= a.Pauses[last].To {
			a.Pauses[last].To = max(a.Pauses[last].To, p.To)
		} else if p.From < p.To {
			a.Pauses = append(a.Pauses, p)
		}
	}
}

// sieveLaps drops laps that end before they begin or lie outside the window.
func sieveLaps(a *load.Activity, opt Options) {
	window := opt.window()
	n := len(a.Laps)
	var kept []load.Lap
	for _, l := range a.Laps {
		if l.From < window.From || l.To > window.To || l.To < l.From {
			continue
		}
		sieveSum("", &l.Distance, farthest)
		sieveSum("", &l.Timer, opt.Limits.Longest)
		kept = append(kept, l)
	}
	a.Laps = kept
	if len(kept) < n {
		a.Notes.Add(load.NoteValue, "laps that make no sense were left out: %d", n-len(kept))
	}
}
