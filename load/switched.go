package load

import "fmt"

// The rules that are off unless whoever is in charge switches them on: the ratio of
// the week to the weeks before, and weeks that are much alike.

// ratioDays finds stretches of days whose uncoupled ratio is at the limit or above.
func (h *History) ratioDays() []Trigger {
	return h.switched(RuleRatio, func(s *Settings) (on, limit float64) { return s.RatioRule, s.RatioLimit },
		func(i int) (Value, string) {
			var row DayRow
			row.Acute = h.measure.In(h.week(i))
			h.countDays(i, &row)
			h.ratios(i, &row)
			before, _ := row.ChronicUncoupled.Get()
			return row.RatioUncoupled, fmt.Sprintf("%s in seven days against a mean of %.1f %s in the three weeks before", h.format(h.week(i)), before, h.measure.Unit())
		}, func(v, limit float64) bool { return v >= limit })
}

// monotoneWeeks finds stretches of days whose monotony is above the limit.
func (h *History) monotoneWeeks() []Trigger {
	return h.switched(RuleMonotoneWeek, func(s *Settings) (on, limit float64) { return s.MonotoneRule, s.MonotoneLimit },
		func(i int) (Value, string) {
			row := DayRow{Date: h.first + Day(i), Acute: h.measure.In(h.week(i))}
			h.variation(i, &row)
			return row.Monotony, "seven days that are much alike"
		}, func(v, limit float64) bool { return v > limit })
}

// switched makes one trigger of each stretch of days on which a rule is on and a value
// is over its limit; its evidence is that of the highest.
func (h *History) switched(rule string, setting func(*Settings) (on, limit float64), value func(i int) (Value, string), over func(v, limit float64) bool) (found []Trigger) {
	for i := range h.days {
		day := h.first + Day(i)
		on, limit := setting(h.in.Settings.on(day))
		if on != 1 {
			continue
		}
		val, text := value(i)
		v, ok := val.Get()
		if !ok || !over(v, limit) {
			continue
		}
		n := len(found)
		if n == 0 || found[n-1].LastDay != day-1 {
			found = append(found, Trigger{evidence(rule, day, day.String(), Remark), day})
			n++
		}
		t := &found[n-1]
		t.LastDay = day
		if v > t.Value {
			t.Value, t.Limit, t.Unit = v, limit, "times"
			t.Text = fmt.Sprintf("%.2f on %s: %s", v, day.Spoken(), text)
		}
	}
	return found
}
