package export

import (
	"fmt"
	"strings"
	"time"

	"tidemark/web/export/paper"
)

// The margins of a printed page, in points: 15 mm at the sides.
const (
	sheetLeft   = 42.5
	sheetWidth  = paper.Width - 2*sheetLeft
	sheetTop    = 38
	sheetBottom = paper.Height - 56 // below it stand the caution and the page's number
)

// The greys of what is printed: second text, rules, and the tint of the water.
const (
	greySoft = 0.30
	greyRule = 0.72
	greyTint = 0.93
	greyBar  = 0.58
)

// sheet fills pages from the top down.
type sheet struct {
	*paper.Document
	y     float64
	scale float64 // of all letters, 1 or less
	foot  string
	kept  float64 // height at the end of the last page that is kept free
	most  int     // pages
	full  bool    // there was no room for all
}

// scaleStep is by how much letters become smaller at once.
const scaleStep = 0.06

// composed makes pages of what fill puts on them, in the largest letters in which it fits
// on as many as it may have, down to a share of their usual size; in those what is left over
// is left out, and said.
func composed(about paper.About, foot string, most int, least float64, fill func(*sheet)) *sheet {
	var s *sheet
	for scale := 1.0; scale > least-scaleStep/2; scale -= scaleStep {
		s = &sheet{Document: paper.New(about), scale: scale, foot: foot, most: most}
		s.begin()
		fill(s)
		if !s.full {
			break
		}
	}
	s.end()
	return s
}

func (s *sheet) begin() {
	s.Page()
	s.y = sheetTop
}

// end puts what stands at the foot of the last page.
func (s *sheet) end() {
	text := s.foot
	if s.full {
		text = "There was no room for all of it: the rest is on the page of the logbook. " + text
	}
	if numbers := s.Unwritten(); len(numbers) > 0 {
		text += " Characters that no font here has are written by their number in Unicode: " + strings.Join(numbers[:min(8, len(numbers))], " ")
		if len(numbers) > 8 {
			text += " and others"
		}
		text += "."
	}
	s.Line(sheetLeft, sheetBottom+8, sheetLeft+sheetWidth, sheetBottom+8, paper.Stroke(greyRule, 0.5))
	s.Put(s.Lay(text, paper.Style{Size: 7.5, Grey: greySoft, Most: 3}, sheetWidth-60), sheetLeft, sheetBottom+12)
	if n := s.Pages(); n > 1 {
		s.Write(fmt.Sprintf("page %d of %d", n, n), paper.Style{Size: 7.5, Grey: greySoft, Align: paper.Right}, sheetLeft+sheetWidth-60, sheetBottom+12, 60)
	}
}

// room makes sure that so much fits on the page, or begins another; false: there is none.
func (s *sheet) room(height float64) bool {
	if s.full {
		return false
	}
	if s.y+height <= s.bottom() {
		return true
	}
	if s.Pages() == s.most || height > sheetBottom-sheetTop {
		s.full = true
		return false
	}
	s.Write(fmt.Sprintf("page %d", s.Pages()), paper.Style{Size: 7.5, Grey: greySoft, Align: paper.Right}, sheetLeft+sheetWidth-60, sheetBottom+12, 60)
	s.begin()
	return true
}

// bottom is where the page ends for what is put now.
func (s *sheet) bottom() float64 {
	if s.Pages() < s.most {
		return sheetBottom
	}
	return sheetBottom - s.kept
}

// last puts what must not be left out, in room that was kept for it.
func (s *sheet) last(fill func()) {
	full := s.full
	s.kept, s.full = 0, false
	fill()
	s.full = s.full || full
}

// style scales letters.
func (s *sheet) style(st paper.Style) paper.Style {
	st.Size *= s.scale
	return st
}

// text puts one over the whole width, and leaves so much free below.
func (s *sheet) text(text string, st paper.Style, below float64) {
	if text == "" {
		return
	}
	b := s.Lay(text, s.style(st), sheetWidth)
	if s.room(b.Height()) {
		s.y = s.Put(b, sheetLeft, s.y) + below*s.scale
	}
}

// heading begins a part, with room for a line after it.
func (s *sheet) heading(text string) {
	b := s.Lay(text, s.style(paper.Style{Size: 11, Bold: true, Most: 2}), sheetWidth)
	if s.room(b.Height() + 18*s.scale) {
		s.y = s.Put(b, sheetLeft, s.y+5*s.scale)
	}
}

// item is a point of a list.
func (s *sheet) item(text string, st paper.Style) {
	const indent = 9
	b := s.Lay(text, s.style(st), sheetWidth-indent)
	if s.room(b.Height()) {
		mark := s.y + 0.62*st.Size*s.scale
		s.Line(sheetLeft+1, mark, sheetLeft+5, mark, paper.Stroke(greySoft, 0.8))
		s.y = s.Put(b, sheetLeft+indent, s.y)
	}
}

// column is one of a table: its heading, from where and how wide.
type column struct {
	head     string
	at, wide float64
	align    paper.Align
}

// cells lays a row of a table out, and says how high it is.
func (s *sheet) cells(columns []column, texts []string, st paper.Style) (blocks []paper.Block, tall float64) {
	for i, text := range texts {
		cell := s.style(st)
		cell.Align = columns[i].align
		blocks = append(blocks, s.Lay(text, cell, columns[i].wide-4))
		tall = max(tall, blocks[i].Height())
	}
	return blocks, tall
}

// row puts the cells of a table on one line of the page.
func (s *sheet) row(columns []column, texts []string, st paper.Style) {
	blocks, tall := s.cells(columns, texts, st)
	if !s.room(tall + 1) {
		return
	}
	for i := range blocks {
		s.Put(blocks[i], sheetLeft+columns[i].at, s.y)
	}
	s.y += tall + 1
}

// rule draws a line over the whole width.
func (s *sheet) rule() {
	if s.full {
		return
	}
	s.Line(sheetLeft, s.y, sheetLeft+sheetWidth, s.y, paper.Stroke(greyRule, 0.5))
	s.y += 1.5
}

// about is what a file says of itself.
func about(title, name string, made time.Time) paper.About {
	return paper.About{Title: title + ", " + name, Subject: "tidemark", Language: "en", Made: made}
}
