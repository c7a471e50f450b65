package export

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"time"

	"tidemark/load"
)

// Feed is a list of what was new, as readers of feeds fetch it.
type Feed struct {
	ID      string // a URI that never changes
	Title   string
	Author  string
	Self    string // its own address
	Updated load.Instant
	Entries []Entry // the newest first
}

// Entry is one item of a feed.
type Entry struct {
	ID      string // a URI that never changes
	Title   string
	Link    string
	Updated load.Instant
	Text    []string // paragraphs
}

// The elements of RFC 4287 that are written, as encoding/xml wants them.
type (
	atomFeed struct {
		XMLName xml.Name    `xml:"http://www.w3.org/2005/Atom feed"`
		ID      string      `xml:"id"`
		Title   string      `xml:"title"`
		Updated string      `xml:"updated"`
		Author  string      `xml:"author>name"`
		Link    atomLink    `xml:"link"`
		Entries []atomEntry `xml:"entry"`
	}
	atomEntry struct {
		ID      string   `xml:"id"`
		Title   string   `xml:"title"`
		Updated string   `xml:"updated"`
		Link    atomLink `xml:"link"`
		Content string   `xml:"content"` // plain text (RFC 4287, 3.1.1)
	}
	atomLink struct {
		Rel  string `xml:"rel,attr,omitempty"`
		Href string `xml:"href,attr"`
	}
)

// Atom writes a feed (RFC 4287). Characters that XML has not are replaced.
func Atom(w io.Writer, f Feed) error {
	out := atomFeed{ID: f.ID, Title: f.Title, Updated: atomTime(f.Updated), Author: f.Author, Link: atomLink{"self", f.Self}}
	for _, e := range f.Entries {
		out.Entries = append(out.Entries, atomEntry{e.ID, e.Title, atomTime(e.Updated), atomLink{Href: e.Link}, strings.Join(e.Text, "\n\n")})
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return fmt.Errorf("write feed: %w", err)
	}
	if err := xml.NewEncoder(w).Encode(out); err != nil {
		return fmt.Errorf("write feed: %w", err)
	}
	return nil
}

func atomTime(at load.Instant) string { return at.Time().UTC().Format(time.RFC3339) }
