package load_test

import (
	"testing"
	"time"

	"tidemark/load"
)

// TestBoutTakesTheWorst joins a run of 6 km ten minutes after one of 8: what is
// true of either holds for both. The base is four weeks of 12 km every other day,
// so that the 14 km are 17 % over; held, they would lift the held tidemark.
func TestBoutTakesTheWorst(t *testing.T) {
	const day = 28
	tests := []struct {
		name    string
		edit    func(in *load.Input, first, second *load.Session)
		held    float64 // tidemark eight days later
		plain   float64
		unknown bool // the spike of the bout
	}{
		{"nothing special", nil, 14, 14, false},
		{"the second is a race", func(_ *load.Input, _, second *load.Session) { second.Race = true }, 12, 14, false},
		{"the second on a treadmill", func(_ *load.Input, _, second *load.Session) { second.Surface = load.Treadmill }, 12, 12, false},
		{"the second lacks the measure", func(_ *load.Input, _, second *load.Session) { second.Measures = load.Amounts{} }, 12, 12, true},
		{"the first flared, the second settled", func(in *load.Input, first, second *load.Session) {
			in.Verdicts = map[string]load.Verdict{first.ID: load.Flared, second.ID: load.Settled}
		}, 12, 14, false},
		{"the first settled, the second flared", func(in *load.Input, first, second *load.Session) {
			in.Verdicts = map[string]load.Verdict{first.ID: load.Settled, second.ID: load.Flared}
		}, 12, 14, false},
		{"one settled, one missing", func(in *load.Input, first, second *load.Session) {
			in.Complaints = []load.DaySpan{{First: first.Day, Last: first.Day + 30}}
			in.Verdicts = map[string]load.Verdict{first.ID: load.Settled, second.ID: load.Missing}
		}, 12, 14, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			first, second := run(monday+day, 8), run(monday+day, 6)
			second.Start = first.End.Add(10 * time.Minute)
			second.End = second.Start.Add(36 * time.Minute)
			in := &load.Input{Today: monday + day + 8}
			if tt.edit != nil {
				tt.edit(in, &first, &second)
			}
			in.Sessions = append(daily(monday, repeat(14, 12, 0)...), first, second, run(monday+day+2, 5), run(monday+day+4, 5), run(monday+day+6, 5))
			h := load.NewHistory(in, load.Distance)
			row := h.DayRows(in.Today, in.Today)[0]
			if got := number(t, "held tidemark", row.HeldTidemark); got != tt.held {
				t.Errorf("held tidemark %v km, want %v", got, tt.held)
			}
			if got := number(t, "tidemark", row.Tidemark); got != tt.plain {
				t.Errorf("tidemark %v km, want %v", got, tt.plain)
			}
			rows := h.SessionRows(monday+day, monday+day)
			if _, ok := rows[0].Spike.Get(); len(rows) != 1 || ok == tt.unknown {
				t.Errorf("rows %+v, want one bout, its spike unknown: %v", rows, tt.unknown)
			}
		})
	}
}

// A session's tidemark goes by instants, whatever days the zones make of them.
func TestTidemarkOverTheDateLine(t *testing.T) {
	earlier, later := run(monday, 12), run(monday+1, 5)
	earlier.Start, earlier.Day = later.Start.Add(-3*time.Hour), later.Day+1 // across the date line
	earlier.End = earlier.Start.Add(time.Hour)
	in := &load.Input{Sessions: []load.Session{later, earlier}, Today: monday + 3}
	for _, row := range load.NewHistory(in, load.Distance).SessionRows(monday, in.Today) {
		if row.ID == later.ID && number(t, "tidemark", row.Tidemark) != 12 {
			t.Errorf("tidemark %+v, want the 12 km of three hours before", row.Tidemark)
		}
	}
}
