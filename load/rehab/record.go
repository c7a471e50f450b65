package rehab

import (
	"slices"

	"tidemark/load"
)

// Judged is one morning of a complaint with its baseline and verdict.
type Judged struct {
	Morning
	Base      Baseline
	Judgement Judgement
	Ran       bool // the day before had a run
	Early     bool // the run itself flared, today: its morning is still to come
}

// Record is one complaint with its mornings, judged, in order of day. Mornings after a run
// that nobody answered are in it as missing, once their date has passed.
type Record struct {
	Complaint Complaint
	Mornings  []Judged
	said      []Morning // whatever was said, judged or not yet
}

// Said returns what was said of a morning so far; ok is false where nothing was.
func (r *Record) Said(day load.Day) (m Morning, ok bool) {
	for _, m := range r.said {
		if m.Day == day {
			return m, true
		}
	}
	return m, false
}

// RecordOf judges the mornings of a complaint up to today, and of today's and yesterday's run
// what flared in it as soon as it is said. ran says on which days there
// was a run that counts.
func RecordOf(c Complaint, mornings []Morning, ran func(load.Day) bool, today load.Day, z Zones) Record {
	r := Record{Complaint: c}
	said := Of(mornings, c.ID)
	r.said = slices.Clone(said)
	for _, span := range c.Spans(today) {
		for day := span.First; day < span.Last; day++ { // of the last day the morning is still to come
			if day+1 < today && ran(day) && !slices.ContainsFunc(said, func(m Morning) bool { return m.Day == day+1 }) {
				said = append(said, Morning{Complaint: c.ID, Day: day + 1})
			}
		}
	}
	slices.SortStableFunc(said, byDay)
	base := baseOf{c: &c, ran: ran}
	for i := range said {
		m := &said[i]
		if m.Day > today+1 {
			break
		}
		early := m.Day > today
		if early {
			m.Next, m.Stiffness = nil, nil // on the day that is asked about nobody knows them
		}
		b := base.at(m)
		after := ran(m.Day - 1)
		j := Judge(m, b, after, c.Bone, z)
		toCome := early || m.Day == today && m.Next == nil && m.Stiffness == nil
		if toCome && j.Verdict != load.Flared {
			continue
		}
		r.Mornings = append(r.Mornings, Judged{Morning: *m, Base: b, Judgement: j, Ran: after, Early: early})
	}
	return r
}

// On returns the morning of a date; ok is false where there is none.
func (r *Record) On(day load.Day) (m *Judged, ok bool) {
	i, ok := slices.BinarySearchFunc(r.Mornings, day, func(j Judged, day load.Day) int { return int(j.Day) - int(day) })
	if !ok {
		return nil, false
	}
	return &r.Mornings[i], true
}

// Answer is what the complaints followed on a day say of its runs: the worst of their
// mornings.
func Answer(records []Record, day load.Day) (worst load.Verdict) {
	rank := [...]int{load.NoVerdict: 0, load.Settled: 1, load.Missing: 2, load.Unsettled: 3, load.Flared: 4}
	for i := range records {
		if !records[i].Complaint.Followed(day) {
			continue
		}
		if m, ok := records[i].On(day + 1); ok && rank[m.Judgement.Verdict] > rank[worst] {
			worst = m.Judgement.Verdict
		}
	}
	return worst
}
