package ingest_test

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"iter"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest"
	"tidemark/load"
)

func ExampleUnpack() {
	archive := zipOf(
		member{"june/monday.gpx", []byte("<gpx/>")},
		member{"june/tuesday.gpx.gz", gzipOf([]byte("<gpx version='1.1'/>"))},
		member{"june/more.zip", zipOf(member{"a.gpx", []byte("<gpx/>")})},
	)
	for rec, err := range ingest.Unpack("export.zip", bytes.NewReader(archive), ingest.DefaultLimits) {
		if err != nil {
			fmt.Printf("%s: %v\n", rec.Path, err)
			continue
		}
		fmt.Printf("%s: %d bytes, %.3x\n", rec.Path, len(rec.Data), rec.Sum())
	}
	// Output:
	// export.zip!june/monday.gpx: 6 bytes, b53b9a
	// export.zip!june/tuesday.gpx.gz: 20 bytes, c7a473
	// export.zip!june/more.zip: archive inside an archive: unpack it first
}

type member struct {
	name string
	data []byte
}

func zipOf(members ...member) []byte {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, m := range members {
		f, err := w.Create(m.name)
		if err == nil {
			_, err = f.Write(m.data)
		}
		if err != nil {
			panic(err)
		}
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}

func gzipOf(data []byte) []byte {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	if _, err := w.Write(data); err != nil {
		panic(err)
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// zipWith is a zip with one stored member, whose checksum is wrong and whose
// header was edited.
func zipWith(edit func(*zip.FileHeader), data string) []byte {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	h := &zip.FileHeader{Name: "a.fit", CompressedSize64: uint64(len(data)), UncompressedSize64: uint64(len(data)), CRC32: 1}
	edit(h)
	f, err := w.CreateRaw(h)
	if err == nil {
		_, err = f.Write([]byte(data))
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		panic(err)
	}
	return b.Bytes()
}

// outcome is one step of Unpack in words: path and bytes, or path and reason.
type outcome struct {
	Path, Data, Reason string
	Notes              []load.NoteCode
}

func outcomes(seq iter.Seq2[ingest.Recording, error]) (all []outcome) {
	for rec, err := range seq {
		o := outcome{Path: rec.Path, Data: string(rec.Data), Notes: codes(rec.Notes)}
		if err != nil {
			o.Reason = err.Error()
		}
		all = append(all, o)
	}
	return all
}

func codes(notes load.Notes) (all []load.NoteCode) {
	for _, n := range notes {
		all = append(all, n.Code)
	}
	return all
}

func TestUnpack(t *testing.T) {
	const text = "a recording, or so it seems to the archive"
	packed := gzipOf([]byte(text))
	wrongSum := bytes.Clone(packed)
	wrongSum[len(wrongSum)-8] ^= 1
	note := func(path string, code load.NoteCode) []outcome {
		return []outcome{{Path: path, Data: text, Notes: []load.NoteCode{code}}}
	}
	tests := []struct {
		name string
		data []byte
		want []outcome
	}{
		{"plain", []byte(text), []outcome{{Path: "f", Data: text}}},
		{"empty", nil, []outcome{{Path: "f"}}},
		{"gzip", packed, []outcome{{Path: "f", Data: text}}},
		{"gzip of two parts", append(gzipOf([]byte("a ")), gzipOf([]byte("b"))...), []outcome{{Path: "f", Data: "a b"}}},
		{"gzip without its end", packed[:len(packed)-8], note("f", load.NoteTruncated)},
		{"gzip with a wrong checksum", wrongSum, note("f", load.NoteChecksum)},
		{"gzip with padding", append(bytes.Clone(packed), make([]byte, 512)...), note("f", load.NoteTrailing)},
		{"gzip cut in its header", packed[:5], []outcome{{Path: "f", Reason: "read gzip: cut short"}}},
		{"gzip in gzip", gzipOf(packed), []outcome{{Path: "f", Reason: "archive inside an archive: unpack it first"}}},
		{"zip in gzip", gzipOf(zipOf(member{"a", nil})), []outcome{{Path: "f", Reason: "archive inside an archive: unpack it first"}}},
		{"zip", zipOf(member{"a", []byte("1")}, member{"b", []byte("2")}), []outcome{{Path: "f!a", Data: "1"}, {Path: "f!b", Data: "2"}}},
		{"gzip in zip", zipOf(member{"a.gz", packed}), []outcome{{Path: "f!a.gz", Data: text}}},
		{"gzip in gzip in zip", zipOf(member{"a", gzipOf(packed)}, member{"b", nil}), []outcome{
			{Path: "f!a", Reason: "archive inside an archive: unpack it first"}, {Path: "f!b"},
		}},
		{"zip in zip", zipOf(member{"a.zip", zipOf()}), []outcome{{Path: "f!a.zip", Reason: "archive inside an archive: unpack it first"}}},
		{"folders", zipOf(member{"a/", nil}, member{"a/b", []byte("1")}), []outcome{{Path: "f!a/b", Data: "1"}}},
		{"what systems add", zipOf(member{"a.fit", []byte("1")}, member{"__MACOSX/._a.fit", []byte("2")}, member{"x/.DS_Store", nil}), []outcome{
			{Path: "f!a.fit", Data: "1"},
			{Path: "f!__MACOSX/._a.fit", Reason: "added by a system, left out"},
			{Path: "f!x/.DS_Store", Reason: "added by a system, left out"},
		}},
		{"empty zip", zipOf(), []outcome{{Path: "f", Reason: "no activity in it: no file in the archive"}}},
		{"zip of folders", zipOf(member{"a/", nil}), []outcome{{Path: "f", Reason: "no activity in it: no file in the archive"}}},
		{"path out of the folder", zipOf(member{"../../etc/a.fit", []byte("1")}), []outcome{{Path: "f!../../etc/a.fit", Data: "1"}}},
		{"name that a terminal obeys", zipOf(member{"a\x1b[2J\u202eb\xff", []byte("1")}), []outcome{{Path: "f!a\ufffd[2J\ufffdb\ufffd", Data: "1"}}},
		{"encrypted", zipWith(func(h *zip.FileHeader) { h.Flags |= 1 }, "abcd"), []outcome{
			{Path: "f!a.fit", Reason: "encrypted: unpack it with its password first"},
		}},
		{"method 99", zipWith(func(h *zip.FileHeader) { h.Method = 99 }, "abcd"), []outcome{
			{Path: "f!a.fit", Reason: "archive cannot be read: packed by method 99, which is not read"},
		}},
		{"member with a wrong checksum", zipWith(func(*zip.FileHeader) {}, "abcd"), []outcome{
			{Path: "f!a.fit", Data: "abcd", Notes: []load.NoteCode{load.NoteChecksum}},
		}},
		{"member that ends early", zipWith(func(h *zip.FileHeader) { h.Method = zip.Deflate }, "abcd"), []outcome{
			{Path: "f!a.fit", Reason: "read zip: cut short"},
		}},
		{"zip without a directory", zipOf(member{"a", []byte(text)})[:60], []outcome{
			{Path: "f", Reason: "read zip: archive cannot be read: cut short or damaged, no directory at its end"},
		}},
		{"spreadsheet", zipOf(member{"[Content_Types].xml", nil}, member{"xl/workbook.xml", nil}), []outcome{
			{Path: "f", Reason: "not a recording: looks like an office document; save a spreadsheet as CSV"},
		}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := outcomes(ingest.Unpack("f", bytes.NewReader(test.data), ingest.DefaultLimits))
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// A diary that is cut ends in the middle of a row or a number, which nobody
// would see afterwards.
func TestUnpackRefusesDamagedDiary(t *testing.T) {
	packed := gzipOf([]byte("date,distance_km\n2026-03-02,12.5\n"))
	packed[len(packed)-8] ^= 1
	stored := zipWith(func(*zip.FileHeader) {}, "date,distance_km\n2026-03-02,1")
	for name, data := range map[string][]byte{
		"cut":                        packed[:len(packed)-8],
		"wrong checksum":             packed,
		"wrong checksum in a zip":    stored,
		"wrong checksum, and zipped": zipOf(member{"d.csv.gz", packed}),
	} {
		t.Run(name, func(t *testing.T) {
			for rec, err := range ingest.Unpack("d", bytes.NewReader(data), ingest.DefaultLimits) {
				if _, ok := errors.AsType[*load.DecodeError](err); !ok || rec.Data != nil {
					t.Errorf("err = %v with %d bytes, want a DecodeError", err, len(rec.Data))
				}
			}
		})
	}
}

func TestUnpackStopsAtManyMembers(t *testing.T) {
	var members []member
	for i := range 60 {
		members = append(members, member{fmt.Sprintf("%02d", i), []byte("1")}, member{fmt.Sprintf("__MACOSX/._%02d", i), nil})
	}
	var good, aside int
	var last error
	for _, err := range ingest.Unpack("f", bytes.NewReader(zipOf(members...)), ingest.DefaultLimits) {
		switch last = err; {
		case err == nil:
			good++
		case errors.Is(err, ingest.ErrAside):
			aside++
		}
	}
	if good != 50 || aside != 50 {
		t.Errorf("%d files and %d asides, want 50 and 50", good, aside)
	}
	const want = "too many files in one archive: the 10 after the first 50 were left out; unpack it and import the folder"
	if last == nil || last.Error() != want {
		t.Errorf("last = %v, want %s", last, want)
	}
}

func TestUnpackRefusesHugeDirectory(t *testing.T) {
	members := make([]member, 10_001)
	for i := range members {
		members[i].name = fmt.Sprint(i)
	}
	got := outcomes(ingest.Unpack("f", bytes.NewReader(zipOf(members...)), ingest.DefaultLimits))
	if len(got) != 1 || !strings.Contains(got[0].Reason, "too many files in one archive: about 10001") {
		t.Errorf("got %v", got)
	}
}

// What is allocated is bounded by the limits and not by what an archive claims
// or would inflate to.
func TestUnpackBombs(t *testing.T) {
	lim := ingest.DefaultLimits
	lim.Raw, lim.Inflated = 1<<20, 2<<20
	blanks := bytes.Repeat([]byte(" "), 64<<20)
	bomb := gzipOf(blanks)
	tests := []struct {
		name   string
		data   []byte
		reason []string
	}{
		{"gzip", bomb, []string{"too large: inflates to more than 1.0 MB"}},
		{"gzip in zip", zipOf(member{"a", bomb}), []string{"too large: inflates to more than 1.0 MB"}},
		{"member", zipOf(member{"a", blanks}), []string{"too large: inflates to more than 1.0 MB; if it is an archive, unpack it and import the folder"}},
		{"many members", zipOf(member{"a", blanks}, member{"b", blanks[:1<<20]}, member{"c", []byte("c")}), []string{
			"too large: inflates to more than 1.0 MB; if it is an archive, unpack it and import the folder", "",
			"too large: inflates to more than 2.0 MB, the rest was left out; unpack it and import the folder",
		}},
	}
	blanks = nil
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var reasons []string
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			for _, err := range ingest.Unpack("f", bytes.NewReader(test.data), lim) {
				if err == nil {
					reasons = append(reasons, "")
					continue
				}
				reasons = append(reasons, err.Error())
			}
			runtime.ReadMemStats(&after)
			if diff := cmp.Diff(test.reason, reasons); diff != "" {
				t.Error(diff)
			}
			// A growing buffer is copied, which makes a few times what it ends with,
			// for the file and for up to two members of 1 MB. A bomb has 64 MB.
			if got := after.TotalAlloc - before.TotalAlloc; got > 24<<20 {
				t.Errorf("%d bytes were allocated", got)
			}
		})
	}
}

// endless counts what is read of it.
type endless struct{ read int64 }

func (e *endless) Read(p []byte) (int, error) {
	e.read += int64(len(p))
	return len(p), nil
}

func TestUnpackReadsNoMoreThanTheLimit(t *testing.T) {
	lim := ingest.DefaultLimits
	lim.Raw = 1 << 20
	var r endless
	got := outcomes(ingest.Unpack("f", &r, lim))
	want := []outcome{{Path: "f", Reason: "too large: over 1.0 MB; if it is an archive, unpack it and import the folder"}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if r.read > lim.Raw+1 {
		t.Errorf("%d bytes were read", r.read)
	}
}

func TestUnpackReadError(t *testing.T) {
	broken := errors.New("disk is gone")
	r := io.MultiReader(strings.NewReader("<gpx>"), iotest.ErrReader(broken))
	for rec, err := range ingest.Unpack("f", r, ingest.DefaultLimits) {
		if !errors.Is(err, broken) || rec.Data != nil {
			t.Errorf("err = %v, data %q", err, rec.Data)
		}
	}
}

func TestUnpackStopsWhenTold(t *testing.T) {
	data := zipOf(member{"__MACOSX/x", nil}, member{"a", []byte("1")}, member{"b", []byte("2")})
	for most := 1; most <= 3; most++ {
		n := 0
		for range ingest.Unpack("f", bytes.NewReader(data), ingest.DefaultLimits) {
			if n++; n == most {
				break
			}
		}
		if n != most {
			t.Errorf("%d steps, want %d", n, most)
		}
	}
}
