package fit_test

import (
	"testing"

	"tidemark/load"
)

// deviceMesg is message device_info of the profile, with source_type and device_type
// in their fields 25 and 1.
const deviceMesg = 23

// onBelt writes ten minutes with a grade of 2.5 % in its records.
func onBelt(subSport uint8, devices ...[2]byte) []byte {
	w := newWriter()
	w.define(5, deviceMesg, field{25, 1, enumType}, field{1, 1, uint8Type})
	for _, d := range devices {
		w.data(5, d[0], d[1])
	}
	w.define(0, recordMesg, field{253, 4, uint32Type}, field{9, 2, sint16Type}, field{5, 4, uint32Type})
	start := uint32(beganUnix - fitEpoch)
	for i := range uint32(600) {
		grade := int16(250)
		if i == 300 {
			grade = 0x7FFF // not there
		}
		w.data(0, start+i, grade, 300*i)
	}
	w.define(1, sessionMesg, field{253, 4, uint32Type}, field{2, 4, uint32Type}, field{5, 1, enumType}, field{6, 1, enumType})
	w.data(1, start+600, start, uint8(1), subSport)
	return w.file(header{})
}

// On a treadmill the grade is the belt's; outdoors the watch works one out of its
// altitudes, which is done here with more care.
func TestGrade(t *testing.T) {
	a := decode(t, onBelt(1))[0]
	if a.Surface != load.Treadmill || !a.Samples[0].Got(load.HasGrade) || a.Samples[0].Grade != 0.025 || a.Samples[300].Got(load.HasGrade) {
		t.Errorf("on %q: %+v, %+v", a.Surface, a.Samples[0], a.Samples[300])
	}
	for i, s := range decode(t, onBelt(3))[0].Samples {
		if s.Got(load.HasGrade) || s.Grade != 0 {
			t.Fatalf("on a trail: sample %d is %+v", i, s)
		}
	}
}

// Numbers of the profile: source_type local is 5, local_device_type barometer 4.
func TestBarometer(t *testing.T) {
	for name, test := range map[string]struct {
		devices [][2]byte
		want    load.AltitudeKind
	}{
		"none named":       {nil, load.AltitudeUnsaid},
		"in the watch":     {[][2]byte{{5, 0}, {5, 4}, {5, 3}}, load.AltitudeBarometer},
		"a receiver alone": {[][2]byte{{5, 0}}, load.AltitudeUnsaid},
		"of a strap":       {[][2]byte{{1, 4}}, load.AltitudeUnsaid},
	} {
		if got := decode(t, onBelt(3, test.devices...))[0].Altitude; got != test.want {
			t.Errorf("%s: %v, want %v", name, got, test.want)
		}
	}
}
