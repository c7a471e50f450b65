package paper

import (
	"codeberg.org/go-pdf/fpdf"
)

// Paint is how a shape is drawn: Line and Fill are greys from 0 black to 1 white, each
// if it is wanted.
type Paint struct {
	Line, Fill       float64
	Outlined, Filled bool
	Thick            float64 // of the line, points
	Dashes           []float64
}

// Stroke is a line of a grey and thickness.
func Stroke(grey, thick float64, dashes ...float64) Paint {
	return Paint{Line: grey, Outlined: true, Thick: thick, Dashes: dashes}
}

// Fill is a surface of a grey.
func Fill(grey float64) Paint { return Paint{Fill: grey, Filled: true} }

func (d *Document) paint(p Paint) (how string) {
	if p.Outlined {
		g := int(255 * p.Line)
		d.pdf.SetDrawColor(g, g, g)
		d.pdf.SetLineWidth(p.Thick)
		d.pdf.SetDashPattern(p.Dashes, 0)
		how = "D"
	}
	if p.Filled {
		g := int(255 * p.Fill)
		d.pdf.SetFillColor(g, g, g)
		how = "F" + how
	}
	return how
}

// Line draws a line from one point to another.
func (d *Document) Line(x1, y1, x2, y2 float64, p Paint) {
	d.paint(p)
	d.pdf.Line(x1, y1, x2, y2)
}

// Rect draws a rectangle.
func (d *Document) Rect(b Box, p Paint) { d.pdf.Rect(b.X, b.Y, b.Width, b.Height, d.paint(p)) }

// Circle draws a circle around x and y.
func (d *Document) Circle(x, y, radius float64, p Paint) { d.pdf.Circle(x, y, radius, d.paint(p)) }

// Point is a place on the page.
type Point struct{ X, Y float64 }

// Polygon draws a closed line through points.
func (d *Document) Polygon(points []Point, p Paint) {
	corners := make([]fpdf.PointType, len(points))
	for i, at := range points {
		corners[i] = fpdf.PointType(at)
	}
	d.pdf.Polygon(corners, d.paint(p))
}
