package xmlscan

import "tidemark/load"

// oddities are what the scanner met and read past.
type oddities struct {
	encoding                              string // a remark on the encoding, or empty
	truncated, trailing, doctype          bool
	markup, references, attributes, texts bool
}

// Report says what was read leniently in a whole document.
type Report struct {
	// All concerns every activity of the document, Last only its last one.
	All, Last load.Notes
}

// AddTo appends the remarks to the activities they concern.
func (r *Report) AddTo(activities []load.Activity) {
	for i := range activities {
		activities[i].Notes = append(activities[i].Notes, r.All...)
	}
	if n := len(activities); n > 0 {
		activities[n-1].Notes = append(activities[n-1].Notes, r.Last...)
	}
}

func (s *scanner) report() *Report {
	r, odd := new(Report), &s.odd
	if odd.encoding != "" {
		r.All.Add(load.NoteMarkup, "%s", odd.encoding)
	}
	if odd.doctype {
		r.All.Add(load.NoteMarkup, "a DOCTYPE was passed over")
	}
	if odd.markup {
		r.All.Add(load.NoteMarkup, "tags that do not match were read leniently")
	}
	if odd.references {
		r.All.Add(load.NoteMarkup, "bare & or unknown references were kept as text")
	}
	if odd.attributes {
		r.All.Add(load.NoteMarkup, "only the first %d attributes of an element were read", s.doc.Limits.Attributes)
	}
	if odd.texts {
		r.All.Add(load.NoteMarkup, "only the first %d bytes of a text were kept", s.doc.Limits.Text)
	}
	if odd.truncated {
		r.Last.Add(load.NoteTruncated, "the file ends before its last element does; whole points were kept")
	}
	if odd.trailing {
		r.Last.Add(load.NoteTrailing, "what follows the end of the first root element was left out")
	}
	return r
}
