package ramp

import "slices"

// Brakes reports whether the terms allow no more than those before in any respect: what a
// person may set who is not in charge.
func (t *Terms) Brakes(before *Terms) bool {
	return t.stops(before) && t.climbsNoHigher(before) && t.Start >= before.Start && t.Weeks <= before.Weeks &&
		t.BMI == before.BMI && (t.Novice || !before.Novice) && t.wantsNoMore(&before.Goal) && freeWithin(t.Free, before.Free)
}

// stops reports whether the terms hold at least as long.
func (t *Terms) stops(before *Terms) bool {
	rank := []State{Running, Held, Ended}
	now, was := slices.Index(rank, t.State), slices.Index(rank, before.State)
	if t.State == Held && before.State == Held {
		return t.Until == 0 || before.Until != 0 && t.Until >= before.Until
	}
	return now >= was
}

// climbsNoHigher reports whether the stages are the same, and no higher one is reached.
func (t *Terms) climbsNoHigher(before *Terms) bool {
	if t.Table != before.Table || !slices.Equal(t.Own, before.Own) {
		return false
	}
	if t.First != before.First && (before.First == 0 || t.First == 0 || t.First > before.First) {
		return false
	}
	return !before.Confirm || t.Confirm && t.Roof <= before.Roof
}

// wantsNoMore reports whether the goal is no longer and no earlier.
func (t *Terms) wantsNoMore(before *Goal) bool {
	g := t.Goal
	if g.Km == 0 || g == *before {
		return g.Km == before.Km
	}
	return g.Km <= before.Km && g.Pace == before.Pace && (!g.IsBy || before.IsBy && g.By >= before.By)
}

func freeWithin(days, before [7]bool) bool {
	for i, free := range days {
		if free && !before[i] {
			return false
		}
	}
	return true
}
