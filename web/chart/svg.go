package chart

import (
	"math"
	"strconv"
)

// box is the side of the view box that the paths are written for.
const box = 10_000

// notchDepth is the depth of the notch of a spike, where its bar is high enough:
// 1.5 % of the height.
const notchDepth = 150

func across(x float64) int { return int(math.Round(x * box)) }
func down(y float64) int   { return box - int(math.Round(y*box)) }

// path is SVG path data with absolute commands.
type path []byte

func (p *path) pair(command byte, x, y int) {
	*p = strconv.AppendInt(append(*p, command), int64(x), 10)
	*p = strconv.AppendInt(append(*p, ' '), int64(y), 10)
}

func (p *path) one(command byte, v int) {
	*p = strconv.AppendInt(append(*p, command), int64(v), 10)
}

func (p *path) close() { *p = append(*p, 'Z') }

// column adds a closed upright from y low to y high, which is above it, with a
// notch in its end if notched.
func (p *path) column(left, right, low, high int, notched bool) {
	p.pair('M', left, low)
	p.one('V', high)
	if notched {
		p.pair('L', (left+right)/2, high+min(notchDepth, low-high))
		p.pair('L', right, high)
	} else {
		p.one('H', right)
	}
	p.one('V', low)
	p.close()
}

// UnderPath returns all bars up to their surfaces. It holds the notches of those
// spikes that have nothing above the surface.
func (t Tideline) UnderPath() string {
	var p path
	for _, b := range t.Bars {
		surface := down(b.Surface)
		if surface < box {
			p.column(across(b.At), across(b.At+b.Width), box, surface, b.Spike && down(b.Height) == surface)
		}
	}
	return string(p)
}

// PlannedPath returns the outlines of what is planned.
func (t Tideline) PlannedPath() string {
	var p path
	for _, b := range t.Planned {
		p.column(across(b.At), across(b.At+b.Width), box, down(b.Height), false)
	}
	return string(p)
}

// OverPath returns the parts of all bars above their surfaces, those of spikes
// with a notched end.
func (t Tideline) OverPath() string {
	var p path
	for _, b := range t.Bars {
		if low, high := down(b.Surface), down(b.Height); high < low {
			p.column(across(b.At), across(b.At+b.Width), low, high, b.Spike)
		}
	}
	return string(p)
}

// WaterArea returns the water, closed along the bottom.
func (t Tideline) WaterArea() string {
	var p path
	for i, s := range t.Water {
		if !follows(t.Water, i) {
			p.pair('M', across(s.From), box)
		}
		p.one('V', down(s.Level))
		p.one('H', across(s.To))
		if i+1 == len(t.Water) || !follows(t.Water, i+1) {
			p.one('V', box)
			p.close()
		}
	}
	return string(p)
}

// WaterLine returns the surface of the water, open at its gaps.
func (t Tideline) WaterLine() string {
	var p path
	for i, s := range t.Water {
		if follows(t.Water, i) {
			p.one('V', down(s.Level))
		} else {
			p.pair('M', across(s.From), down(s.Level))
		}
		p.one('H', across(s.To))
	}
	return string(p)
}

// DashedLine returns the plain tidemark where it differs: each piece rises out of
// the water and drops back into it.
func (t Tideline) DashedLine() string {
	var p path
	for i, s := range t.Dashed {
		if !follows(t.Dashed, i) {
			p.pair('M', across(s.From), down(t.waterFrom(s.From)))
		}
		p.one('V', down(s.Level))
		p.one('H', across(s.To))
		if i+1 == len(t.Dashed) || !follows(t.Dashed, i+1) {
			p.one('V', down(t.waterTo(s.To)))
		}
	}
	return string(p)
}

// follows reports whether the i-th step begins where the one before ends.
func follows(steps []Step, i int) bool { return i > 0 && steps[i-1].To == steps[i].From }

// waterFrom returns the level of the water to the right of x, or the bottom.
func (t *Tideline) waterFrom(x float64) float64 {
	for _, s := range t.Water {
		if s.From <= x && x < s.To {
			return s.Level
		}
	}
	return 0
}

// waterTo returns the level of the water to the left of x, or the bottom.
func (t *Tideline) waterTo(x float64) float64 {
	for _, s := range t.Water {
		if s.From < x && x <= s.To {
			return s.Level
		}
	}
	return 0
}

// BaseLine returns the bottom line, broken at unknown days.
func (t Tideline) BaseLine() string {
	var p path
	for _, s := range t.Base {
		p.pair('M', across(s.From), box)
		p.one('H', across(s.To))
	}
	return string(p)
}

// Path returns the line of a profile.
func (p Profile) Path() string {
	var out path
	for _, line := range p.Line {
		command := byte('M')
		for _, at := range line {
			out.pair(command, across(at.X), down(at.Y))
			command = 'L'
		}
	}
	return string(out)
}

// Percent writes a fraction of the width, to a tenth of a percent: 37.2%.
func Percent(fraction float64) string {
	return strconv.FormatFloat(math.Round(fraction*1000)/10, 'f', -1, 64) + "%"
}

// PercentDown writes a fraction of the height, which counts from the bottom, as
// SVG counts it: from the top.
func PercentDown(fraction float64) string { return Percent(1 - fraction) }
