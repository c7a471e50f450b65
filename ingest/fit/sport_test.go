package fit_test

import (
	"testing"

	"github.com/muktihari/fit/profile/typedef"

	"tidemark/ingest/fit"
	"tidemark/load"
)

// TestSport maps every number of the profile; the words are those of
// github.com/muktihari/fit, generated from the same profile.
func TestSport(t *testing.T) {
	ours := map[uint8]load.Sport{
		0: load.UnknownSport, 1: load.Running, 2: load.Cycling, 5: load.Swimming,
		11: load.Walking, 17: load.Walking, 0xFF: load.UnknownSport,
	}
	for number := range 256 {
		s := runSums()
		s.Sport = uint8(number)
		a := decode(t, newWriter().fileID(4).session(s).file(header{}))[0]
		want, known := ours[s.Sport]
		detail := ""
		if !known {
			want = load.OtherSport
		}
		if !known || s.Sport == 17 {
			detail = typedef.Sport(number).String()
		}
		if a.Sport != want || a.Detail != detail && !nameless(s.Sport) {
			t.Errorf("sport %d: %v %q, want %v %q", number, a.Sport, a.Detail, want, detail)
		}
	}
}

// nameless are numbers that the profile does not give to a sport: 254 stands for
// all of them in goals.
func nameless(number uint8) bool {
	return number == 254 || typedef.SportFromString(typedef.Sport(number).String()) == typedef.SportInvalid
}

func TestSurface(t *testing.T) {
	for name, test := range map[string]struct {
		sport, subSport uint8
		want            load.Surface
		wantSport       load.Sport
	}{
		"run":                  {1, 0, "", load.Running},
		"nothing said":         {1, 0xFF, "", load.Running},
		"treadmill":            {1, 1, load.Treadmill, load.Running},
		"street":               {1, 2, load.Road, load.Running},
		"trail":                {1, 3, load.Trail, load.Running},
		"track":                {1, 4, load.Oval, load.Running},
		"walk on a treadmill":  {11, 1, load.Treadmill, load.Walking},
		"treadmill as machine": {4, 1, load.Treadmill, load.UnknownSport},
		"rowing machine":       {4, 14, "", load.OtherSport},
		"road ride":            {2, 7, "", load.Cycling},
	} {
		t.Run(name, func(t *testing.T) {
			s := runSums()
			s.Sport, s.SubSport = test.sport, test.subSport
			a := decode(t, newWriter().fileID(4).session(s).file(header{}))[0]
			if a.Surface != test.want || a.Sport != test.wantSport {
				t.Errorf("%v on %q, want %v on %q", a.Sport, a.Surface, test.wantSport, test.want)
			}
		})
	}
}

// TestFileKind: whatever else a FIT file may be is refused by name; no kind, or
// an invalid one, is no reason.
func TestFileKind(t *testing.T) {
	for kind, want := range map[byte]string{
		1: "a description of a device", 2: "settings", 3: "settings of a sport", 5: "a workout", 6: "a course",
		7: "a schedule", 9: "a list of weights", 10: "a list of totals", 11: "a list of goals",
		14: "a list of blood pressures", 15: "monitoring of a day", 20: "a summary of activities",
		28: "monitoring of a day", 32: "monitoring of a day", 34: "a segment", 35: "a list of segments",
		40: "settings of a display", 0xF7: "a file of type 247", 4: "", 0xFF: "",
	} {
		data := newWriter().fileID(kind).records(moments(3)).file(header{})
		if want == "" {
			checkOutcome(t, data, fit.DefaultLimits, outcome{Samples: []int{3}})
		} else {
			checkOutcome(t, data, fit.DefaultLimits, outcome{Err: want + ", not a recording"})
		}
	}
	checkOutcome(t, newWriter().records(moments(3)).file(header{}), fit.DefaultLimits, outcome{Samples: []int{3}})
}

// TestSportMessage: a recording that was cut before its session still has the
// sport it began with, if it began with one.
func TestSportMessage(t *testing.T) {
	begin := func(sports ...byte) []byte {
		w := newWriter().fileID(4).define(3, sportMesg, field{0, 1, enumType}, field{1, 1, enumType})
		for _, s := range sports {
			w.data(3, s, byte(1))
		}
		return w.records(moments(3)).file(header{})
	}
	for name, test := range map[string]struct {
		data []byte
		want load.Sport
	}{
		"run":             {begin(1), load.Running},
		"run, said twice": {begin(1, 1), load.Running},
		"run and ride":    {begin(1, 2), load.UnknownSport},
		"none":            {begin(), load.UnknownSport},
	} {
		if got := decode(t, test.data)[0].Sport; got != test.want {
			t.Errorf("%s: %v, want %v", name, got, test.want)
		}
	}
}
