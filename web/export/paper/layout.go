package paper

import (
	"slices"
	"strings"

	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/bidi"
)

// Align is where lines stand in their width.
type Align uint8

// Where lines stand.
const (
	Left Align = iota
	Centre
	Right
)

// Style is how a text looks.
type Style struct {
	Size  float64 // points
	Bold  bool    // in Latin, Greek and Cyrillic letters
	Grey  float64 // 0 black to 1 white
	Align Align
	Own   bool // somebody's own words: their first letter says from which side they are read
	Most  int  // lines at most, the last cut with an ellipsis; 0: any
}

// Block is a text laid out in lines.
type Block struct {
	Style
	width  float64
	lines  []line
	height float64
}

// line is one of them: glyphs from left to right.
type line struct {
	runs            []run // in the order in which they are seen
	leftward        bool
	advance         float64
	left, right     float64 // of the ink, from where the line begins
	ascent, descent float64 // of the ink and of usual letters
	scale           float64 // 1, or less where the line would not fit
}

// run is glyphs of one font and the characters that they are of.
type run struct {
	shaping.Output
	text []rune
}

// What usual letters reach above and below the line, what a line may, and its pitch, in
// parts of the size; project defaults.
const (
	usualAscent, usualDescent = 0.80, 0.24
	mostAscent, mostDescent   = 1.40, 0.80
	leading                   = 0.26
)

// fine is how many units of the shaper a point has.
const fine = 64 * 16

// Height is that of the block in points.
func (b *Block) Height() float64 { return b.height }

// Lines is how many lines it has.
func (b *Block) Lines() int { return len(b.lines) }

// LinesIn is how many of its lines a height holds.
func (b *Block) LinesIn(height float64) (n int) {
	for n < len(b.lines) {
		if height -= b.lines[n].pitch(b.Size); height < 0 {
			break
		}
		n++
	}
	return n
}

// Longest is the length of its longest line in points.
func (b *Block) Longest() (most float64) {
	for i := range b.lines {
		most = max(most, b.lines[i].advance*b.lines[i].scale)
	}
	return most
}

// Lay breaks a text into lines of a width. Line feeds begin new lines.
func (d *Document) Lay(text string, style Style, width float64) Block {
	b := Block{Style: style, width: width}
	for _, part := range strings.Split(strings.TrimSpace(strings.ReplaceAll(text, "\r\n", "\n")), "\n") {
		most := 0
		if style.Most > 0 {
			if most = style.Most - len(b.lines); most <= 0 {
				break
			}
		}
		b.lines = append(b.lines, d.wrap(part, style, width, most)...)
	}
	for i := range b.lines {
		b.height += b.lines[i].pitch(style.Size)
	}
	return b
}

// pitch is how much of the height a line takes.
func (l *line) pitch(size float64) float64 { return l.ascent + l.descent + leading*size }

// wrap lays one paragraph out; most lines, 0 for any.
func (d *Document) wrap(text string, style Style, width float64, most int) (lines []line) {
	first := regularFile
	if style.Bold {
		first = boldFile
	}
	runes := d.clean(text, first)
	if len(runes) == 0 {
		return nil
	}
	in := shaping.Input{
		Text: runes, RunEnd: len(runes), Direction: di.DirectionLTR, Size: fixed.Int26_6(style.Size * fine),
		Face: d.faces.face(first), Language: language.NewLanguage("en"),
	}
	if style.Own {
		in.Direction = directionOf(runes)
	}
	config := shaping.WrapConfig{Direction: in.Direction, TruncateAfterLines: most}
	if most > 0 {
		end := in
		end.Text, end.RunEnd, end.Script, end.Direction = ellipsis, len(ellipsis), language.Common, di.DirectionLTR
		config.Truncator = d.shaper.Shape(end)
	}
	var runs []shaping.Output
	for _, part := range d.splitter.Split(in, chosen{&d.faces, first}) {
		if name := d.faces.name[part.Face]; name == regularFile || name == boldFile {
			part.FontFeatures = plain
		}
		runs = append(runs, d.shaper.Shape(part))
	}
	wrapped, cut := d.wrapper.WrapParagraphF(config, fixed.Int26_6(width*fine), runes, shaping.NewSliceIterator(runs))
	for i, w := range wrapped {
		all := make([]run, len(w))
		for k := range w {
			all[k] = run{w[k], runes}
			all[k].Glyphs = slices.Clone(w[k].Glyphs) // of the wrapper, which uses them again
		}
		if cut > 0 && i == len(wrapped)-1 && len(all) > 0 {
			all[len(all)-1].text = ellipsis
		}
		l := lineOf(all, style, width)
		l.leftward = in.Direction == di.DirectionRTL
		lines = append(lines, l)
	}
	return lines
}

// ellipsis is the end of what was cut.
var ellipsis = []rune("…")

// plain leaves letters that stand one by one as they are, so that they can be text.
var plain = []shaping.FontFeature{
	{Tag: opentype.MustNewTag("kern")}, {Tag: opentype.MustNewTag("liga")}, {Tag: opentype.MustNewTag("clig")}, {Tag: opentype.MustNewTag("calt")},
}

// directionOf is the side that the first letter with one is read from.
func directionOf(text []rune) di.Direction {
	for _, r := range text {
		switch p, _ := bidi.LookupRune(r); p.Class() {
		case bidi.L:
			return di.DirectionLTR
		case bidi.R, bidi.AL:
			return di.DirectionRTL
		}
	}
	return di.DirectionLTR
}

// lineOf measures the ink of a line, and makes it smaller where it would not fit.
func lineOf(runs []run, style Style, width float64) line {
	slices.SortStableFunc(runs, func(a, b run) int { return int(a.VisualIndex) - int(b.VisualIndex) })
	l := line{runs: runs, scale: 1}
	x, above, below := 0.0, 0.0, 0.0
	for i := range runs {
		for _, g := range runs[i].Glyphs {
			if g.Width != 0 || g.Height != 0 {
				at, top := x+points(g.XOffset+g.XBearing), points(g.YOffset+g.YBearing)
				l.left, l.right = min(l.left, at), max(l.right, at+points(g.Width))
				above, below = max(above, top), max(below, -top-points(g.Height))
			}
			x += points(g.Advance)
		}
	}
	l.advance = x
	if length := max(l.right, l.advance) - l.left; length > width {
		l.scale = width / length
	}
	l.scale = min(l.scale, fit(above, mostAscent*style.Size), fit(below, mostDescent*style.Size))
	l.left, l.right = l.left*l.scale, l.right*l.scale
	l.ascent = max(above*l.scale, usualAscent*style.Size)
	l.descent = max(below*l.scale, usualDescent*style.Size)
	return l
}

func fit(v, most float64) float64 {
	if v <= most {
		return 1
	}
	return most / v
}

func points(v fixed.Int26_6) float64 { return float64(v) / fine }

// nominal is the glyph of a character alone.
func nominal(face *font.Face, r rune) font.GID {
	id, _ := face.NominalGlyph(r)
	return id
}
