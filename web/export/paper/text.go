package paper

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/shaping"
)

// Put sets a block with its upper left corner at x and y, and returns where it ends.
func (d *Document) Put(b Block, x, y float64) float64 {
	for i := range b.lines {
		l := &b.lines[i]
		at := x
		switch length := max(l.right, l.advance*l.scale) - l.left; {
		case b.Align == Centre:
			at += (b.width - length) / 2
		case b.Align == Right || b.Own && l.leftward:
			at += b.width - length
		}
		at -= l.left
		d.ink = append(d.ink, Ink{d.Pages(), Box{at + l.left, y, l.right - l.left, l.ascent + l.descent}})
		d.line(l, &b.Style, at, y+l.ascent)
		y += l.pitch(b.Size)
	}
	d.drawGlyphs()
	return y
}

// Write lays a text out and puts it; it returns where the text ends.
func (d *Document) Write(text string, style Style, x, y, width float64) float64 {
	return d.Put(d.Lay(text, style, width), x, y)
}

// pen is where the next glyph stands.
type pen struct {
	x, y  float64
	scale float64
	style *Style
}

func (d *Document) line(l *line, style *Style, x, y float64) {
	p := pen{x, y, l.scale, style}
	for i := range l.runs {
		run, text := &l.runs[i].Output, l.runs[i].text
		glyphs := run.Glyphs
		for len(glyphs) > 0 {
			n := d.plainGlyphs(run, glyphs, text)
			if n > 0 {
				d.letters(run, glyphs[:n], text, p)
			} else {
				n = clusterOf(glyphs)
				d.outlines(run, glyphs[:n], text, p)
			}
			for _, g := range glyphs[:n] {
				p.x += points(g.Advance) * p.scale
			}
			glyphs = glyphs[n:]
		}
	}
}

// clusterOf is how many of the first glyphs are of one cluster.
func clusterOf(glyphs []shaping.Glyph) int {
	n := 1
	for n < len(glyphs) && glyphs[n].TextIndex() == glyphs[0].TextIndex() {
		n++
	}
	return n
}

// plainGlyphs is how many of the first glyphs are characters of their own, which a
// reader of the file can set from the font alone.
func (d *Document) plainGlyphs(run *shaping.Output, glyphs []shaping.Glyph, text []rune) (n int) {
	if run.Direction.Progression() == di.TowardTopLeft || drawn[d.faces.name[run.Face]] {
		return 0
	}
	for _, g := range glyphs {
		at := g.TextIndex()
		if at < 0 || at >= len(text) || g.RunesCount() != 1 || g.GlyphsCount() != 1 || g.XOffset != 0 || g.YOffset != 0 {
			break
		}
		// U+FFFF ends what two bytes can say.
		if r := text[at]; r >= 0xFFFF || g.GlyphID == 0 || g.GlyphID != nominal(run.Face, r) || g.Advance <= 0 {
			break
		}
		n++
	}
	return n
}

// letters sets glyphs as text of their font.
func (d *Document) letters(run *shaping.Output, glyphs []shaping.Glyph, text []rune, p pen) {
	var b strings.Builder
	for _, g := range glyphs {
		b.WriteRune(text[g.TextIndex()])
	}
	d.font(d.faces.name[run.Face], p.style.Size*p.scale)
	grey := int(255 * p.style.Grey)
	d.pdf.SetTextColor(grey, grey, grey)
	d.pdf.Text(p.x, p.y, b.String())
}

// font sets one of the fonts, and embeds it once.
func (d *Document) font(name string, size float64) {
	if !d.embedded[name] {
		d.embedded[name] = true
		d.pdf.AddUTF8FontFromBytes(name, "", typefaces[name]().bytes)
	}
	d.pdf.SetFont(name, "", size)
}

// outlines draws the glyphs of a cluster, and lays its text unseen over it.
func (d *Document) outlines(run *shaping.Output, glyphs []shaping.Glyph, text []rune, p pen) {
	x := p.x
	for i := range glyphs {
		g := &glyphs[i]
		if g.Width != 0 || g.Height != 0 {
			unit := p.style.Size * p.scale / float64(run.Face.Upem())
			d.glyphs = append(d.glyphs, placed{run.Face, d.faces.name[run.Face], g.GlyphID, p.style.Grey, unit, x + points(g.XOffset)*p.scale, p.y - points(g.YOffset)*p.scale})
		}
		x += points(g.Advance) * p.scale
	}
	from := glyphs[0].TextIndex()
	d.unseen(text[max(0, from):min(len(text), from+glyphs[0].RunesCount())], run, p, x-p.x)
}

// unseen lays the characters of a cluster over its outlines, as wide as they are, so that
// a search finds and marks them. Readers take them in the order in which they are seen.
func (d *Document) unseen(of []rune, run *shaping.Output, p pen, width float64) {
	var letters []rune
	natural := 0.0
	base := d.faces.face(regularFile)
	for _, r := range of {
		if r >= 0xFFFF || r == firstStrong || r == endIsolate {
			continue
		}
		letters = append(letters, r)
		if id, ok := base.NominalGlyph(r); ok {
			natural += float64(base.HorizontalAdvance(id)) / float64(base.Upem())
		} else {
			natural += missingWidth
		}
	}
	if natural == 0 || width <= 0 {
		return
	}
	if run.Direction.Progression() == di.TowardTopLeft {
		slices.Reverse(letters)
	}
	size := p.style.Size * p.scale
	d.font(regularFile, size)
	// Rendering mode 3 fills nothing, Tz is the width in per cent (ISO 32000-1, 9.3).
	d.pdf.RawWriteStr(fmt.Sprintf("3 Tr %.1f Tz\n", max(1, 100*width/(natural*size))))
	d.pdf.Text(p.x, p.y, string(letters))
	d.pdf.RawWriteStr("0 Tr 100 Tz\n")
}

// missingWidth is that of a character which the font does not have, in parts of the size:
// the font's own.
const missingWidth = 0.6

// placed is a glyph that is drawn as an outline; unit is that of its font in points.
type placed struct {
	face *font.Face
	name string
	id   font.GID
	grey float64
	unit float64
	x, y float64
}

// drawGlyphs fills the outlines of a block, those of one glyph together: what is the same
// then stands near in the file, and packs well.
func (d *Document) drawGlyphs() {
	slices.SortStableFunc(d.glyphs, func(a, b placed) int {
		return cmp.Or(cmp.Compare(a.name, b.name), cmp.Compare(a.id, b.id))
	})
	var path string
	for i := range d.glyphs {
		g := &d.glyphs[i]
		if i == 0 || g.face != d.glyphs[i-1].face || g.id != d.glyphs[i-1].id {
			path = pathOf(g.face, g.id)
		}
		d.pdf.RawWriteStr(fmt.Sprintf("q %.3f g %.6f 0 0 %.6f %.2f %.2f cm\n%sf Q\n", g.grey, g.unit, g.unit, g.x, Height-g.y, path))
	}
	d.glyphs = d.glyphs[:0]
}

// pathOf is the outline of a glyph in the units of its font, as a PDF draws it (ISO 32000-1,
// 8.5.2).
func pathOf(face *font.Face, id font.GID) string {
	shape, _ := face.GlyphDataOutline(id)
	var b strings.Builder
	var at opentype.SegmentPoint
	for _, s := range shape.Segments {
		switch s.Op {
		case opentype.SegmentOpMoveTo:
			fmt.Fprintf(&b, "%.0f %.0f m\n", s.Args[0].X, s.Args[0].Y)
			at = s.Args[0]
		case opentype.SegmentOpLineTo:
			fmt.Fprintf(&b, "%.0f %.0f l\n", s.Args[0].X, s.Args[0].Y)
			at = s.Args[0]
		case opentype.SegmentOpQuadTo:
			// A parabola as a cubic: its handles lie two thirds of the way to the control point.
			c, end := s.Args[0], s.Args[1]
			fmt.Fprintf(&b, "%.0f %.0f %.0f %.0f %.0f %.0f c\n", at.X+(c.X-at.X)*2/3, at.Y+(c.Y-at.Y)*2/3, end.X+(c.X-end.X)*2/3, end.Y+(c.Y-end.Y)*2/3, end.X, end.Y)
			at = end
		case opentype.SegmentOpCubeTo:
			fmt.Fprintf(&b, "%.0f %.0f %.0f %.0f %.0f %.0f c\n", s.Args[0].X, s.Args[0].Y, s.Args[1].X, s.Args[1].Y, s.Args[2].X, s.Args[2].Y)
			at = s.Args[2]
		}
	}
	return b.String()
}
