package export

import (
	"slices"

	"tidemark/load"
	"tidemark/web/chart"
	"tidemark/web/export/paper"
)

// The heights of the parts of a picture in points, and the room for the numbers beside it.
const (
	plotHeight  = 92
	plotGutter  = 24
	tickHeight  = 11
	marksHeight = 34
	workHeight  = 13
)

// plot is where a picture is drawn.
type plot struct {
	*sheet
	paper.Box
}

// x and y are where a fraction of the picture stands on the page.
func (p *plot) x(at float64) float64 { return p.X + at*p.Width }
func (p *plot) y(at float64) float64 { return p.Y + (1-at)*p.Height }

// picture draws the load by day standing in the water, and the strips under it.
func (s *sheet) picture(t *Picture) {
	tall := 12.0 + plotHeight + tickHeight
	for i := range t.Strips {
		tall += stripHeight(&t.Strips[i])
	}
	if !s.room(tall) {
		return
	}
	s.text(pictureKey(t), paper.Style{Size: 6.6, Grey: greySoft}, 3)
	p := plot{s, paper.Box{X: sheetLeft + plotGutter, Y: s.y + 8, Width: sheetWidth - plotGutter, Height: plotHeight - 8}}
	p.water(&t.Tideline)
	p.scaleRules(&t.Tideline)
	p.bars(&t.Tideline)
	p.levels(&t.Tideline)
	p.axis(&t.Tideline)
	p.worst(&t.Tideline)
	s.y = p.Y + p.Height + tickHeight
	for i := range t.Strips {
		s.strip(&t.Strips[i])
	}
	s.y += 2
}

// pictureKey says what the shapes of a picture mean, of those that are in it.
func pictureKey(t *Picture) string {
	text := "Load, " + t.Unit + " a day. Tinted: up to the longest run that the limits count"
	if len(t.Dashed) > 0 {
		text += "; dashed: the longest of all in 30 days"
	}
	text += ". Black: above it"
	if slices.ContainsFunc(t.Bars, func(b chart.Bar) bool { return b.Spike }) {
		text += "; with a notch: far above"
	}
	if len(t.Unknown) > 0 {
		text += ". Dotted: not known"
	}
	if len(t.Planned) > 0 {
		text += ". Outlined: planned"
	}
	return text + "."
}

func (p *plot) water(t *chart.Tideline) {
	for _, w := range t.Water {
		p.Rect(paper.Box{X: p.x(w.From), Y: p.y(w.Level), Width: (w.To - w.From) * p.Width, Height: w.Level * p.Height}, paper.Fill(greyTint))
	}
}

func (p *plot) scaleRules(t *chart.Tideline) {
	for _, r := range t.Rules {
		p.Line(p.X, p.y(r.At), p.X+p.Width, p.y(r.At), paper.Stroke(greyRule, 0.3))
		p.Write(r.Label, paper.Style{Size: 6.6, Grey: greySoft, Align: paper.Right}, sheetLeft, p.y(r.At)-5, plotGutter-4)
	}
}

// notch is the depth of that of a spike in points, where the bar is high enough.
const notch = 3

func (p *plot) bars(t *chart.Tideline) {
	for _, b := range t.Bars {
		if b.Surface > 0 {
			p.bar(b.At, b.Width, 0, b.Surface, b.Spike && b.Surface == b.Height, paper.Fill(greyBar))
		}
		if b.Height > b.Surface {
			p.bar(b.At, b.Width, b.Surface, b.Height, b.Spike, paper.Fill(0))
		}
	}
	for _, b := range t.Planned {
		p.bar(b.At, b.Width, 0, b.Height, false, paper.Stroke(greySoft, 0.6))
	}
}

// bar draws an upright from one level to another, with a notch in its end if it is notched.
func (p *plot) bar(at, width, from, to float64, notched bool, how paper.Paint) {
	left, right, low, high := p.x(at), p.x(at+width), p.y(from), p.y(to)
	points := []paper.Point{{X: left, Y: low}, {X: left, Y: high}}
	if notched {
		points = append(points, paper.Point{X: (left + right) / 2, Y: high + min(notch, low-high)})
	}
	p.Polygon(append(points, paper.Point{X: right, Y: high}, paper.Point{X: right, Y: low}), how)
}

// levels draws the surface of the water, and dashed the longest of all where it differs.
func (p *plot) levels(t *chart.Tideline) {
	for _, w := range t.Water {
		p.Line(p.x(w.From), p.y(w.Level), p.x(w.To), p.y(w.Level), paper.Stroke(0, 0.9))
	}
	for _, d := range t.Dashed {
		p.Line(p.x(d.From), p.y(d.Level), p.x(d.To), p.y(d.Level), paper.Stroke(0, 0.6, 2.2, 1.6))
	}
}

// tickRoom is how far apart two labels of the axis stand at least, in points.
const tickRoom = 44

func (p *plot) axis(t *chart.Tideline) {
	for _, b := range t.Base {
		p.Line(p.x(b.From), p.y(0), p.x(b.To), p.y(0), paper.Stroke(0, 0.8))
	}
	for _, u := range t.Unknown {
		p.Line(p.x(u.From), p.y(0), p.x(u.To), p.y(0), paper.Stroke(0, 0.8, 0.8, 1.6))
	}
	end := p.X - tickRoom
	for _, tick := range t.Ticks {
		at := p.x(tick.At)
		p.Line(at, p.y(0), at, p.y(0)+3, paper.Stroke(greySoft, 0.5))
		if tick.Label != "" && at-end >= tickRoom && p.X+p.Width-at >= 24 {
			p.Write(tick.Label, paper.Style{Size: 6.6, Grey: greySoft}, at+1.5, p.y(0)+1.5, tickRoom)
			end = at
		}
	}
}

func (p *plot) worst(t *chart.Tideline) {
	if t.Worst == nil {
		return
	}
	const wide = 120
	at, align := p.x(t.Worst.At)-wide/2, paper.Centre
	switch t.Worst.Anchor {
	case "start":
		at, align = p.x(t.Worst.At), paper.Left
	case "end":
		at, align = p.x(t.Worst.At)-wide, paper.Right
	}
	at = min(max(at, sheetLeft), sheetLeft+sheetWidth-wide)
	p.Write(t.Worst.Text, paper.Style{Size: 6.8, Align: align, Most: 1}, at, p.y(t.Worst.Height)-9.5, wide)
}

func stripHeight(s *Strip) float64 {
	if len(s.Mornings) > 0 {
		return marksHeight + 8
	}
	return workHeight + 8
}

// strip draws the mornings of a complaint, or what was done for it.
func (s *sheet) strip(one *Strip) {
	key := one.Name + ", by waking date, 0 to 10. Open circle: settled; disc: not settled; triangle: flared; dash below: missing."
	if len(one.Mornings) == 0 {
		key = one.Name + ". Filled: all done that was due; outlined: in part; thin: not."
	}
	s.Write(key, paper.Style{Size: 6.6, Grey: greySoft, Most: 1}, sheetLeft+plotGutter, s.y, sheetWidth-plotGutter)
	p := plot{s, paper.Box{X: sheetLeft + plotGutter, Y: s.y + 11, Width: sheetWidth - plotGutter, Height: marksHeight - 11}}
	if len(one.Mornings) > 0 {
		for _, score := range []struct {
			at   float64
			text string
		}{{0, "0"}, {1, "10"}} {
			p.Write(score.text, paper.Style{Size: 6, Grey: greySoft, Align: paper.Right}, sheetLeft, p.y(score.at)-4.5, plotGutter-4)
		}
		p.Line(p.X, p.y(0), p.X+p.Width, p.y(0), paper.Stroke(greyRule, 0.4))
		for i := range one.Mornings {
			p.morning(&one.Mornings[i])
		}
		s.y += marksHeight + 8
		return
	}
	p.Height = workHeight - 4
	p.Line(p.X, p.y(0), p.X+p.Width, p.y(0), paper.Stroke(greyRule, 0.4))
	for i := range one.Worked {
		p.worked(&one.Worked[i])
	}
	s.y += workHeight + 8
}

// morning draws one mark: its shape says how the morning was.
func (p *plot) morning(m *chart.Mark) {
	x, y := p.x(m.At), p.y(m.Height)
	switch m.Verdict {
	case load.Settled:
		p.Circle(x, y, 2, paper.Paint{Line: 0, Outlined: true, Fill: 1, Filled: true, Thick: 0.8})
	case load.Unsettled:
		p.Circle(x, y, 2.3, paper.Fill(0))
	case load.Flared:
		p.Polygon([]paper.Point{{X: x, Y: y - 3.2}, {X: x + 3.2, Y: y + 2.6}, {X: x - 3.2, Y: y + 2.6}}, paper.Fill(0))
	default:
		p.Line(x-2, p.y(0)+4.5, x+2, p.y(0)+4.5, paper.Stroke(0, 0.8))
	}
}

func (p *plot) worked(w *chart.Worked) {
	x := p.x(w.At)
	box := paper.Box{X: x - 1.4, Y: p.Y, Width: 2.8, Height: p.Height}
	switch {
	case w.Whole():
		p.Rect(box, paper.Fill(0))
	case w.Share > 0:
		p.Rect(box, paper.Stroke(0, 0.6))
	default:
		p.Line(x, p.Y, x, p.Y+p.Height, paper.Stroke(greyRule, 0.6))
	}
}
