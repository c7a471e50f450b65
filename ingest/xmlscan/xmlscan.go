// Package xmlscan is what the XML formats share: a streaming scanner that
// knows elements by their local names and survives what exporters really
// write, readers for their numbers and times, and a Track that turns points
// into samples.
//
// It is no general XML parser. Namespaces are dropped, end tags are matched
// leniently, entities beyond the five of XML are never expanded, and a
// document that is cut anywhere ends there instead of failing.
package xmlscan

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/orisano/gosax"

	"tidemark/load"
)

// Why a document is refused. Each comes wrapped in a *load.DecodeError.
var (
	ErrEmpty  = errors.New("the file is empty")
	ErrNoXML  = errors.New("not an XML document")
	ErrDepth  = errors.New("elements nested too deep")
	ErrEntity = errors.New("a DOCTYPE that declares its own entities or elements is not read")
)

// Kind is the handler's own number for an element.
type Kind uint8

const (
	// Ignored is the kind of an element that, with all it holds, is of no
	// interest.
	Ignored Kind = 0
	// Text is set in a kind whose character data the handler wants.
	Text Kind = 0x80
)

// Handler receives the elements of a document in order.
type Handler interface {
	// Start names the kind of an element. It is not asked about what lies
	// inside an ignored one.
	Start(e *Element) Kind
	// End closes an element that is not ignored. Text is the character data
	// after its last child, references resolved, and only kept for kinds with
	// Text set; it is valid until End returns. An element that the end of a
	// cut document leaves open is not closed.
	End(kind Kind, text []byte)
}

// Element is a start tag. It is valid until Handler.Start returns.
type Element struct {
	Local  []byte // name without its prefix
	Parent Kind   // Ignored for the root
	Depth  int    // 1 for the root
	Offset int64  // bytes from the start of the file; -1 after a change of encoding

	attributes []byte
	read       int
	s          *scanner
}

// NextAttribute returns the next attribute by its local name, references in the
// value resolved; ok is false after the last. Both slices are valid until the
// next call.
func (e *Element) NextAttribute() (local, value []byte, ok bool) {
	if len(e.attributes) == 0 || e.read == e.s.doc.Limits.Attributes {
		e.s.odd.attributes = e.s.odd.attributes || len(e.attributes) > 0
		return nil, nil, false
	}
	a, rest, err := gosax.NextAttribute(e.attributes)
	e.attributes = rest
	e.read++
	if err != nil || len(a.Key) == 0 {
		e.s.odd.markup = e.s.odd.markup || err != nil
		e.attributes = nil
		return nil, nil, false
	}
	if len(a.Value) >= 2 {
		value = a.Value[1 : len(a.Value)-1]
	}
	if len(value) > e.s.doc.Limits.Text || bytes.IndexByte(value, '&') >= 0 {
		e.s.value = e.s.appendText(e.s.value[:0], value)
		value = e.s.value
	}
	return a.Key[bytes.IndexByte(a.Key, ':')+1:], value, true
}

// Document is what to scan and how.
type Document struct {
	Format string // as load.DecodeError names it
	Root   string // local name of the first element
	Data   []byte
	Limits Limits
}

// Scan feeds the document to h. The report tells what was read leniently. An
// error is a *load.DecodeError; what h received before it is to be dropped.
func (d Document) Scan(h Handler) (*Report, error) {
	if len(d.Data) == 0 {
		return nil, d.Error(0, ErrEmpty)
	}
	d.Limits = d.Limits.OrDefault()
	s := newScanner(d, h)
	if err := s.run(); err != nil {
		return nil, d.Error(s.offset(), err)
	}
	return s.report(), nil
}

// Error wraps err with the document's format and a place in it.
func (d Document) Error(offset int64, err error) error {
	return &load.DecodeError{Format: d.Format, Offset: offset, Err: err}
}

func wrongRoot(local []byte, want string) error {
	name, _ := CleanText(local[:min(len(local), 40)])
	return fmt.Errorf("the first element is %q, not %s", name, want)
}
