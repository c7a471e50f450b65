package ingest

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"tidemark/ingest/diary"
	"tidemark/ingest/fit"
	"tidemark/ingest/gpx"
	"tidemark/ingest/mornings"
	"tidemark/ingest/tcx"
)

// sniff tells the format by content alone; it is empty for what is none. A name
// says nothing: FIT files called .gpx are common.
func sniff(data []byte) Format {
	switch {
	case fit.Sniff(data):
		return FIT
	case gpx.Sniff(data):
		return GPX
	case tcx.Sniff(data):
		return TCX
	case mornings.Sniff(data):
		return Mornings
	case diary.Sniff(data):
		return Diary
	}
	return ""
}

var (
	gzipMagic = []byte{0x1f, 0x8b}
	zipMagic  = [][]byte{[]byte("PK\x03\x04"), []byte("PK\x05\x06"), []byte("PK\x07\x08")}
)

func isGzip(data []byte) bool { return bytes.HasPrefix(data, gzipMagic) }

func isZip(data []byte) bool {
	for _, magic := range zipMagic {
		if bytes.HasPrefix(data, magic) {
			return true
		}
	}
	return false
}

// magics are the first bytes of things that people take for recordings.
var magics = []struct{ begin, what string }{
	{"\x89PNG", "an image"},
	{"\xff\xd8\xff", "an image"},
	{"GIF8", "an image"},
	{"RIFF", "an image, a sound or a video"},
	{"%PDF", "a PDF"},
	{"SQLite format 3", "a database"},
	{"\x1f\x8b", "a gzip file"},
	{"PK\x03\x04", "a zip file"},
	{"PK\x05\x06", "a zip file"},
	{"PK\x07\x08", "a zip file"},
	{"7z\xbc\xaf", "an archive of a kind that is not read"},
	{"Rar!", "an archive of a kind that is not read"},
	{"\xff\xfe", "text in UTF-16"},
	{"\xfe\xff", "text in UTF-16"},
	{"{", "JSON"},
	{"[", "JSON"},
}

// describe says in a few words what data looks like that is no recording.
func describe(data []byte) string {
	head := data[:min(len(data), 4096)]
	text := bytes.TrimSpace(bytes.TrimPrefix(head, []byte("\ufeff")))
	for _, m := range magics {
		if bytes.HasPrefix(text, []byte(m.begin)) {
			return "looks like " + m.what
		}
	}
	switch {
	case len(bytes.Trim(head, "\x00")) == 0:
		return "nothing but zero bytes"
	case len(bytes.TrimSpace(head)) == 0:
		return "nothing but blanks"
	case bytes.HasPrefix(text, []byte("<")):
		return describeMarkup(text)
	case isText(head):
		return "text, but no diary: the first line of one names its columns, date and distance_km or duration_min"
	}
	return "neither FIT, GPX, TCX nor a diary"
}

func describeMarkup(text []byte) string {
	lower := strings.ToLower(string(text))
	for _, m := range []struct{ element, what string }{
		{"<html", "looks like a web page"},
		{"<!doctype html", "looks like a web page"},
		{"<kml", "looks like KML, which holds places and no recording"},
		{"<svg", "looks like an image"},
		{"<plist", "looks like a property list"},
	} {
		if strings.Contains(lower, m.element) {
			return m.what
		}
	}
	return "XML, but neither GPX nor TCX"
}

// isText reports whether the head of a file is UTF-8 without control characters.
func isText(head []byte) bool {
	for len(head) > 0 {
		r, n := utf8.DecodeRune(head)
		cut := len(head) < utf8.UTFMax && !utf8.FullRune(head)
		if r == utf8.RuneError && n == 1 && !cut {
			return false
		}
		if r < ' ' && r != '\n' && r != '\r' && r != '\t' {
			return false
		}
		head = head[n:]
	}
	return true
}
