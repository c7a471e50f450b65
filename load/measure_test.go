package load_test

import (
	"encoding/json"
	"testing"

	"tidemark/load"
)

func TestMeasureAmounts(t *testing.T) {
	tests := []struct {
		m    load.Measure
		v    float64
		want load.Amount
	}{
		{load.Distance, 9.81, 9_810_000},
		{load.Time, 61.5, 3_690_000},
		{load.Exertion, 840, 840_000}, // Foster 2001, table 5: RPE 7 for 120 min
		{load.Steps, 9111, 9111},
	}
	for _, tt := range tests {
		got := tt.m.Of(tt.v)
		if got != tt.want || tt.m.In(got) != tt.v {
			t.Errorf("%v %s: %d, back %v; want %d", tt.v, tt.m.Unit(), got, tt.m.In(got), tt.want)
		}
		text, err := json.Marshal(tt.m)
		if err != nil {
			t.Fatal(err)
		}
		var back load.Measure
		if err := json.Unmarshal(text, &back); err != nil || back != tt.m {
			t.Errorf("%s reads back as %v, %v", text, back, err)
		}
	}
	var m load.Measure
	if err := m.UnmarshalText([]byte("stride")); err == nil {
		t.Error("an unknown measure was read")
	}
}

// A thousand runs of 0.1 km are 100 km exactly, and without them 0.
func TestSumsAreExact(t *testing.T) {
	var sum load.Amount
	for range 1000 {
		sum += load.Distance.Of(0.1)
	}
	if load.Distance.In(sum) != 100 {
		t.Errorf("sum %v km, want 100", load.Distance.In(sum))
	}
	for range 1000 {
		sum -= load.Distance.Of(0.1)
	}
	if sum != 0 {
		t.Errorf("what is left is %d mm, want 0", sum)
	}
}

func TestNegativeAmountIsABug(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a negative amount was taken")
		}
	}()
	var a load.Amounts
	a.Set(load.Time, -1)
}
