package load_test

import (
	"testing"

	"tidemark/load"
)

// Below 140 steps/min is walking, and below 2 m/s where there is no cadence
// (PMC8629136). That a change must last 5 s is the project's choice.
func TestGait(t *testing.T) {
	for _, test := range []struct {
		name          string
		has           load.Fields
		legs          []leg
		running, walk float64
	}{
		{"run and walk by cadence", complete, []leg{{300, 3, 165}, {120, 1.4, 112}, {300, 3, 165}}, 600, 120},
		{"a fast walk is a walk by cadence", complete, []leg{{300, 2.2, 135}}, 0, 300},
		{"a slow jog is a run by cadence", complete, []leg{{300, 1.7, 150}}, 300, 0},
		{"140 is running", complete, []leg{{300, 1.9, 140}}, 300, 0},
		{"run and walk by speed", onTrack, []leg{{300, 3, 0}, {120, 1.4, 0}, {300, 3, 0}}, 600, 120},
		{"2 m/s is running by speed", byDevice, []leg{{300, 2, 0}, {300, 1.99, 0}}, 300, 300},
		{"4 s of walking are not believed", complete, []leg{{300, 3, 165}, {4, 1.4, 112}, {300, 3, 165}}, 604, 0},
		{"5 s are", complete, []leg{{300, 3, 165}, {5, 1.4, 112}, {300, 3, 165}}, 600, 5},
		{"4 s of running are not", complete, []leg{{300, 1.4, 112}, {4, 3, 165}, {300, 1.4, 112}}, 0, 604},
		{"a lost foot pod writes zero", complete, []leg{{300, 3, 165}, {60, 3, 0}, {300, 3, 165}}, 660, 0},
		{"walk to the start, stand, run", complete, []leg{{120, 1.4, 110}, {60, 0, 0}, {300, 3, 165}}, 300, 120},
		{"neither speed nor cadence", load.HasHeart, []leg{{300, 3, 0}}, 300, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := reduce(recording(test.has, test.legs...))
			wantTime(t, "running", s.RunTime, test.running)
			wantTime(t, "walking", s.WalkTime, test.walk)
			wantTime(t, "moving", s.Moving, test.running+test.walk)
		})
	}
}

// A walk with a sprint for the bus in it, recorded as a walk.
func TestGaitInAWalk(t *testing.T) {
	a := recording(complete, leg{600, 1.4, 110}, leg{20, 4, 175}, leg{600, 1.4, 110})
	a.Sport = load.Walking
	s := reduce(a)
	wantTime(t, "running", s.RunTime, 20)
	wantTime(t, "walking", s.WalkTime, 1200)

	a = recording(load.HasHeart, leg{600, 1.4, 0})
	a.Sport = load.Walking
	wantTime(t, "walking without any sign", reduce(a).WalkTime, 600)
}
