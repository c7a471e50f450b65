package ramp_test

import (
	"strings"
	"testing"

	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// TestTables: every ladder that can be chosen can be climbed within the session cap, names
// its source, and ends where the default one does.
func TestTables(t *testing.T) {
	for _, table := range ramp.Tables {
		ladder := table.Ladder()
		if err := ramp.CheckLadder(ladder); err != nil {
			t.Errorf("%s: %v", table.ID, err)
		}
		if last := ladder[len(ladder)-1]; last.Total() != 42 {
			t.Errorf("%s ends at %g min, want 42", table.ID, float64(last.Total()))
		}
		if table.Source == "" || table.Status == "" || table.Name == "" {
			t.Errorf("%s: no name, source or status", table.ID)
		}
		for i, s := range ladder {
			if s.Stage != i+1 {
				t.Errorf("%s: stage %d counts as %d", table.ID, i+1, s.Stage)
			}
		}
	}
	if len(ramp.TablesFor(rehab.AchillesMid)) < 2 || len(ramp.TablesFor(rehab.Shin)) < 4 {
		t.Error("too few ladders to choose from")
	}
	if _, err := ramp.FindTable("sprint"); err == nil {
		t.Error("a ladder that is none was found")
	}
}

// TestBridge, by hand: from 8 min the cap is 11, so a step of 4 x 3 min is led up to by
// 4 x 2.5, which is more than 3 x 3; from 12 min it is 15, so 16 min without a walk by 15.
func TestBridge(t *testing.T) {
	shin, err := ramp.FindTable("shin-six")
	if err != nil {
		t.Fatal(err)
	}
	got := ramp.Notation(shin.Ladder()[:6])
	if want := "4x2:2, 4x2.5:2, 4x3:2, 15, 16, 18"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

func TestCheckLadder(t *testing.T) {
	for text, want := range map[string]string{
		"10x1:1, 6x2:1, 5x3:1":    "",
		"10x1:1, 30":              "stage 2: 30 min of running after 10: the session cap allows 13",
		"10x1:1, 4x2:1":           "stage 2: 8 min of running, and stage 1 has 10: want no less",
		"":                        "0 stages",
		"0x1:1":                   "0 times",
		"1x0:1":                   "0 min of running",
		"10x1:90":                 "90 min of walking",
		strings.Repeat("10,", 50): "50 stages",
	} {
		stages, err := ramp.ParseLadder(text)
		if err != nil {
			t.Fatal(err)
		}
		err = ramp.CheckLadder(stages)
		if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
	for _, bad := range []string{"10x1:1, soon", "x:1", "ten", "10x:1", "NaNxNaN"} {
		if _, err := ramp.ParseLadder(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
	odd, err := ramp.ParseLadder("NaN")
	if err == nil && ramp.CheckLadder(odd) == nil {
		t.Error("a stage of no number was taken")
	}
	if stages, err := ramp.ParseLadder("10 x 1 : 1\n6×2:1;30"); err != nil || ramp.Notation(stages) != "10x1:1, 6x2:1, 30" {
		t.Errorf("%v, %v", stages, err)
	}
}

// TestFirst: a stage that a person set is where the plan begins, and the checker takes it;
// the session cap still holds.
func TestFirst(t *testing.T) {
	in := runner()
	in.First = 2
	p := make_(t, in)
	if d := p.Days[0]; d.Stage != 2 || !says(p.Reasons, "stage 2 to begin with, as a person set it") {
		t.Errorf("%+v, %q", d, p.Reasons)
	}
	if err := ramp.Verify(&p); err != nil {
		t.Error(err)
	}
	in.First = 9 // 30 min, and the longest run had 10
	p = make_(t, in)
	if d := p.Days[0]; d.Stage != 2 || d.Total > 13 {
		t.Errorf("%+v, want the highest stage under the cap of 13 min", d)
	}
	if in.First = 99; in.Check() == nil {
		t.Error("stage 99 was taken")
	}
}

// TestConfirm: where stages wait for somebody they go up as far as was said and no further,
// and the day says which waits; the checker refuses one that went on (model 7).
func TestConfirm(t *testing.T) {
	in := runner()
	free := make_(t, in)
	in.Confirm = true
	p := make_(t, in)
	waits := 0
	for _, d := range p.Days {
		if d.Stage > 1 {
			t.Fatalf("%+v, and nobody said so", d)
		}
		waits = max(waits, d.Waits)
	}
	if waits != 2 || !says(p.Reasons, "stages go up to stage 1; beyond it somebody in charge has to say so") {
		t.Errorf("stage %d waits, %q", waits, p.Reasons)
	}
	in.Roof = 2
	p = make_(t, in)
	top := 0
	for _, d := range p.Days {
		top = max(top, d.Stage)
	}
	if top != 2 || ramp.Verify(&p) != nil {
		t.Errorf("up to stage %d (%v), want 2", top, ramp.Verify(&p))
	}
	free.Inputs.Confirm, free.Inputs.Roof = true, 2
	if err := ramp.Verify(&free); err == nil || !strings.Contains(err.Error(), "without somebody in charge: 3, limit 2") {
		t.Errorf("a plan that went on by itself: %v", err)
	}
}
