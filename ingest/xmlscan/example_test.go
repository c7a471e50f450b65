package xmlscan_test

import (
	"fmt"

	"tidemark/ingest/xmlscan"
)

const (
	log  xmlscan.Kind = 1
	note              = xmlscan.Text + 1
)

// printer prints the notes of a log.
type printer struct{}

func (printer) Start(e *xmlscan.Element) xmlscan.Kind {
	switch {
	case e.Depth == 1:
		return log
	case string(e.Local) == "note":
		return note
	}
	return xmlscan.Ignored
}

func (printer) End(kind xmlscan.Kind, text []byte) {
	if kind == note {
		fmt.Printf("%s\n", text)
	}
}

func ExampleDocument_Scan() {
	doc := xmlscan.Document{
		Format: "log",
		Root:   "log",
		Data:   []byte(`<a:log><a:note>calf &amp; heel</a:note><secret><note>no</note></secret><note>half a no`),
	}
	report, err := doc.Scan(printer{})
	fmt.Println(err)
	fmt.Println(report.Last[0].Text)
	// Output:
	// calf & heel
	// <nil>
	// the file ends before its last element does; whole points were kept
}
