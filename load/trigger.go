package load

import (
	"cmp"
	"fmt"
	"slices"
)

// Trigger is one time that a rule applied: the evidence, and the last day on
// which its cause was there.
type Trigger struct {
	Evidence
	LastDay Day
}

// Triggers applies the rules of this package to the days of h, in order of day.
// Spikes are about distance; weeks and breaks can be looked at in minutes as well.
// Other measures panic.
func (h *History) Triggers() []Trigger {
	if !h.measure.Limited() {
		panic("load: Triggers: no rules for " + h.measure.String())
	}
	if h.Empty() {
		return nil
	}
	triggers := slices.Concat(h.weekJumps(), h.returns(), h.demands(), h.ratioDays(), h.monotoneWeeks())
	if h.measure == Distance {
		triggers = slices.Concat(h.spikes(), triggers)
	}
	triggers = append(triggers, h.dataRemarks()...)
	slices.SortStableFunc(triggers, func(a, b Trigger) int { return cmp.Compare(a.Day, b.Day) })
	return triggers
}

// evidence fills what a trigger takes from its rule.
func evidence(rule string, day Day, subject string, level Level) Evidence {
	source := FindRule(rule).Rests[0]
	return Evidence{Rule: rule, Day: day, Subject: subject, Level: level, Source: source.Cite, Strength: source.Strength}
}

// spikes finds runs over their tidemark that the limits of their day did not
// allow. Races are accepted.
func (h *History) spikes() (found []Trigger) {
	quiet := h.muted()
	for i := range h.bouts {
		b := &h.bouts[i]
		if !b.complete || b.told || b.race || b.tidemark == 0 || !h.over10(b.amount, b.tidemark) {
			continue
		}
		if b.amount <= quiet.leastRoom(b.day, b.start) {
			continue
		}
		level := Remark
		class := Classify(Distance, b.amount, b.tidemark)
		if class == LargeSpike && !h.provisional(b.day) || h.in.complaintOn(b.day) {
			level = Caution
		}
		e := evidence(RuleSessionSpike, b.day, b.id, level)
		e.Value, e.Limit, e.Unit = h.measure.In(b.amount), h.measure.In(b.tidemark*11/10), h.measure.Unit()
		e.Text = fmt.Sprintf("%s is %s the longest run of the 30 days before (%s)",
			h.format(b.amount), overWords(b.amount, b.tidemark), h.format(b.tidemark))
		if h.provisional(b.day) {
			e.Text += "; provisional, the history is shorter than that"
		} else if i := int(b.day - h.first); h.upperBound(i) {
			e.Text += fmt.Sprintf(", or less: %d of those 30 days are known", h.knownBefore(i))
		}
		found = append(found, Trigger{e, b.day})
	}
	return found
}

// weekJumps finds stretches of days whose last seven stand far over the best
// held week before, or over what a break in force leaves of it.
func (h *History) weekJumps() (found []Trigger) {
	for i := range h.days {
		day := h.first + Day(i)
		set := h.in.Settings.on(day)
		limitOver := func(best Amount) Amount {
			return max(share(best, 1+set.JumpShare), best+h.pick(set.JumpKM, set.JumpMin))
		}
		sum := h.week(i)
		if sum <= limitOver(h.weekAtLeast(day)) {
			continue
		}
		best, ok := h.weekBase(day)
		limit := limitOver(best)
		if !ok || sum <= limit {
			continue
		}
		if n := len(found); n > 0 && found[n-1].LastDay == day-1 {
			found[n-1].LastDay = day
			if h.measure.In(sum) > found[n-1].Value {
				h.tellJump(&found[n-1].Evidence, sum, limit, best)
			}
			continue
		}
		level := Remark
		if set.Novice == 1 {
			level = Caution
		}
		e := evidence(RuleWeekJump, day, day.String(), level)
		h.tellJump(&e, sum, limit, best)
		found = append(found, Trigger{e, day})
	}
	return found
}

// overWords says how far an amount stands over another, which it does. Close to
// the 10 % of the rule it takes a decimal.
func overWords(amount, other Amount) string {
	if other == 0 {
		return "over"
	}
	percent := 100 * (float64(amount)/float64(other) - 1)
	if percent < 11 {
		return fmt.Sprintf("%.1f %% over", percent)
	}
	return fmt.Sprintf("%.0f %% over", percent)
}

// weekAtLeast returns a week that weekBase is not below, for days that need no closer
// look.
func (h *History) weekAtLeast(day Day) Amount {
	if end := day - youngest; h.breakOn(day).class == noBreak && end >= h.firstWeekEnd(day) {
		return h.countedWeek(end)
	}
	return 0
}

// weekBase is the week that a day's last seven are held against; ok is false as
// long as the history has no whole one.
func (h *History) weekBase(day Day) (week Amount, ok bool) {
	switch state := h.breakOn(day); state.class {
	case noBreak:
		return h.bestSum(day)
	case lapsedBreak:
		return h.beginnersWeek(day), true
	default:
		_, part := h.breakShares(day, state.class)
		return share(h.bestWeek(state.base).amount, part), true
	}
}

func (h *History) tellJump(e *Evidence, sum, limit, best Amount) {
	e.Value, e.Limit, e.Unit = h.measure.In(sum), h.measure.In(limit), h.measure.Unit()
	e.Text = fmt.Sprintf("%s in seven days, %s the week to hold it against (%s)", h.format(sum), overWords(sum, best), h.format(best))
	from, to := max(0, int(e.Day-h.first)-weekOldest-weekDays+1), max(0, int(e.Day-h.first)-youngest+1)
	if h.known[to]-h.known[from] < to-from {
		e.Text += "; not all of the weeks before are known"
	}
}

// returns finds the first run after each break of 8 days or more, and every run
// that is over the limits while the break is in force.
func (h *History) returns() (found []Trigger) {
	quiet := h.muted()
	for i := range h.bouts {
		b := &h.bouts[i]
		state := h.breakOn(b.day)
		first := state.days >= shortBreakDays && b == &h.on(b.day)[0]
		if state.class == noBreak || b.told {
			continue
		}
		room := quiet.leastRoom(b.day, b.start)
		over := b.amount > room && !b.race
		if !first && !over {
			continue
		}
		e := evidence(RuleAfterBreak, b.day, b.id, Remark)
		e.Value, e.Limit, e.Unit = float64(state.days), shortBreakDays-1, "days"
		e.Text = fmt.Sprintf("the first run after %d days", state.days)
		if i := int(b.day - h.first); h.known[i]-h.known[i-int(state.days)+1] < int(state.days)-1 {
			e.Text = fmt.Sprintf("the first run that is known after %d days", state.days)
		}
		if !first {
			e.Value, e.Limit, e.Unit = h.measure.In(b.amount), h.measure.In(room), h.measure.Unit()
			e.Text = "a run while the break before still limits"
		}
		if over {
			e.Level = Caution
			e.Text += fmt.Sprintf(": %s, with room for %s", h.exact(b.amount), h.exact(room))
		}
		found = append(found, Trigger{e, b.day})
	}
	return found
}

// exact writes an amount to two decimals, for what may differ by little.
func (h *History) exact(a Amount) string {
	return fmt.Sprintf("%.2f %s", h.measure.In(a), h.measure.Unit())
}

// QuietDays is how many days without a trigger, the last of them included, end an
// episode and close its finding (project default).
const QuietDays = 14

// Episodes makes findings of triggers that are in order of day: one a cause and
// episode, which later rules of that cause join as evidence, and one a trigger
// for rules without a cause.
func Episodes(triggers []Trigger) []Finding {
	var findings []Finding
	open := make(map[string]int) // cause, or subject, to the index of the running episode's finding
	for _, t := range triggers {
		rule := FindRule(t.Rule)
		id := t.Rule + ":" + t.Subject
		key, lasts := string(rule.Cause), Day(QuietDays)
		if rule.Cause == CauseNone {
			key, lasts = id, never
		}
		if at, running := open[key]; running && t.Day-findings[at].LastDay <= lasts {
			findings[at].join(t)
			continue
		}
		open[key] = len(findings)
		findings = append(findings, Finding{
			ID: id, Rule: t.Rule, Level: t.Level, Subject: t.Subject,
			Day: t.Day, LastDay: t.LastDay, Value: t.Value, Limit: t.Limit, Unit: t.Unit,
			Advice: rule.Advice[t.Level], Evidence: []Evidence{t.Evidence},
		})
	}
	return findings
}

// join adds later evidence; the loudest has the say about what to do.
func (f *Finding) join(t Trigger) {
	f.LastDay = max(f.LastDay, t.LastDay)
	f.Evidence = append(f.Evidence, t.Evidence)
	if t.Level > f.Level {
		f.Level, f.Advice = t.Level, FindRule(t.Rule).Advice[t.Level]
	}
}
