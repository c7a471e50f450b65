package assess

import (
	"cmp"
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// worstOf returns of each date the worst morning of records, in order. What one says of a date
// after a rest day is not as usual while another that is followed says nothing, so it is left
// out unless it is bad.
func worstOf(records []*rehab.Record) (out []rehab.Judged) {
	worst := make(map[load.Day]rehab.Judged)
	said := make(map[load.Day]int)
	for _, r := range records {
		for _, m := range r.Mornings {
			said[m.Day]++
			if old, known := worst[m.Day]; !known || compareWorse(&m, &old) > 0 {
				worst[m.Day] = m
			}
		}
	}
	for day, m := range worst {
		if m.Ran || m.Judgement.Verdict.Bad() || said[day] >= followedOn(records, day) {
			out = append(out, m)
		}
	}
	slices.SortFunc(out, func(a, b rehab.Judged) int { return cmp.Compare(a.Day, b.Day) })
	return out
}

func followedOn(records []*rehab.Record, day load.Day) (n int) {
	for _, r := range records {
		if r.Complaint.Followed(day) {
			n++
		}
	}
	return n
}

// compareWorse orders mornings of one date by what they hold back, whatever the order in
// which they were said; of the same the higher score, then the longer stiffness.
func compareWorse(a, b *rehab.Judged) int {
	return cmp.Or(
		cmp.Compare(badness[a.Judgement.Verdict], badness[b.Judgement.Verdict]),
		-compareBool(a.Judgement.Advances, b.Judgement.Advances),
		compareBool(a.Judgement.Partial, b.Judgement.Partial),
		cmp.Compare(valueOf(a.Next), valueOf(b.Next)),
		cmp.Compare(valueOf(a.Stiffness), valueOf(b.Stiffness)),
	)
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

// valueOf is a score or minutes; below zero: not said.
func valueOf[T ~uint8 | ~int](v *T) int {
	if v == nil {
		return -1
	}
	return int(*v)
}

// badness orders the verdicts.
var badness = map[load.Verdict]int{load.Settled: 1, load.Missing: 2, load.Unsettled: 3, load.Flared: 4}

// flared counts the flares of all that was ever followed up to a day.
func (c *Care) flared(day load.Day) []rehab.Flare {
	records := make([]*rehab.Record, len(c.Records))
	for i := range c.Records {
		records[i] = &c.Records[i]
	}
	var woke []rehab.Woke
	for _, m := range worstOf(records) {
		if m.Day > day && !m.Early {
			continue
		}
		back := !m.Late && rehab.BackToBaseline(&m.Morning, m.Base, rehab.DefaultZones)
		woke = append(woke, rehab.Woke{Day: m.Day, Ran: m.Ran, Flared: m.Judgement.Verdict == load.Flared, Back: back})
	}
	return rehab.Flares(woke)
}
