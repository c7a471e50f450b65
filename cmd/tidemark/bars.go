package main

import (
	"fmt"
	"math"
	"strings"

	"tidemark/load"
	"tidemark/web/words"
)

// ink writes with the terminal's own colours, or without any.
type ink struct{ colour bool }

// ink is coloured on a terminal, unless NO_COLOR says otherwise.
func (a *app) ink() ink { return ink{a.outTerminal && a.env("NO_COLOR") == ""} }

func (k ink) strong(s string) string { return k.code("1", s) }
func (k ink) water(s string) string  { return k.code("36", s) }

func (k ink) code(code, s string) string {
	if !k.colour || s == "" {
		return s
	}
	return "\x1b[" + code + "m" + s + "\x1b[0m"
}

// The picture in text: one column a day, the last eight weeks.
const (
	barDays   = 56
	barHeight = 9
)

// bars draws the load of each day standing in the water of the held tidemark:
// what was new to the tendon breaks the surface and is drawn in full.
func (v *loadView) bars() {
	days := v.p.Days[max(0, len(v.p.Days)-barDays):]
	if len(days) == 0 {
		return
	}
	top := 0.0
	for i := range days {
		top = max(top, days[i].Load, surface(&days[i]))
	}
	if top == 0 {
		return
	}
	step := ceiling(top) / barHeight
	water := "the longest run that carries the limits"
	if !v.p.Measure.Limited() {
		water = "the most that a held run asked"
	}
	v.line("\n%s a day; %s under the water, %s above it, %s %s\n", words.Unit(v.p.Measure), "▒", "█", v.ink.water("~"), water)
	for line := barHeight; line > 0; line-- {
		label := ""
		if line == barHeight || line == barHeight/3 || line == 2*barHeight/3 {
			label = fmt.Sprintf("%.4g", step*float64(line))
		}
		v.line("%s", strings.TrimRight(fmt.Sprintf("%6s %s", label, v.barLine(days, step, line)), " "))
	}
	v.line("%6s %s", "0", strings.Repeat("─", len(days)))
	v.line("%6s %s", "", weeks(days))
}

// barLine draws one line of the picture, counted from below.
func (v *loadView) barLine(days []load.DayRow, step float64, line int) string {
	var b strings.Builder
	for i := range days {
		height, water := cells(days[i].Load, step), cells(surface(&days[i]), step)
		switch {
		case line <= height && (line > water || days[i].Load > surface(&days[i]) && line == height):
			b.WriteString("█")
		case line <= height:
			b.WriteString("▒")
		case line == water:
			b.WriteString(v.ink.water("~"))
		default:
			b.WriteByte(' ')
		}
	}
	return b.String()
}

// surface is the held tidemark, or nothing.
func surface(row *load.DayRow) float64 {
	held, _ := row.HeldTidemark.Get()
	return held
}

// cells is how many lines an amount reaches; what is there shows at least one.
func cells(amount, step float64) int {
	if amount <= 0 {
		return 0
	}
	return max(1, int(math.Round(amount/step)))
}

// ceiling rounds up to a number that divides well by three.
func ceiling(top float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(top)))
	for _, factor := range []float64{1.5, 3, 4.5, 6, 9, 12} {
		if factor*unit >= top {
			return factor * unit
		}
	}
	return 15 * unit
}

// weeks writes the date under every other Monday.
func weeks(days []load.DayRow) string {
	line := []byte(strings.Repeat(" ", len(days)+8))
	last := -14
	for i := range days {
		if days[i].Date.Weekday() == 1 && i-last >= 14 {
			copy(line[i:], words.ShortDay(days[i].Date))
			last = i
		}
	}
	return strings.TrimRight(string(line), " ")
}
