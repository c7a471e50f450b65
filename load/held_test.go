package load_test

import (
	"testing"

	"tidemark/load"
)

// TestHeldTidemark follows one long run through what can become of it. The base
// is four weeks of 8 km every other day; on day 28 comes a run of 12 km, which is
// 50 % over its tidemark of 8.
func TestHeldTidemark(t *testing.T) {
	const long = 28
	base := repeat(14, 8, 0)
	tests := []struct {
		name  string
		after []float64
		edit  func(in *load.Input, id string)
		on    int     // days after the long run
		want  float64 // held tidemark in km
	}{
		{"waits while a week is not over", repeat(3, 0, 8), nil, 6, 8},
		{"held after seven uneventful days", repeat(4, 0, 8), nil, 7, 12},
		{"held the morning after, if settled", repeat(1, 0, 8), verdict(load.Settled), 1, 12},
		{"never held if flared", repeat(6, 0, 8), verdict(load.Flared), 12, 8},
		{"an unsettled run counts itself", repeat(6, 0, 8), verdict(load.Unsettled), 12, 12},
		{"a missing morning gives nothing with a complaint open", repeat(6, 0, 8), func(in *load.Input, id string) {
			verdict(load.Missing)(in, id)
			in.Complaints = []load.DaySpan{{First: monday + 20, Last: monday + 60}}
		}, 12, 8},
		{"a complaint within the week stops it", repeat(6, 0, 8), func(in *load.Input, _ string) {
			in.Complaints = []load.DaySpan{{First: monday + long + 5, Last: monday + long + 5}}
		}, 12, 8},
		{"a race is never held", repeat(6, 0, 8), func(in *load.Input, id string) {
			for i := range in.Sessions {
				in.Sessions[i].Race = in.Sessions[i].ID == id
			}
		}, 12, 8},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			km := append(append(base, 12), tt.after...)
			in := &load.Input{Sessions: daily(monday, km...), Today: monday + load.Day(long+tt.on)}
			if tt.edit != nil {
				tt.edit(in, run(monday+long, 12).ID)
			}
			row := load.NewHistory(in, load.Distance).DayRows(in.Today, in.Today)[0]
			if got := number(t, "held tidemark", row.HeldTidemark); got != tt.want {
				t.Errorf("held tidemark %v km, want %v", got, tt.want)
			}
			if got := number(t, "tidemark", row.Tidemark); got != 12 {
				t.Errorf("plain tidemark %v km, want 12 whatever became of the run", got)
			}
		})
	}
}

func verdict(v load.Verdict) func(*load.Input, string) {
	return func(in *load.Input, id string) { in.Verdicts = map[string]load.Verdict{id: v} }
}

// TestRepeatedLengthIsHeldAtOnce: a second run of the new length is not over the
// tidemark that the first one set.
func TestRepeatedLengthIsHeldAtOnce(t *testing.T) {
	km := append(repeat(14, 8, 0), 12, 0, 12, 0)
	row := lastRow(t, km...)
	if got := number(t, "held tidemark", row.HeldTidemark); got != 12 {
		t.Errorf("held tidemark %v km, want 12", got)
	}
}

// TestRaceIsNoLengthToRepeat: after a race of 42 km, or a run of that length that
// flared, one of 40 km waits like any other that is far over what was tolerated.
func TestRaceIsNoLengthToRepeat(t *testing.T) {
	base := append(repeat(14, 8, 0), 42)
	km := append(base, 0, 8, 0, 8, 0, 8, 0, 8, 0, 8, 0, 40)
	for name, edit := range map[string]func(in *load.Input, id string){
		"race": func(in *load.Input, id string) {
			for i := range in.Sessions {
				in.Sessions[i].Race = in.Sessions[i].ID == id
			}
		},
		"flared": verdict(load.Flared),
	} {
		in := &load.Input{Sessions: daily(monday, km...), Today: monday + load.Day(len(km))}
		edit(in, run(monday+28, 42).ID)
		row := load.NewHistory(in, load.Distance).DayRows(in.Today, in.Today)[0]
		if got := number(t, "held tidemark", row.HeldTidemark); got != 8 {
			t.Errorf("%s: held tidemark %v km the day after 40, want 8", name, got)
		}
	}
}
