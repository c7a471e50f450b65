package web

import (
	"math"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

func squadRowOf(r *journal.Row) squadRow {
	s := &r.Standing
	row := squadRow{
		ID: string(r.ID), Name: r.Name, Group: r.Group, Level: s.Whole.Worst, Looks: s.Whole.OpenFindings > 0, Why: s.Whole.Why, Since: s.Whole.Since,
		Room: roomWords(&s.Whole), sorts: r, New: newWords(r),
	}
	km := func(field string, a load.Amount, ok bool) number {
		if !ok {
			return number{Field: field, Text: "not known"}
		}
		return number{field, exact(load.Distance.In(a)), words.Amount(load.Distance, a)}
	}
	row.Week, row.Longest = km("week", s.WeekDistance, true), km("longest", s.Tidemark, s.HasTidemark)
	row.Change = number{Field: "change", Text: "not known"}
	if s.HasBefore {
		change := load.Distance.In(s.WeekDistance - s.WeekBefore)
		row.Change = number{"change", exact(change), words.MoreOrLess(load.Distance, change)}
		if math.Abs(change) < 0.05 {
			row.Change.Text = "as before"
		}
	}
	if s.HasSpike && s.Spike > 0 {
		row.Spike = words.Over(s.Spike) + ", " + s.SpikeDay.Noon().Format("Mon")
	}
	row.Upload = "nothing yet"
	if s.HasRecord {
		row.Upload = agoWords(r.Today - s.LastRecord)
	}
	if s.HasRace {
		row.Race = words.ShortDay(s.RaceDay)
		if s.RaceName != "" {
			row.Race += ", " + s.RaceName
		}
	}
	return row
}

// shortWeekday writes a day of these weeks in a narrow place: Mon 2 Mar.
func shortWeekday(d load.Day) string { return d.Noon().Format("Mon 2 Jan") }

// agoWords says how many days ago something was.
func agoWords(days load.Day) string {
	switch days {
	case 0:
		return "today"
	case 1:
		return "yesterday"
	}
	return words.Plural(int(days), "day") + " ago"
}

// roomWords says what the limits leave, or until when there is no running.
func roomWords(s *journal.Sight) string {
	switch {
	case s.State == "":
		return "not known"
	case s.Held && s.HeldUntil > 0:
		return "no run until " + words.ShortDay(s.HeldUntil)
	case s.Held:
		return "no run until it is lifted"
	case !s.HasAmount:
		return "a race"
	case s.Amount == 0:
		return "nothing left"
	}
	return "up to " + words.Amount(s.Measure, s.Amount)
}

// newWords says what changed since the person last looked.
func newWords(r *journal.Row) (out []string) {
	if r.Before == nil {
		return nil
	}
	s, was := &r.Standing, r.Before
	if more := s.Whole.OpenFindings - was.OpenFindings; more > 0 {
		out = append(out, words.Plural(more, "new warning"))
	}
	if now, before := s.Whole.Held, was.State == string(load.HeldBack); now != before {
		out = append(out, map[bool]string{true: "held now", false: "held no more"}[now])
	}
	if s.LastRecord > was.LastRecord && s.HasRecord {
		out = append(out, "ran since")
	}
	return out
}
