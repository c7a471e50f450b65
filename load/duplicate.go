package load

import (
	"cmp"
	"slices"
)

// Doubles finds the runs that do not count because another one is of the
// same effort, and returns for each the ID of the one that does: recordings that
// overlap by more than 80 % of the shorter, of which the richer counts, and
// diary rows without a start within 10 % of a recorded run of their day. The
// answer does not depend on the order of the sessions. One that the runner excluded
// stands for no other, and none for it.
//
// What the runner said of a recording stands over that: one that counts, counts,
// and one that is apart is nobody's double.
func Doubles(sessions []Session) map[string]string {
	doubles := make(map[string]string)
	byStart := make([]*Session, 0, len(sessions))
	for i := range sessions {
		if sessions[i].Sport == Running && !sessions[i].Excluded {
			byStart = append(byStart, &sessions[i])
		}
	}
	slices.SortFunc(byStart, cmpRicher)
	slices.SortStableFunc(byStart, func(a, b *Session) int { return cmp.Compare(a.Start, b.Start) })
	for i, s := range byStart {
		for _, t := range byStart[i+1:] {
			if t.Start >= s.End {
				break
			}
			markOverlap(doubles, s, t)
		}
	}
	for i, s := range byStart {
		if s.NoStart && s.Double != DoubleApart {
			markTyped(doubles, s, byStart, i)
		}
	}
	for id, counts := range doubles {
		for doubles[counts] != "" {
			counts = doubles[counts]
		}
		doubles[id] = counts
	}
	return doubles
}

// overlapShare is the part of the shorter recording above which two are one
// (load reference 10.1, project default).
const overlapShare = 0.8

func markOverlap(doubles map[string]string, s, t *Session) {
	if s.NoStart || t.NoStart || s.ID == t.ID || s.Double == DoubleApart || t.Double == DoubleApart || doubles[s.ID] != "" || doubles[t.ID] != "" {
		return
	}
	shorter := min(s.End.Sub(s.Start), t.End.Sub(t.Start))
	overlap := min(s.End, t.End).Sub(max(s.Start, t.Start))
	if float64(overlap) <= float64(shorter)*overlapShare {
		return
	}
	if cmpRicher(s, t) > 0 {
		s, t = t, s
	}
	doubles[t.ID] = s.ID
}

// markTyped looks for a recorded run on the day of the typed row; sessions of a
// day lie within two days' reach of its noon whatever the zone.
func markTyped(doubles map[string]string, row *Session, byStart []*Session, at int) {
	look := func(s *Session) bool {
		if s.Day != row.Day || s.Typed || s.ID == row.ID || doubles[s.ID] != "" || s.Double == DoubleApart || !alike(row, s) {
			return false
		}
		if row.Double == DoubleCounts && s.Double != DoubleCounts {
			doubles[s.ID] = row.ID
		} else {
			doubles[row.ID] = s.ID
		}
		return true
	}
	const reach = Instant(48 * 3600 * 1000)
	for i := at - 1; i >= 0 && row.Start-byStart[i].Start < reach; i-- {
		if look(byStart[i]) {
			return
		}
	}
	for i := at + 1; i < len(byStart) && byStart[i].Start-row.Start < reach; i++ {
		if look(byStart[i]) {
			return
		}
	}
}

// alike compares by distance, and by time where the row has no distance.
func alike(row, s *Session) bool {
	a, b := float64(row.Distance), float64(s.Distance)
	if a == 0 {
		a, b = row.Moving.Seconds(), s.Moving.Seconds()
	}
	return a > 0 && a >= 0.9*b && a <= 1.1*b
}

// cmpRicher orders the better source first: the one that the runner chose, a watch before a diary, positions,
// heart rate, cadence, the device's own distance, more samples, the older; then
// by ID, so that the order of import never decides.
func cmpRicher(a, b *Session) int {
	rank := func(s *Session) [7]int {
		return [7]int{
			flag(s.Double == DoubleCounts), flag(!s.Typed), flag(s.HasPositions), flag(s.HeartMean > 0), flag(s.CadenceMean > 0),
			flag(s.DeviceDistance > 0), s.Points,
		}
	}
	ra, rb := rank(a), rank(b)
	if c := slices.Compare(rb[:], ra[:]); c != 0 {
		return c
	}
	if c := cmp.Compare(a.Start, b.Start); c != 0 {
		return c
	}
	return cmp.Compare(a.ID, b.ID)
}

func flag(b bool) int {
	if b {
		return 1
	}
	return 0
}
