package load

import (
	"encoding/binary"
	"errors"
	"math"
	"slices"
)

// Dwell is how long was spent at each whole step of a quantity, in milliseconds:
// at each heart rate, at each tenth of a metre per second. A sum over samples of
// anything that depends on the step alone is the same sum over its dwell, so what
// depends on the runner can be changed without the samples. The zero Dwell is
// empty.
type Dwell struct {
	low   int
	times []uint32
}

// mostSteps is how far apart the steps of a dwell may lie: more than a heart rate or
// a speed can take.
const mostSteps = 4096

// Add spends time at a step, from 0 to 4095. A step that cannot be, or no time, adds
// nothing.
func (d *Dwell) Add(step int, ms int64) {
	if step < 0 || step >= mostSteps || ms <= 0 {
		return
	}
	if len(d.times) == 0 {
		d.low = step
	}
	if step < d.low {
		d.times = append(make([]uint32, d.low-step, d.low-step+len(d.times)), d.times...)
		d.low = step
	}
	for step >= d.low+len(d.times) {
		d.times = append(d.times, 0)
	}
	sum := int64(d.times[step-d.low]) + ms
	d.times[step-d.low] = uint32(min(sum, math.MaxUint32))
}

// Equal reports whether the same time was spent at the same steps.
func (d Dwell) Equal(other Dwell) bool {
	return d.low == other.low && slices.Equal(d.times, other.times)
}

// Each calls f with every step that time was spent at, rising, and the time in ms.
func (d *Dwell) Each(f func(step int, ms int64)) {
	for i, ms := range d.times {
		if ms > 0 {
			f(d.low+i, int64(ms))
		}
	}
}

// scaled returns the dwell with every step so many times as high, and every time so many
// times as long.
func (d *Dwell) scaled(step, time float64) (out Dwell) {
	d.Each(func(at int, ms int64) {
		out.Add(int(math.Round(float64(at)*step)), int64(math.Round(float64(ms)*time)))
	})
	return out
}

// Total returns the time in ms.
func (d *Dwell) Total() (ms int64) {
	for _, t := range d.times {
		ms += int64(t)
	}
	return ms
}

// MarshalBinary returns the lowest step and the times as variable-length integers;
// nothing for an empty dwell.
func (d Dwell) MarshalBinary() ([]byte, error) {
	if len(d.times) == 0 {
		return []byte{}, nil
	}
	out := binary.AppendUvarint(nil, uint64(d.low))
	for _, t := range d.times {
		out = binary.AppendUvarint(out, uint64(t))
	}
	return out, nil
}

// UnmarshalBinary is the inverse of MarshalBinary.
func (d *Dwell) UnmarshalBinary(data []byte) error {
	*d = Dwell{}
	for i := 0; len(data) > 0; i++ {
		v, n := binary.Uvarint(data)
		if n <= 0 || v > math.MaxUint32 || i == 0 && v >= mostSteps || d.low+len(d.times) >= mostSteps {
			*d = Dwell{}
			return errors.New("read dwell: bytes make no sense")
		}
		data = data[n:]
		if i == 0 {
			d.low = int(v)
			continue
		}
		d.times = append(d.times, uint32(v))
	}
	return nil
}
