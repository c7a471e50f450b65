package export

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"tidemark/load"
)

// dayColumns are the table of days, in order, under the names of the JSON of the load
// command. What is undefined is an empty cell, and its reason stands in the last.
var dayColumns = []struct {
	name string
	of   func(*load.DayRow) load.Value
}{
	{"load", func(r *load.DayRow) load.Value { return load.Known(r.Load) }},
	{"acute", func(r *load.DayRow) load.Value { return load.Known(r.Acute) }},
	{"acute_most", func(r *load.DayRow) load.Value { return r.AcuteMost }},
	{"chronic_coupled", func(r *load.DayRow) load.Value { return r.ChronicCoupled }},
	{"chronic_uncoupled", func(r *load.DayRow) load.Value { return r.ChronicUncoupled }},
	{"ratio_coupled", func(r *load.DayRow) load.Value { return r.RatioCoupled }},
	{"ratio_uncoupled", func(r *load.DayRow) load.Value { return r.RatioUncoupled }},
	{"ewma_acute", func(r *load.DayRow) load.Value { return r.EWMAAcute }},
	{"ewma_chronic", func(r *load.DayRow) load.Value { return r.EWMAChronic }},
	{"ratio_ewma", func(r *load.DayRow) load.Value { return r.RatioEWMA }},
	{"week_change", func(r *load.DayRow) load.Value { return r.WeekChange }},
	{"week_change_share", func(r *load.DayRow) load.Value { return r.WeekChangeShare }},
	{"monotony", func(r *load.DayRow) load.Value { return r.Monotony }},
	{"strain", func(r *load.DayRow) load.Value { return r.Strain }},
	{"tidemark", func(r *load.DayRow) load.Value { return r.Tidemark }},
	{"held_tidemark", func(r *load.DayRow) load.Value { return r.HeldTidemark }},
	{"spike", func(r *load.DayRow) load.Value { return r.Spike }},
}

// Days writes the windows of days of one measure as a table by RFC 4180 in UTF-8: a
// line that names the columns, then one a day, in order. Loads, sums, tidemarks and
// averages are in the unit that stands in the third column.
func Days(w io.Writer, m load.Measure, days []load.DayRow) error {
	return dayTable(w, []load.Measure{m}, func(load.Measure) []load.DayRow { return days })
}

// dayTable writes the days of one measure after another.
func dayTable(w io.Writer, measures []load.Measure, daysOf func(load.Measure) []load.DayRow) error {
	names := []string{"date", "measure", "unit", "state"}
	for _, c := range dayColumns {
		names = append(names, c.name)
	}
	names = append(names, "spike_class", "spike_upper_bound", "known_days_7", "known_days_28", "known_days_30", "assumed_days_28", "provisional", "settling", "sd_convention", "undefined")
	err := writeTable(w, names, func(write func(cells []string) error) error {
		for _, m := range measures {
			days := daysOf(m)
			for i := range days {
				if err := write(dayCells(m, &days[i])); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("write table of days: %w", err)
	}
	return nil
}

func dayCells(m load.Measure, row *load.DayRow) []string {
	cells := []string{row.Date.String(), m.String(), m.Unit(), row.State.String()}
	var undefined []string
	for _, c := range dayColumns {
		v := c.of(row)
		n, ok := v.Get()
		if !ok {
			undefined = append(undefined, c.name+" "+v.Reason().String())
		}
		cells = append(cells, when(ok, decimal(n)))
	}
	return append(cells, row.Class.String(), yes(row.UpperBound), strconv.Itoa(row.KnownDays7), strconv.Itoa(row.KnownDays28),
		strconv.Itoa(row.KnownDays30), strconv.Itoa(row.AssumedDays28), yes(row.Provisional), yes(row.Settling), when(!row.PopulationSD, "sample")+when(row.PopulationSD, "population"), strings.Join(undefined, "; "))
}
