package xmlscan_test

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest/xmlscan"
	"tidemark/load"
)

const (
	container xmlscan.Kind = 1
	leaf                   = xmlscan.Text + 1
)

// outline writes down what it receives: elements in upper case are containers,
// x is ignored, the rest are leaves with their attributes and text.
type outline struct{ strings.Builder }

func (o *outline) Start(e *xmlscan.Element) xmlscan.Kind {
	name := string(e.Local)
	if name == "x" {
		return xmlscan.Ignored
	}
	fmt.Fprintf(o, "<%s", name)
	for {
		local, value, ok := e.NextAttribute()
		if !ok {
			break
		}
		fmt.Fprintf(o, " %s=%q", local, value)
	}
	o.WriteByte('>')
	if name == strings.ToUpper(name) {
		return container
	}
	return leaf
}

func (o *outline) End(kind xmlscan.Kind, text []byte) {
	if kind == leaf {
		fmt.Fprintf(o, "%q", text)
	}
	o.WriteString("</>")
}

// scan returns the outline of a document with root R, and the codes of the
// remarks for all activities and the last.
func scan(text string, lim xmlscan.Limits) (outlined, notes string, err error) {
	var o outline
	data := []byte(text)
	report, err := xmlscan.Document{Format: "test", Root: "R", Data: data, Limits: lim}.Scan(&o)
	if !bytes.Equal(data, []byte(text)) {
		return "", "", errors.New("the scanner wrote into its input")
	}
	if err != nil {
		return "", "", err
	}
	for _, n := range append(report.All, report.Last...) {
		notes += string(n.Code) + " "
	}
	return o.String(), strings.TrimSpace(notes), nil
}

func TestScan(t *testing.T) {
	long := strings.Repeat("y", 5000)
	tests := []struct {
		name, in, want, notes string
	}{
		{"plain", `<R><a>1</a><b>2</b></R>`, `<R><a>"1"</><b>"2"</></>`, ""},
		{"empty elements", `<R><a/><b /><A/></R>`, `<R><a>""</><b>""</><A></></>`, ""},
		{"prefixes", `<p:R xmlns:p="u"><q:a>1</q:a></p:R>`, `<R p="u"><a>"1"</></>`, ""},
		{"prefix of the end tag differs", `<R><q:a>1</p:a></R>`, `<R><a>"1"</></>`, ""},
		{"attributes", `<R a="1" b='2' n:c = "&lt;3"><A d=""/></R>`, `<R a="1" b="2" c="<3"><A d=""></></>`, ""},
		{"odd signs in quotes", `<R a="1>2" b='x/>'><a>1</a></R>`, `<R a="1>2" b="x/>"><a>"1"</></>`, ""},
		{"ignored subtree", `<R><x><a>1</a><x/></x><a>2</a></R>`, `<R><a>"2"</></>`, ""},
		{"the five and characters", `<R><a>&lt;&gt;&amp;&apos;&quot;&#65;&#x42;</a></R>`, `<R><a>"<>&'\"AB"</></>`, ""},
		{"bare ampersand", `<R><a>Run & fun</a></R>`, `<R><a>"Run & fun"</></>`, "markup"},
		{"unknown entity", `<R><a>&nope;&#xFFFFFFFF;&#;</a></R>`, `<R><a>"&nope;` + "\uFFFD" + `&#;"</></>`, "markup"},
		{"CDATA", `<R><a>1<![CDATA[<b>&amp;]]>2</a></R>`, `<R><a>"1<b>&amp;2"</></>`, ""},
		{"comments and instructions", "<?pi x?><!-- <a> --><R><!-- - > --><a>1<!-- -->2</a><?x?></R><!-- --> \n", `<R><a>"12"</></>`, ""},
		{"misspelt end", `<R><A><a>1</ab><b>2</b></A></R>`, `<R><A><a>"1"</><b>"2"</></></>`, "markup"},
		{"stray end", `<R><A><a>1</a></z><b>2</b></A></R>`, `<R><A><a>"1"</><b>"2"</></></>`, "markup"},
		{"missing end", `<R><A><a>1</A><b>2</b></R>`, `<R><A><a>"1"</></><b>"2"</></>`, "markup"},
		{"nameless tags", `<R><></><a>1</a></R>`, `<R><></><a>"1"</></>`, ""},
		{"byte-order mark", "\xEF\xBB\xBF<R><a>1</a></R>", `<R><a>"1"</></>`, ""},
		{"leading blanks", "\n  <?xml version='1.0'?><R/>", `<R></>`, ""},
		{"UTF-16LE", "\xFF\xFE<\x00R\x00>\x00<\x00a\x00>\x00\xE9\x00<\x00/\x00a\x00>\x00<\x00/\x00R\x00>\x00", `<R><a>"é"</></>`, ""},
		{"UTF-16LE cut in a character", "\xFF\xFE<\x00R\x00>\x00<\x00a\x00>\x00\xE9", `<R><a>`, "truncated"},
		{"UTF-16LE cut in a pair", "\xFF\xFE<\x00R\x00>\x00<\x00a\x00>\x00\x00\xD8", `<R><a>`, "truncated"},
		{"UTF-16BE", "\xFE\xFF\x00 \x00<\x00R\x00>\x00<\x00a\x00>\x00\xE9\x00<\x00/\x00a\x00>\x00<\x00/\x00R\x00>", `<R><a>"é"</></>`, ""},
		{"Latin-1", "<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?><R><a>Z\xFCrich</a></R>", `<R><a>"Zürich"</></>`, ""},
		{"Windows-1252", "<?xml version='1.0' encoding='windows-1252'?><R><a>\x80</a></R>", `<R><a>"€"</></>`, ""},
		{"unknown encoding", `<?xml version="1.0" encoding="x-none"?><R/>`, `<R></>`, "markup"},
		{"8-bit text labelled UTF-16", `<?xml version="1.0" encoding="utf-16"?><R/>`, `<R></>`, "markup"},
		{"plain DOCTYPE", `<!DOCTYPE R SYSTEM "r[1].dtd"><R/>`, `<R></>`, "markup"},
		{"cut in a tag", `<R><a>1</a><b`, `<R><a>"1"</>`, "truncated"},
		{"cut in a text", `<R><a>1</a><b>2`, `<R><a>"1"</><b>`, "truncated"},
		{"cut in an end tag", `<R><a>1</a`, `<R><a>`, "truncated"},
		{"cut in a comment", `<R><a>1</a><!-- `, `<R><a>"1"</>`, "truncated"},
		{"cut in CDATA", `<R><a>1</a><a><![CDATA[2`, `<R><a>"1"</><a>`, "truncated"},
		{"broken markup", `<R><a>1</a><!ELEMENT></R>`, `<R><a>"1"</>`, "truncated"},
		{"second root", `<R><a>1</a></R><R><a>2</a></R>`, `<R><a>"1"</></>`, "trailing"},
		{"junk behind", "<R/>junk", `<R></>`, "trailing"},
		{"NUL behind", "<R/>\x00\x00", `<R></>`, "trailing"},
		{"half a tag behind", "<R/><R", `<R></>`, "trailing"},
		{"long document", `<R><!--` + long + `--><a>` + long + `</a><A y="` + long + `"/></R>`, `<R><a>"` + long + `"</><A y="` + long + `"></></>`, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, notes, err := scan(test.in, xmlscan.DefaultLimits)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("outline (-want +got):\n%s", diff)
			}
			if notes != test.notes {
				t.Errorf("notes %q, want %q", notes, test.notes)
			}
		})
	}
}

func TestScanLimits(t *testing.T) {
	lim := xmlscan.Limits{Depth: 3, Text: 4, Attributes: 2}
	tests := []struct {
		name, in, want, notes string
	}{
		{"text", `<R><a>abcdefg</a></R>`, `<R><a>"abcd"</></>`, "markup"},
		{"text of pieces", `<R><a>ab<![CDATA[cdef]]>g&lt;</a></R>`, `<R><a>"abcd"</></>`, "markup"},
		{"references", `<R><a>&lt;&lt;&lt;&lt;&lt;</a></R>`, `<R><a>"<<<<"</></>`, "markup"},
		{"attribute", `<R a="abcdefg"/>`, `<R a="abcd"></>`, "markup"},
		{"attributes", `<R a="1" b="2" c="3"/>`, `<R a="1" b="2"></>`, "markup"},
		{"depth", `<R><A><b>1</b></A></R>`, `<R><A><b>"1"</></></>`, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, notes, err := scan(test.in, lim)
			if err != nil {
				t.Fatal(err)
			}
			if got != test.want || notes != test.notes {
				t.Errorf("got %s, notes %q, want %s, %q", got, notes, test.want, test.notes)
			}
		})
	}
}

func TestScanRefuses(t *testing.T) {
	bomb := `<!DOCTYPE R [<!ENTITY a "aa"><!ENTITY b "&a;&a;">]><R><a>&b;</a></R>`
	tests := []struct {
		name, in string
		want     error // nil: any
		offset   int64
	}{
		{"empty", "", xmlscan.ErrEmpty, 0},
		{"NULs", strings.Repeat("\x00", 4096), xmlscan.ErrNoXML, 0},
		{"text", "just some notes\n", xmlscan.ErrNoXML, 0},
		{"text before the root", "<?pi?> x <R/>", xmlscan.ErrNoXML, 6},
		{"declaration only", `<?xml version="1.0"?>`, xmlscan.ErrNoXML, 21},
		{"cut before the root ends", `<R a="`, xmlscan.ErrNoXML, 0},
		{"another root", `<html><R/></html>`, nil, 0},
		{"entities", bomb, xmlscan.ErrEntity, 0},
		{"entities after a mark", "\xEF\xBB\xBF\n" + bomb, xmlscan.ErrEntity, 4},
		{"entities in UTF-16", "\xFE\xFF\x00<\x00!\x00D\x00[\x00>", xmlscan.ErrEntity, -1},
		{"too deep", `<R>` + strings.Repeat("<x>", 64) + `</R>`, xmlscan.ErrDepth, 3 + 63*3},
		{"very deep", `<R>` + strings.Repeat("<x>", 300_000), xmlscan.ErrDepth, 3 + 63*3},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, _, err := scan(test.in, xmlscan.DefaultLimits)
			decode, ok := errors.AsType[*load.DecodeError](err)
			if !ok {
				t.Fatalf("error %v, want a *load.DecodeError", err)
			}
			if test.want != nil && !errors.Is(err, test.want) {
				t.Errorf("error %v, want %v", err, test.want)
			}
			if decode.Format != "test" || decode.Offset != test.offset {
				t.Errorf("format %q, offset %d, want test, %d", decode.Format, decode.Offset, test.offset)
			}
		})
	}
}

func TestHasRoot(t *testing.T) {
	tests := []struct {
		name, in string
		want     bool
	}{
		{"plain", `<gpx version="1.1">`, true},
		{"cut after the name", `<gpx`, true},
		{"cut in the attributes", `<gpx a="`, true},
		{"prefix", `<p:gpx>`, true},
		{"mark and blanks", "\xEF\xBB\xBF \r\n<gpx>", true},
		{"declaration and comments", `<?xml version="1.0"?><!-- <html> --><?x <html>?><gpx/>`, true},
		{"DOCTYPE", `<!DOCTYPE x [<!ENTITY a "b">]><gpx>`, true},
		{"UTF-16LE", "\xFF\xFE<\x00g\x00p\x00x\x00>\x00", true},
		{"UTF-16BE", "\xFE\xFF\x00<\x00g\x00p\x00x\x00>", true},
		{"Latin-1", "<?xml version='1.0' encoding='latin1'?><gpx>", true},
		{"another root", `<html><gpx>`, false},
		{"longer name", `<gpxx>`, false},
		{"text", `gpx`, false},
		{"text before", `x <gpx>`, false},
		{"end tag", `</gpx>`, false},
		{"empty", ``, false},
		{"one byte", `<`, false},
		{"unclosed comment", `<!-- <gpx>`, false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := xmlscan.HasRoot([]byte(test.in), "gpx"); got != test.want {
				t.Errorf("HasRoot(%q) = %v, want %v", test.in, got, test.want)
			}
		})
	}
}

func TestCleanText(t *testing.T) {
	tests := []struct {
		in, want string
		odd      bool
	}{
		{"  Morning\n\trun ", "Morning run", false},
		{"a\x01b", "ab", true},
		{"bad \xff\xfe\xc3\x28", "bad \uFFFD\uFFFD\uFFFD(", true},
		{"\uFFFD", "\uFFFD", false},
		{"", "", false},
	}
	for _, test := range tests {
		t.Run(test.in, func(t *testing.T) {
			if got, odd := xmlscan.CleanText([]byte(test.in)); got != test.want || odd != test.odd {
				t.Errorf("CleanText(%q) = %q, %v, want %q, %v", test.in, got, odd, test.want, test.odd)
			}
		})
	}
}

// FuzzScan asks of any bytes: no panic, the input untouched, an error only as a
// *load.DecodeError with a place inside the file.
func FuzzScan(f *testing.F) {
	for _, s := range []string{
		`<R><a b="1">2</a></R>`, `<?xml version="1.0" encoding="latin1"?><R>&#65;</R>`, "\xFF\xFE<\x00R\x00", `</>`,
		`<R><![CDATA[x]]><!-- --></R>`, `<!DOCTYPE R [`, `<R a='`, `<R></R><`, `<R><!x`, `<R a=b c></R>`,
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		_, _, err := scan(text, xmlscan.Limits{Depth: 8, Text: 32, Attributes: 4})
		if err == nil {
			return
		}
		decode, ok := errors.AsType[*load.DecodeError](err)
		if !ok || decode.Offset < -1 || decode.Offset > int64(len(text)) {
			t.Fatalf("error %#v", err)
		}
	})
}
