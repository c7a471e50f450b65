package rehab_test

import (
	"errors"
	"math"
	"testing"

	"tidemark/load/rehab"
)

// TestFeels are rows 25 to 27 of the rehab reference's check values (Salaffi et al. 2004).
func TestFeels(t *testing.T) {
	for _, tt := range []struct {
		from, to float64
		want     rehab.Felt
	}{{5, 3, rehab.FeltMuch}, {4, 3, rehab.FeltSlightly}, {8, 7, rehab.FeltUnclear}, {3, 3, rehab.FeltSame}, {3, 5, rehab.FeltSame}, {0, 0, rehab.FeltSame}} {
		if got := rehab.Feels(tt.from, tt.to); got != tt.want {
			t.Errorf("%g to %g: %s, want %s", tt.from, tt.to, got, tt.want)
		}
	}
}

// TestVISATotal are rows 28 to 30 (Robinson et al. 2001; values from memory and seen in
// public source code).
func TestVISATotal(t *testing.T) {
	first := [6]int{7, 6, 8, 7, 5, 6}
	if total, err := rehab.VISATotal(first, 7, 14, "b"); err != nil || total != 60 {
		t.Errorf("%d, %v; want 60", total, err)
	}
	if total, err := rehab.VISATotal([6]int{10, 10, 10, 10, 10, 10}, 10, 30, "a"); err != nil || total != 100 {
		t.Errorf("%d, %v; want 100", total, err)
	}
	for name, f := range map[string]func() (int, error){
		"v7 of 5":          func() (int, error) { return rehab.VISATotal(first, 5, 14, "b") },
		"20 in branch c":   func() (int, error) { return rehab.VISATotal(first, 7, 20, "c") },
		"a branch d":       func() (int, error) { return rehab.VISATotal(first, 7, 0, "d") },
		"11 in the second": func() (int, error) { return rehab.VISATotal([6]int{7, 11, 8, 7, 5, 6}, 7, 14, "b") },
	} {
		if _, err := f(); !errors.Is(err, rehab.ErrVISA) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestRead are rows 31, 32, 34 and 36: Lagas et al. 2021 as cited, Hébert-Losier et al. 2017,
// Powden et al. 2015; the band from 7 to 13 is a project default.
func TestRead(t *testing.T) {
	for _, tt := range []struct {
		id       string
		from, to float64
		want     rehab.Change
	}{
		{"visa-a", 57, 71, rehab.ChangeClear},
		{"visa-a", 57, 65, rehab.ChangePossible},
		{"visa-a", 57, 62, rehab.ChangeNoise},
		{"heel-rise", 20, 25, rehab.ChangeNoise},
		{"heel-rise", 20, 27, rehab.ChangeClear},
		{"knee-to-wall", 9, 10.5, rehab.ChangeNoise},
		{"knee-to-wall", 9, 11, rehab.ChangeClear},
		{"hop", 9, 30, rehab.ChangeUnknown},
		{"hop", 9, 9, rehab.ChangeNone},
	} {
		o, err := rehab.FindOutcome(tt.id)
		if err != nil {
			t.Fatal(err)
		}
		if got := o.Read(tt.from, tt.to); got != tt.want {
			t.Errorf("%s from %g to %g: %s, want %s", tt.id, tt.from, tt.to, got, tt.want)
		}
	}
}

// TestSymmetry is row 35, and what has none: both sides hurt, or nothing to hold against.
func TestSymmetry(t *testing.T) {
	if share, ok := rehab.Symmetry(18, 24, false); !ok || share != 0.75 {
		t.Errorf("%g, %v; want 0.75", share, ok)
	}
	if _, ok := rehab.Symmetry(18, 24, true); ok {
		t.Error("a symmetry of two sides that hurt")
	}
	if _, ok := rehab.Symmetry(18, 0, false); ok {
		t.Error("a symmetry against nothing")
	}
}

// TestLeastDetectable is row 33: 18.1 from the published error of 6.54, derived.
func TestLeastDetectable(t *testing.T) {
	if got := rehab.LeastDetectable(6.54); math.Abs(got-18.1) > 0.05 {
		t.Errorf("%g, want 18.1", got)
	}
}

func TestOutcomes(t *testing.T) {
	seen := make(map[string]bool)
	for _, o := range rehab.Outcomes {
		if seen[o.ID] || o.Name == "" || o.Unit == "" || o.How == "" || o.Source == "" || o.High <= o.Low {
			t.Errorf("%+v is doubled or lacks something", o)
		}
		seen[o.ID] = true
		for _, v := range []float64{o.Low - 1, o.High + 1, math.NaN()} {
			if o.Check(v) == nil {
				t.Errorf("%s took %v", o.ID, v)
			}
		}
		if o.Whole && o.Check(o.Low+0.5) == nil {
			t.Errorf("%s took half of one", o.ID)
		}
	}
}
