package export_test

import (
	"encoding/xml"
	"os"
	"strings"
	"testing"

	"tidemark/web/export"
)

// ExampleAtom writes a feed with one entry; elements as RFC 4287 has them.
func ExampleAtom() {
	_ = export.Atom(os.Stdout, export.Feed{
		ID: "tag:logbook.example,2026:news/1", Title: "New in the evening", Author: "tidemark", Self: "https://logbook.example/news/1.xml", Updated: 1_772_366_400_000,
		Entries: []export.Entry{{
			ID: "tag:logbook.example,2026:evening/1", Title: "Something to look at", Link: "https://logbook.example/r/1", Updated: 1_772_366_400_000, Text: []string{"Ümit & Ada", "a < b"},
		}},
	})
	// Output:
	// <?xml version="1.0" encoding="UTF-8"?>
	// <feed xmlns="http://www.w3.org/2005/Atom"><id>tag:logbook.example,2026:news/1</id><title>New in the evening</title><updated>2026-03-01T12:00:00Z</updated><author><name>tidemark</name></author><link rel="self" href="https://logbook.example/news/1.xml"></link><entry><id>tag:logbook.example,2026:evening/1</id><title>Something to look at</title><updated>2026-03-01T12:00:00Z</updated><link href="https://logbook.example/r/1"></link><content>Ümit &amp; Ada&#xA;&#xA;a &lt; b</content></entry></feed>
}

// TestAtomHostile: whatever is in a name, a feed is one that can be read.
func TestAtomHostile(t *testing.T) {
	for _, text := range []string{"\x00\x1b[2J", "]]></content><entry/>", "\xff\xfe", "\u2028", strings.Repeat("a", 1<<16)} {
		var b strings.Builder
		if err := export.Atom(&b, export.Feed{Title: text, Entries: []export.Entry{{Title: text, Text: []string{text}}}}); err != nil {
			t.Fatal(err)
		}
		var read struct {
			Entries []struct {
				Title string `xml:"title"`
			} `xml:"entry"`
		}
		if err := xml.Unmarshal([]byte(b.String()), &read); err != nil || len(read.Entries) != 1 {
			t.Errorf("%.20q: %d entries, %v", text, len(read.Entries), err)
		}
	}
}
