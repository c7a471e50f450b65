package export

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"tidemark/load"
)

// row is one recording on its way into the table.
type row struct {
	*load.Session
	double bool
	set    load.Settings // of its day
}

// columns are the table, in order. A cell is empty where the recording lacks the
// value.
var columns = []struct {
	name string
	of   func(row) string
}{
	{"id", func(r row) string { return r.ID }},
	{"day", func(r row) string { return r.Day.String() }},
	{"start", row.start},
	{"kind", func(r row) string { return r.Sport.String() }},
	{"surface", func(r row) string { return string(r.Surface) }},
	{"race", func(r row) string { return yes(r.Race) }},
	{"counted", func(r row) string { return yes(r.Sport == load.Running && !r.Excluded && !r.double) }},
	{"distance_km", func(r row) string { return r.measure(load.Distance) }},
	{"distance_source", func(r row) string { return string(r.DistanceSource) }},
	{"duration_min", func(r row) string { return r.measure(load.Time) }},
	{"elapsed_min", func(r row) string { return when(r.Elapsed > 0, minutes(r.Elapsed)) }},
	{"run_km", func(r row) string { return r.measure(load.RunDistance) }},
	{"run_min", func(r row) string { return r.measure(load.RunTime) }},
	{"walk_min", func(r row) string { return when(r.timedOnFoot(), minutes(r.WalkTime)) }},
	{"run_spells", func(r row) string { return when(r.timedOnFoot() && r.Points > 1, strconv.Itoa(r.RunSpells)) }},
	{"flat_km", func(r row) string { return r.measure(load.Flat) }},
	{"ascent_m", func(r row) string { return when(r.HasAscent, decimal(float64(r.Ascent))) }},
	{"descent_m", func(r row) string { return when(r.HasAscent, decimal(float64(r.Descent))) }},
	{"hr_mean", func(r row) string { return when(r.HeartMean > 0, strconv.Itoa(int(r.HeartMean))) }},
	{"hr_max", func(r row) string { return when(r.HeartMax > 0, strconv.Itoa(int(r.HeartMax))) }},
	{"cadence_spm", func(r row) string { return when(r.CadenceMean > 0, decimal(float64(r.CadenceMean))) }},
	{"steps", func(r row) string { return r.measure(load.Steps) }},
	{"steps_source", func(r row) string { return string(r.StepsSource) }},
	{"exertion", func(r row) string { return r.measure(load.Exertion) }},
	{"heart_trimp", func(r row) string { return r.measure(load.Heart) }},
	{"tendon_km", func(r row) string { return r.measure(load.Tendon) }},
	{"shoe", func(r row) string { return plain(r.Shoe) }},
	{"note", func(r row) string { return plain(r.Note) }},
	{"device", func(r row) string { return plain(r.Device) }},
}

// CSV writes all recordings as a table by RFC 4180 in UTF-8: a line that names the
// columns, then one a recording in order of start, the newest last. doubles names
// those of which another recording counts, as load.Doubles returns it; heart and tendon
// are weighed by the settings of each day.
//
// Units are in the names of the columns; exertion is session RPE times minutes,
// cadence that of both feet. Numbers have a decimal point and every digit of what
// is counted with; a cell is empty where there is no value. The start is RFC 3339
// where the run was, and empty where only the date is known. counted is "no" for
// what makes no running load: other kinds, what the runner left out, doubles.
//
// What a person or a device named gets an apostrophe before it where a
// spreadsheet would take it for a formula.
func CSV(w io.Writer, sessions []load.Session, doubles map[string]string, settings load.Schedule) error {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	err := writeTable(w, names, func(write func(cells []string) error) error {
		for _, s := range byStart(sessions) {
			cells := make([]string, len(columns))
			for i, c := range columns {
				cells[i] = c.of(row{s, doubles[s.ID] != "", settings.On(s.Day)})
			}
			if err := write(cells); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("write table of runs: %w", err)
	}
	return nil
}

// writeTable writes a line of names, then what rows hands over.
func writeTable(w io.Writer, names []string, rows func(write func(cells []string) error) error) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(names); err != nil {
		return err
	}
	if err := rows(out.Write); err != nil {
		return err
	}
	out.Flush()
	return out.Error()
}

func byStart(sessions []load.Session) []*load.Session {
	out := make([]*load.Session, len(sessions))
	for i := range sessions {
		out[i] = &sessions[i]
	}
	slices.SortFunc(out, func(a, b *load.Session) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.ID, b.ID))
	})
	return out
}

func (r row) start() string {
	return when(!r.NoStart, r.Start.In(r.Zone.Offset).Format("2006-01-02T15:04:05.999Z07:00"))
}

// measure writes what the recording has of m, in its unit.
func (r row) measure(m load.Measure) string {
	reading, ok := r.set.Reading(r.Session, m)
	return when(ok, decimal(m.In(reading.Amount)))
}

// timedOnFoot reports whether running and walking were told apart in time.
func (r row) timedOnFoot() bool {
	_, ok := r.Measures.Get(load.RunTime)
	return ok
}

// decimal writes the fewest digits that read back as v, never with an exponent.
func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func minutes(d time.Duration) string { return decimal(d.Minutes()) }

func when(known bool, cell string) string {
	if known {
		return cell
	}
	return ""
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// formulaStarts are what a spreadsheet may begin to compute at (the advice of
// OWASP on CSV injection; value from memory).
const formulaStarts = "=+-@\t\r"

// plain keeps a text from being computed.
func plain(text string) string {
	if text != "" && strings.IndexByte(formulaStarts, text[0]) >= 0 {
		return "'" + text
	}
	return text
}
