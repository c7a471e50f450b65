package chart

import (
	"fmt"
	"time"

	"tidemark/load"
)

// Series is one of the values of a run.
type Series uint8

// The series of a Profile.
const (
	Speed    Series = iota // km/h
	Heart                  // beats per minute
	Altitude               // metres
)

// seriesTable gives the unit, the values that the file must hold, and the least
// range of the scale, so that noise is not drawn as hills (project default).
var seriesTable = [...]struct {
	unit  string
	has   load.Fields
	least float64
}{
	Speed:    {"km/h", load.HasSpeed, 4},
	Heart:    {"bpm", load.HasHeart, 20},
	Altitude: {"m", load.HasAltitude, 20},
}

// Profile is the course of one series over the elapsed time of a run.
type Profile struct {
	Unit      string    // of Low, High and the rules: km/h, bpm or m
	Low, High float64   // the values at the bottom and the top
	Line      [][]Point // left to right, broken where there is no value
	Rules     []Rule
	Ticks     []Tick // elapsed time
}

// NewProfile draws one series of the points of load.ProfileOf. A stretch without
// the value, as in a pause, breaks the line; a value that stands alone is a level
// piece as wide as its stretch. Without any value there are no line and no rules,
// and without points no ticks either. It panics on points without a length of time.
func NewProfile(points []load.ProfilePoint, series Series) Profile {
	p := Profile{Unit: seriesTable[series].unit}
	if len(points) == 0 {
		return p
	}
	// The points are the middles of equal stretches.
	total := points[0].Elapsed + points[len(points)-1].Elapsed
	if total <= 0 {
		panic(fmt.Sprintf("chart: NewProfile: points at %v in all", total))
	}
	p.Ticks = elapsedTicks(total)
	low, high, ok := extent(points, series)
	if !ok {
		return p
	}
	var s scale
	s, p.Rules = around(low, high)
	p.Low, p.High = s.low, s.high
	p.Line = lines(points, series, s, total)
	return p
}

// value returns one series of a point, in its unit.
func (s Series) value(p *load.ProfilePoint) (v float64, ok bool) {
	ok = p.Has&seriesTable[s].has != 0
	switch s {
	case Speed:
		return float64(p.Speed) * 3.6, ok
	case Heart:
		return float64(p.Heart), ok
	}
	return float64(p.Altitude), ok
}

// extent returns the lowest and the highest value, the least range apart. What
// cannot be negative does not go below zero.
func extent(points []load.ProfilePoint, series Series) (low, high float64, ok bool) {
	for i := range points {
		v, has := series.value(&points[i])
		switch {
		case !has:
		case !ok:
			low, high, ok = v, v, true
		default:
			low, high = min(low, v), max(high, v)
		}
	}
	if lack := seriesTable[series].least - (high - low); lack > 0 {
		low, high = low-lack/2, high+lack/2
		if series != Altitude && low < 0 {
			low, high = 0, high-low
		}
	}
	return low, high, ok
}

// lines joins neighbours that have the value.
func lines(points []load.ProfilePoint, series Series, s scale, total time.Duration) [][]Point {
	var all [][]Point
	var line []Point
	half := float64(points[0].Elapsed) / float64(total)
	end := func() {
		if len(line) == 1 {
			at := line[0]
			line = []Point{{max(0, at.X-half), at.Y}, {min(1, at.X+half), at.Y}}
		}
		if len(line) > 0 {
			all = append(all, line)
		}
		line = nil
	}
	for i := range points {
		v, ok := series.value(&points[i])
		if !ok {
			end()
			continue
		}
		line = append(line, Point{float64(points[i].Elapsed) / float64(total), s.at(v)})
	}
	end()
	return all
}
