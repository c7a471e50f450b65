package ramp_test

import (
	"encoding/binary"
	"errors"
	"math"
	"testing"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// dice takes numbers off bytes; past the end they are 0.
type dice []byte

func (d *dice) word() uint64 {
	var b [8]byte
	*d = (*d)[copy(b[:], *d):]
	return binary.LittleEndian.Uint64(b[:])
}

func (d *dice) upTo(n uint64) int { return int(d.word() % n) }

// minutes are mostly what a plan could have, and sometimes any bits at all.
func (d *dice) minutes() ramp.Minutes {
	if w := d.word(); w%8 != 0 {
		return ramp.Minutes(w>>3%200) / 4
	}
	return ramp.Minutes(math.Float64frombits(d.word()))
}

// spoil changes one thing of a plan.
func (d *dice) spoil(p *ramp.Plan) {
	in := &p.Inputs
	switch d.upTo(16) {
	case 14:
		in.Asked, in.Reviewed = d.upTo(2) == 0, d.upTo(2) == 0
		in.Resting = append(in.Resting, morning(in.Start+load.Day(d.upTo(60)), said{-1, -1, d.upTo(13) - 1, d.upTo(60) - 1}))
	case 15:
		first := in.Start + load.Day(d.upTo(60)-5)
		s := ramp.Stop{DaySpan: load.DaySpan{First: first, Last: first + load.Day(d.upTo(20)-2)}}
		in.Stops, in.Frozen = append(in.Stops, s), append(in.Frozen, s)
	case 0:
		in.Start = load.Day(int32(d.word()))
	case 1:
		in.Weeks = int(d.word())
	case 2:
		in.Past = append(in.Past, ramp.Past{Day: load.Day(int32(d.word())), Run: d.minutes()})
	case 3:
		in.Past = append(in.Past, ramp.Past{Day: in.Start + load.Day(d.upTo(80)-60), Run: d.minutes()})
	case 4:
		in.Site = rehab.Sites[d.upTo(uint64(len(rehab.Sites)))].Site
	case 5:
		in.Bone, in.Novice = d.upTo(2) == 0, d.upTo(2) == 0
	case 6:
		in.BMI, in.Base.Pain, in.Base.Stiffness, in.Goal.Pace = float64(d.minutes()), float64(d.minutes()), float64(d.minutes()), float64(d.minutes())
		in.Goal.Km = float64(d.upTo(9))
	case 7:
		in.Mornings = append(in.Mornings, morning(in.Start+load.Day(d.upTo(60)), said{d.upTo(13) - 1, d.upTo(13) - 1, d.upTo(13) - 1, d.upTo(60) - 1}))
	case 8:
		p.Ladder = p.Ladder[:d.upTo(uint64(len(p.Ladder))+1)]
	case 9:
		if len(p.Ladder) > 0 {
			p.Ladder[d.upTo(uint64(len(p.Ladder)))] = ramp.Stage{Stage: d.upTo(15), Reps: d.upTo(9) - 1, Run: d.minutes(), Walk: d.minutes()}
		}
	case 10:
		p.Days = p.Days[:d.upTo(uint64(len(p.Days))+1)]
	default:
		if len(p.Days) > 0 {
			d.spoilDay(&p.Days[d.upTo(uint64(len(p.Days)))])
		}
	}
}

// spoilDay changes a day, mostly into one whose own numbers agree.
func (d *dice) spoilDay(day *ramp.Day) {
	switch d.upTo(5) {
	case 4:
		day.Adds = []ramp.Addition{"", ramp.RunDays, ramp.Strides, ramp.Hills, ramp.Speed}[d.upTo(5)]
	case 0:
		day.Day = load.Day(int32(d.word()))
	case 1:
		day.Stage, day.Reps, day.Verdict = int(int32(d.word())), int(d.word()), load.Verdict(d.word())
	case 2:
		day.Run, day.Total, day.Session, day.Week, day.WeekCap = d.minutes(), d.minutes(), d.minutes(), d.minutes(), d.minutes()
	case 3:
		*day = ramp.Day{Day: day.Day, Kind: ramp.Run, Verdict: load.Verdict(d.upTo(5))}
		onStage(day, 1+d.upTo(13))
		day.Total = ramp.Minutes(day.Reps) * day.Run
	}
}

// FuzzVerify: whatever the plan, the checker answers, with a rule or with none; and what it
// accepts holds what can be told without it: free days, a rest day between runs, and
// stages that go up by at most one.
func FuzzVerify(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{3, 0, 0, 0, 0, 0, 0, 0, 60, 0, 0, 0, 0, 0, 0, 0, 81})
	for kind := range byte(16) {
		f.Add([]byte{kind, 0, 0, 0, 0, 0, 0, 0, 255, 255, 255, 127, 0, 0, 0, 0, 8, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0xf8, 0x7f})
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p := worked()
		if len(data)%2 == 1 {
			p = grown()
		}
		for d := dice(data); len(d) > 0; {
			d.spoil(p)
		}
		err := ramp.Verify(p)
		if err == nil {
			holds(t, p)
		} else if broken, ok := errors.AsType[*ramp.Broken](err); !ok || broken.Rule == "" || broken.Error() == "" {
			t.Errorf("%v: no rule is named", err)
		}
	})
}

// holds fails unless an accepted plan keeps what is told at a glance.
func holds(t *testing.T, p *ramp.Plan) {
	var last *ramp.Day
	for i := range p.Days {
		d := &p.Days[i]
		if d.Kind != ramp.Run {
			continue
		}
		if !p.Inputs.Free[d.Day.Weekday()] {
			t.Errorf("a run on %v, a day that is not free", d.Day)
		}
		if _, stopped := ramp.StopOn(p.Inputs.Stops, d.Day); stopped {
			t.Errorf("a run on %v, a day that is stopped", d.Day)
		}
		if last != nil && (d.Day-last.Day < 2 && last.Adds == "" || d.Stage > last.Stage+1) {
			t.Errorf("stage %d on %v after stage %d on %v", d.Stage, d.Day, last.Stage, last.Day)
		}
		last = d
	}
}
