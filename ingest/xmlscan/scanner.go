package xmlscan

import (
	"bytes"
	"fmt"
	"io"

	"github.com/orisano/gosax"
)

// source hands the tokenizer all of a document in one read, together with
// io.EOF, after which it never moves its buffer again. So every slice of an event
// stays valid, and a buffer that is the document itself is not copied.
type source []byte

func (data source) Read(p []byte) (int, error) {
	n := min(len(p), len(data))
	if n > 0 && &p[0] != &data[0] {
		copy(p, data)
	}
	return n, io.EOF
}

// smallest is the free space below which the tokenizer reads into a buffer of
// its own making, twice that which it asks for.
const smallest = 2 << 10

func tokenizer(text []byte) *gosax.Reader {
	buffer := text[:0:len(text)]
	if len(text) < smallest {
		buffer = make([]byte, 0, smallest)
	}
	return gosax.NewReaderBuf(source(text), buffer)
}

// frame is an open element. It holds offsets rather than slices, which keeps the
// collector out of the busiest line of the package.
type frame struct {
	name, local, end int // of the name in the text: prefix, local part, end
	kind             Kind
	parent           bool // it has a child
}

type scanner struct {
	doc  Document
	h    Handler
	all  []byte // the document in UTF-8
	in   *gosax.Reader
	base int64 // of the first byte scanned; -1 if offsets are lost

	at, next int // offsets of this event and of the next in all

	frames []frame // reused; the first open of them are the stack
	open   int
	root   bool   // the first element has begun
	text   []byte // since the last tag
	joined []byte // buffer for text of several pieces
	pieces bool   // text is in joined
	value  []byte // buffer for an attribute's value
	e      Element

	odd oddities
}

func newScanner(d Document, h Handler) *scanner {
	s := &scanner{doc: d, h: h, frames: make([]frame, d.Limits.Depth)}
	text, base, remark := decode(d.Data)
	s.base, s.odd.encoding = base, remark
	s.all, s.in = text, tokenizer(text)
	s.e.s = s
	return s
}

// offset returns where the current event starts in the file, or -1.
func (s *scanner) offset() int64 {
	if s.base < 0 {
		return -1
	}
	return s.base + int64(s.at)
}

func (s *scanner) run() error {
	for {
		event, err := s.in.Event()
		s.at, s.next = s.next, s.next+len(event.Bytes)
		if err != nil || event.Type() == gosax.EventEOF {
			return s.finish(err != nil)
		}
		if s.open == 0 && s.root {
			if s.trails(event) {
				s.odd.trailing = true
				return nil
			}
			continue
		}
		switch event.Type() {
		case gosax.EventText:
			if s.wantsText() {
				err = s.characters(event.Bytes, true)
			}
		case gosax.EventStart:
			err = s.start(event.Bytes)
		case gosax.EventEnd:
			s.end(event.Bytes)
		default:
			err = s.rare(event)
		}
		if err != nil {
			return err
		}
	}
}

// wantsText reports whether character data is of interest here: in elements
// that say so, and before the root, where it has no place.
func (s *scanner) wantsText() bool {
	return s.open == 0 || s.frames[s.open-1].kind&Text != 0
}

// finish judges the end of the bytes; broken says that it lies inside a tag.
func (s *scanner) finish(broken bool) error {
	switch {
	case !s.root:
		return ErrNoXML
	case s.open > 0:
		s.odd.truncated = true
	case broken:
		s.odd.trailing = true
	}
	return nil
}

// trails reports whether an event after the root's end is more than filling.
func (s *scanner) trails(event gosax.Event) bool {
	switch event.Type() {
	case gosax.EventComment, gosax.EventProcessingInstruction:
		return false
	case gosax.EventText:
		return len(trim(event.Bytes)) > 0
	}
	return true
}

func (s *scanner) rare(event gosax.Event) error {
	switch event.Type() {
	case gosax.EventCData:
		if s.wantsText() {
			content := bytes.TrimPrefix(event.Bytes, []byte("<![CDATA["))
			return s.characters(bytes.TrimSuffix(content, []byte("]]>")), false)
		}
	case gosax.EventDocType:
		return s.doctype(event.Bytes)
	}
	return nil
}

func (s *scanner) characters(b []byte, references bool) error {
	if s.open == 0 {
		if len(trim(b)) > 0 {
			return ErrNoXML
		}
		return nil
	}
	if len(s.text) == 0 && len(b) <= s.doc.Limits.Text && (!references || bytes.IndexByte(b, '&') < 0) {
		s.text = b
		return nil
	}
	if !s.pieces {
		s.joined, s.pieces = append(s.joined[:0], s.text...), true
	}
	if references {
		s.joined = s.appendText(s.joined, b)
	} else {
		s.joined = s.appendRaw(s.joined, b)
	}
	s.text = s.joined
	return nil
}

func (s *scanner) start(tag []byte) error {
	end := len(tag) - 1
	empty := tag[end-1] == '/' && end > 1
	if empty {
		end--
	}
	name, local := tagName(tag[1:end])
	if !s.root {
		s.root = true
		if string(name[local:]) != s.doc.Root {
			return wrongRoot(name[local:], s.doc.Root)
		}
	}
	if s.open == len(s.frames) {
		return fmt.Errorf("%w: more than %d", ErrDepth, s.open)
	}
	s.push(name, local, tag[1+len(name):end])
	if empty {
		s.pop()
	}
	return nil
}

func (s *scanner) push(name []byte, local int, attributes []byte) {
	parent := Ignored
	if s.open > 0 {
		s.frames[s.open-1].parent = true
		parent = s.frames[s.open-1].kind
	}
	kind := Ignored
	if parent != Ignored || s.open == 0 {
		e := &s.e
		e.Local, e.Parent, e.Depth, e.Offset = name[local:], parent, s.open+1, s.offset()
		e.attributes, e.read = attributes, 0
		kind = s.h.Start(e)
	}
	at := s.at + len("<")
	s.frames[s.open] = frame{name: at, local: at + local, end: at + len(name), kind: kind}
	s.open++
	s.text, s.pieces = nil, false
}

func (s *scanner) pop() {
	s.open--
	if kind := s.frames[s.open].kind; kind != Ignored {
		s.h.End(kind, s.text)
	}
	s.text, s.pieces = nil, false
}

// end closes the innermost element of the tag's name, and with it what was left
// open inside. A name that nothing open has is taken as a misspelling when the
// innermost element has no children, and is passed over otherwise.
func (s *scanner) end(tag []byte) {
	if s.open == 0 {
		s.odd.markup = true
		return
	}
	name := tag[2 : len(tag)-1]
	if top := &s.frames[s.open-1]; bytes.Equal(s.all[top.name:top.end], name) {
		s.pop()
		return
	}
	name, local := tagName(name)
	for i := s.open - 1; i >= 0; i-- {
		f := &s.frames[i]
		if !bytes.Equal(s.all[f.local:f.end], name[local:]) {
			continue
		}
		s.odd.markup = s.odd.markup || i < s.open-1
		for s.open > i {
			s.pop()
		}
		return
	}
	s.odd.markup = true
	if !s.frames[s.open-1].parent {
		s.pop()
	}
}

// doctype refuses an internal subset, where entities are declared, and passes
// over the rest: nothing is ever fetched.
func (s *scanner) doctype(b []byte) error {
	var quote byte
	for _, c := range b {
		switch {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '[':
			return ErrEntity
		}
	}
	s.odd.doctype = true
	return nil
}

// tagName returns the name at the start of b and where its local part begins.
func tagName(b []byte) (name []byte, local int) {
	for i, c := range b {
		switch inName[c] {
		case prefixEnd:
			local = i + 1
		case nameEnd:
			return b[:i], local
		}
	}
	return b, local
}

const (
	prefixEnd = iota + 1
	nameEnd
)

var inName = [256]uint8{':': prefixEnd, ' ': nameEnd, '\n': nameEnd, '\t': nameEnd, '\r': nameEnd, '/': nameEnd}
