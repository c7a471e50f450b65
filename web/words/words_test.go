package words_test

import (
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// What is said to be left is rounded down, what was run to the nearest.
func TestAmounts(t *testing.T) {
	tests := []struct {
		measure       load.Measure
		amount        load.Amount
		amounts, said string
	}{
		{load.Distance, 9_199_999, "9.1 km", "9.2 km"},
		{load.Distance, 9_200_000, "9.2 km", "9.2 km"},
		{load.Distance, 49_000, "0.0 km", "0.0 km"},
		{load.Time, 59_999, "0 min", "1 min"},
		{load.Time, 41 * 60_000, "41 min", "41 min"},
		{load.Exertion, 420_400, "420 effort min", "420 effort min"},
		{load.Steps, 9312, "9312 steps", "9312 steps"},
	}
	for _, tt := range tests {
		if got := words.Amount(tt.measure, tt.amount); got != tt.amounts {
			t.Errorf("Amount(%v, %d) = %q, want %q", tt.measure, tt.amount, got, tt.amounts)
		}
		if got := words.Value(tt.measure, tt.measure.In(tt.amount)); got != tt.said {
			t.Errorf("Value(%v, %d) = %q, want %q", tt.measure, tt.amount, got, tt.said)
		}
	}
}

func TestAgainst(t *testing.T) {
	tests := []struct {
		spike float64
		want  string
	}{
		{0.27, "27 % over your longest of 30 days (11.0 km)"},
		{-0.2, "20 % under your longest of 30 days (11.0 km)"},
		{0.004, "as long as your longest of 30 days (11.0 km)"},
		{-0.004, "as long as your longest of 30 days (11.0 km)"},
	}
	for _, tt := range tests {
		if got := words.Against(tt.spike, "11.0 km"); got != tt.want {
			t.Errorf("Against(%v) = %q, want %q", tt.spike, got, tt.want)
		}
	}
}

func TestAnswer(t *testing.T) {
	room := load.Headroom{Measure: load.Distance, State: load.Open, Amount: 9_250_000, Decides: load.LimitWeek, Limits: []load.Limit{
		{Rule: load.LimitSession, Limit: 12_000_000, Why: "the longest held run 7 to 30 days old is 11.0 km"},
		{Rule: load.LimitDay, Value: 3_000_000, Limit: 12_250_000},
		{Rule: load.LimitWeek, Limit: 9_250_000, Why: "the best held week that ended 7 to 34 days ago is 30.0 km"},
	}}
	if got, want := words.Answer(&room).String(), "Up to 9.2 km within your limits today."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := words.Why(&room), "The week limit decides: the best held week that ended 7 to 34 days ago is 30.0 km."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	room.Usual = load.Known(8)
	room.Day = load.Date(2026, 5, 3) // a Sunday
	if got, want := strings.Join(words.Around(&room), " "), "You have run 3.0 km today. Your usual Sunday is 8.0 km."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	room.Amount = 0
	if got, want := words.Answer(&room).String(), "Nothing left within your limits today."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	room.State = load.HeldBack
	if got, want := words.Answer(&room).String(), "No run within your limits today."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// Every reason and every level has words.
func TestNothingIsWordless(t *testing.T) {
	for r := load.ReasonHistory; r <= load.ReasonNotRecorded; r++ {
		if got := words.NotYet(r); got == words.NotYet(load.NoReason) {
			t.Errorf("%v has no words", r)
		}
	}
	for _, l := range []load.Level{load.Remark, load.Caution, load.Stop} {
		if words.Level(l) == "" {
			t.Errorf("%v has no words", l)
		}
	}
	if got := words.NotForThis(); !strings.HasPrefix(got, "Not for this program: a sudden snap") || strings.Count(got, ".") != len(rehab.RedFlags) {
		t.Errorf("%q", got)
	}
}

// TestPlanned: a run says what was added to it, and more run days are nothing of one run.
func TestPlanned(t *testing.T) {
	for added, want := range map[ramp.Addition]string{
		"": "Run 42 min", ramp.RunDays: "Run 42 min", ramp.Strides: "Run 42 min, with strides", ramp.Hills: "Run 42 min, with hills", ramp.Speed: "Run 42 min, with speed",
	} {
		d := ramp.Day{Kind: ramp.Run, Reps: 1, Run: 42, Adds: added}
		if got := words.Planned(&d); got != want {
			t.Errorf("%q, want %q", got, want)
		}
		about := words.Addition(added)
		if amounts := strings.Contains(about, "for whoever is in charge to say"); amounts != strings.Contains(want, "with") || (about == "") != (added == "") {
			t.Errorf("%s: %q", added, about)
		}
	}
}

func TestWaits(t *testing.T) {
	for step, want := range map[string]string{"stage 3": "stage 3 waits", "the growth after the ladder": "the growth after the ladder waits", "hills": "hills wait"} {
		if got := words.Waits(step); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
