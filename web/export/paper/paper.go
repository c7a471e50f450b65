// Package paper writes pages of A4 as PDF: texts in any script, lines and shapes.
// It knows nothing of runners.
//
// Letters that stand one by one are text in an embedded font. What has to be shaped
// (Arabic, Hebrew, Devanagari, Thai and so on) is drawn as outlines, with the same
// text unseen over it, so that it can be searched and copied. The fonts are built in
// and none of the machine's are asked, so that the same input is the same file
// everywhere. A character that none of them has is written as its number, as in
// [U+1F3C3], and told by Unwritten: never an empty box.
//
// Positions and lengths are in points of 1/72 inch, y from the top down.
package paper

import (
	"encoding/binary"
	"fmt"
	"io"
	"time"
	"unicode/utf16"

	"codeberg.org/go-pdf/fpdf"
	"github.com/go-text/typesetting/shaping"
)

// Width and Height are those of A4, in points.
const (
	Width  = 595.28
	Height = 841.89
)

// About is what the file says of itself.
type About struct {
	Title, Subject string
	Language       string // as in "en"
	Made           time.Time
}

// Document is a file being written. It is not for several goroutines at once.
type Document struct {
	pdf      *fpdf.Fpdf
	faces    faces
	shaper   shaping.HarfbuzzShaper
	wrapper  shaping.LineWrapper
	splitter shaping.Segmenter
	embedded map[string]bool
	numbered []string // characters that no font has
	ink      []Ink
	glyphs   []placed // of the block that is being put
}

// Box is a place on the page, Y its upper edge.
type Box struct{ X, Y, Width, Height float64 }

// Ink is where a line of text stands.
type Ink struct {
	Page int // from 1
	Box
}

// New begins a document without a page.
func New(about About) *Document {
	pdf := fpdf.New("P", "pt", "A4", "")
	pdf.SetCatalogSort(true)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(0, 0, 0)
	pdf.SetProducer("tidemark", true)
	pdf.SetTitle(wide(about.Title), false)
	pdf.SetSubject(wide(about.Subject), false)
	pdf.SetLang(about.Language)
	pdf.SetCreationDate(about.Made.UTC())
	pdf.SetModificationDate(about.Made.UTC())
	return &Document{pdf: pdf, embedded: make(map[string]bool)}
}

// wide is a text as a PDF says it of itself: UTF-16 behind its mark (ISO 32000-1, 7.9.2).
func wide(text string) string {
	b := []byte{0xFE, 0xFF}
	for _, u := range utf16.Encode([]rune(text)) {
		b = binary.BigEndian.AppendUint16(b, u)
	}
	return string(b)
}

// Page begins a page; what is put from then on stands on it.
func (d *Document) Page() { d.pdf.AddPage() }

// Pages is how many there are.
func (d *Document) Pages() int { return d.pdf.PageCount() }

// Unwritten are the characters that stood in a text and are in none of the fonts, as
// numbers in the order in which they came. They are written so.
func (d *Document) Unwritten() []string { return d.numbered }

// Ink returns where each line of text stands, in the order in which they were put: for who
// looks whether a layout holds.
func (d *Document) Ink() []Ink { return d.ink }

// WriteTo writes the whole file.
func (d *Document) WriteTo(w io.Writer) (int64, error) {
	count := counted{to: w}
	if err := d.pdf.Output(&count); err != nil {
		return count.n, fmt.Errorf("write PDF: %w", err)
	}
	return count.n, nil
}

// counted counts what goes through it.
type counted struct {
	to io.Writer
	n  int64
}

func (c *counted) Write(b []byte) (int, error) {
	n, err := c.to.Write(b)
	c.n += int64(n)
	return n, err
}
