package ingest_test

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"iter"
	"runtime"
	"strings"
	"testing"

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
	for rec, err := range ingest.Unpack("export.zip", bytes.NewReader(archive), int64(len(archive)), ingest.DefaultLimits) {
		if err != nil {
			fmt.Printf("%s: %v\n", rec.Path, err)
			continue
		}
		fmt.Printf("%s: %d bytes, %.3x\n", rec.Path, len(rec.Data), rec.Sum())
	}
	// Output:
	// export.zip!june/monday.gpx: 6 bytes, b53b9a
	// export.zip!june/tuesday.gpx.gz: 20 bytes, c7a473
	// export.zip!june/more.zip!a.gpx: 6 bytes, b53b9a
}

func unpack(name string, data []byte, lim ingest.Limits) iter.Seq2[ingest.Recording, error] {
	return ingest.Unpack(name, bytes.NewReader(data), int64(len(data)), lim)
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
		{"gzip cut in its header", packed[:5], []outcome{{Path: "f", Reason: "cut short (gzip)"}}},
		{"gzip in gzip", gzipOf(packed), []outcome{{Path: "f", Reason: "archive inside an archive: unpack it first"}}},
		{"zip in gzip", gzipOf(zipOf(member{"a", nil})), []outcome{{Path: "f", Reason: "archive inside an archive: unpack it first"}}},
		{"zip", zipOf(member{"a", []byte("1")}, member{"b", []byte("2")}), []outcome{{Path: "f!a", Data: "1"}, {Path: "f!b", Data: "2"}}},
		{"gzip in zip", zipOf(member{"a.gz", packed}), []outcome{{Path: "f!a.gz", Data: text}}},
		{"gzip in gzip in zip", zipOf(member{"a", gzipOf(packed)}, member{"b", nil}), []outcome{
			{Path: "f!a", Reason: "archive inside an archive: unpack it first"}, {Path: "f!b"},
		}},
		{"zip in zip", zipOf(member{"a.zip", zipOf(member{"b", []byte("1")}, member{"c.gz", packed})}, member{"d", []byte("2")}), []outcome{
			{Path: "f!a.zip!b", Data: "1"}, {Path: "f!a.zip!c.gz", Data: text}, {Path: "f!d", Data: "2"},
		}},
		{"zip in zip in zip", zipOf(member{"a.zip", zipOf(member{"b.zip", zipOf()}, member{"c", []byte("1")})}), []outcome{
			{Path: "f!a.zip!b.zip", Reason: "archive inside an archive: unpack it first"}, {Path: "f!a.zip!c", Data: "1"},
		}},
		{"empty zip in zip", zipOf(member{"a.zip", zipOf()}), []outcome{{Path: "f!a.zip", Reason: "no activity in it: no file in the archive"}}},
		{"damaged zip in zip", zipOf(member{"a.zip", zipOf(member{"a", []byte(text)})[:60]}, member{"b", []byte("1")}), []outcome{
			{Path: "f!a.zip", Reason: "archive cannot be read: cut short or damaged, no directory at its end; copy or download it again (zip)"},
			{Path: "f!b", Data: "1"},
		}},
		{"name in any script", zipOf(member{"\u062c\u0631\u064a/\u8d70\u308b \U0001f3c3.gpx", []byte("1")}), []outcome{{Path: "f!\u062c\u0631\u064a/\u8d70\u308b \U0001f3c3.gpx", Data: "1"}}},
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
			{Path: "f!a.fit", Reason: "archive cannot be read: packed by method 99, which is not read; unpack it and import the folder"},
		}},
		{"member with a wrong checksum", zipWith(func(*zip.FileHeader) {}, "abcd"), []outcome{
			{Path: "f!a.fit", Data: "abcd", Notes: []load.NoteCode{load.NoteChecksum}},
		}},
		{"member that ends early", zipWith(func(h *zip.FileHeader) { h.Method = zip.Deflate }, "abcd"), []outcome{
			{Path: "f!a.fit", Reason: "cut short (zip)"},
		}},
		{"zip without a directory", zipOf(member{"a", []byte(text)})[:60], []outcome{
			{Path: "f", Reason: "archive cannot be read: cut short or damaged, no directory at its end; copy or download it again (zip)"},
		}},
		{"spreadsheet", zipOf(member{"[Content_Types].xml", nil}, member{"xl/workbook.xml", nil}), []outcome{
			{Path: "f", Reason: "not a recording: looks like an office document; save a spreadsheet as CSV"},
		}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := outcomes(unpack("f", test.data, ingest.DefaultLimits))
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
			for rec, err := range unpack("d", data, ingest.DefaultLimits) {
				if _, ok := errors.AsType[*load.DecodeError](err); !ok || rec.Data != nil {
					t.Errorf("err = %v with %d bytes, want a DecodeError", err, len(rec.Data))
				}
			}
		})
	}
}

// Files of all levels count together, what systems add does not.
func TestUnpackStopsAtManyMembers(t *testing.T) {
	lim := ingest.DefaultLimits
	lim.Members = 50
	var members, inner []member
	for i := range 30 {
		members = append(members, member{fmt.Sprintf("%02d", i), []byte("1")}, member{fmt.Sprintf("__MACOSX/._%02d", i), nil})
		inner = append(inner, member{fmt.Sprint(i), []byte("1")})
	}
	members = append(members, member{"more.zip", zipOf(inner...)})
	var good, aside int
	var last error
	for _, err := range unpack("f", zipOf(members...), lim) {
		switch last = err; {
		case err == nil:
			good++
		case errors.Is(err, ingest.ErrAside):
			aside++
		}
	}
	if good != 49 || aside != 30 { // more.zip is the 50th
		t.Errorf("%d files and %d asides, want 49 and 30", good, aside)
	}
	const want = "too many files in one archive: those after the first 50 were left out; unpack it and import the folder"
	if last == nil || last.Error() != want {
		t.Errorf("last = %v, want %s", last, want)
	}
}

// A directory of too many entries is refused before it is read, whether or not the
// archive owns up to them.
func TestUnpackRefusesHugeDirectory(t *testing.T) {
	members := make([]member, 50_001)
	for i := range members {
		members[i].name = fmt.Sprint(i)
	}
	whole := zipOf(members...)
	forged := bytes.Clone(whole)
	end := bytes.LastIndex(forged, []byte("PK\x05\x06"))
	copy(forged[end+8:], []byte{1, 0, 1, 0}) // it says that there is one
	for name, data := range map[string][]byte{"honest": whole, "forged": forged} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			got := outcomes(unpack("f", data, ingest.DefaultLimits))
			runtime.ReadMemStats(&after)
			if len(got) != 1 || !strings.Contains(got[0].Reason, "too many files in one archive: about 50001") {
				t.Errorf("got %v", got)
			}
			if grown := after.TotalAlloc - before.TotalAlloc; grown > 4<<20 {
				t.Errorf("%d bytes were allocated to count", grown)
			}
		})
	}
}

// Five thousand files of 20 kB, half of them in a zip of their own: what is held at
// one time is the inner zip and a recording, not the sum of them.
func TestUnpackHoldsOneAtATime(t *testing.T) {
	track := bytes.Repeat([]byte("0123456789abcdef"), 1250)
	var outer, inner []member
	for i := range 2500 {
		outer = append(outer, member{fmt.Sprintf("%d/a.gpx", i), track})
		inner = append(inner, member{fmt.Sprintf("%d/b.gpx", i), track})
	}
	data := zipOf(append(outer, member{"inner.zip", zipOf(inner...)})...)
	outer, inner = nil, nil
	heap := func() uint64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	before, most, n := heap(), uint64(0), 0
	for rec, err := range unpack("f", data, ingest.DefaultLimits) {
		if err != nil || len(rec.Data) != len(track) {
			t.Fatalf("%s: %v", rec.Path, err)
		}
		if n++; n%500 == 0 {
			most = max(most, heap())
		}
	}
	// 100 MB in all; the directories of two archives of 2500 entries and the inner
	// archive, 2 MB, are held.
	if n != 5000 || most > before+8<<20 {
		t.Errorf("%d recordings, %d bytes more at most", n, most-before)
	}
}

// What is allocated is bounded by the limits and not by what an archive claims
// or would inflate to.
func TestUnpackBombs(t *testing.T) {
	lim := ingest.DefaultLimits
	lim.Raw, lim.Inflated, lim.Archive = 1<<20, 1<<20, 2<<20
	blanks := bytes.Repeat([]byte(" "), 64<<20)
	bomb := gzipOf(blanks)
	tests := []struct {
		name   string
		data   []byte
		reason []string
	}{
		{"gzip", bomb, []string{"too large: inflates to more than 1.0 MB"}},
		{"gzip in zip", zipOf(member{"a", bomb}), []string{"too large: inflates to more than 1.0 MB"}},
		{"member", zipOf(member{"a", blanks}), []string{"too large: inflates to more than 1.0 MB, which no recording does"}},
		{"many members", zipOf(member{"a", blanks}, member{"b", blanks[:1<<20]}, member{"c", []byte("c")}), []string{
			"too large: inflates to more than 1.0 MB, which no recording does", "",
			"too large: it inflates to more than 2.0 MB, and the rest was left out; unpack it and import the folder",
		}},
	}
	blanks = nil
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var reasons []string
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			for _, err := range unpack("f", test.data, lim) {
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

// endless is a file that has no end.
type endless struct{ read int64 }

func (e *endless) ReadAt(p []byte, _ int64) (int, error) {
	e.read += int64(len(p))
	return len(p), nil
}

// The size that a file had says little: it may be growing.
func TestUnpackReadsNoMoreThanTheLimit(t *testing.T) {
	lim := ingest.DefaultLimits
	lim.Raw = 1 << 20
	for _, size := range []int64{0, 1 << 40} {
		var r endless
		got := outcomes(ingest.Unpack("f", &r, size, lim))
		want := []outcome{{Path: "f", Reason: "too large: over 1.0 MB, which no recording is"}}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Error(diff)
		}
		if r.read > lim.Raw+64<<10 {
			t.Errorf("%d bytes were read", r.read)
		}
	}
}

// broken is a file on a disk that is gone.
type broken struct{ err error }

func (b broken) ReadAt(p []byte, at int64) (int, error) {
	if at == 0 && len(p) > 4 {
		return copy(p, "<gpx>"), b.err
	}
	return 0, b.err
}

func TestUnpackReadError(t *testing.T) {
	gone := errors.New("disk is gone")
	n := 0
	for rec, err := range ingest.Unpack("f", broken{gone}, 1000, ingest.DefaultLimits) {
		if n++; !errors.Is(err, gone) || rec.Data != nil {
			t.Errorf("err = %v, data %q", err, rec.Data)
		}
	}
	if n != 1 {
		t.Errorf("%d outcomes", n)
	}
}

func TestUnpackStopsWhenTold(t *testing.T) {
	data := zipOf(member{"__MACOSX/x", nil}, member{"a", []byte("1")}, member{"b", []byte("2")})
	for most := 1; most <= 3; most++ {
		n := 0
		for range unpack("f", data, ingest.DefaultLimits) {
			if n++; n == most {
				break
			}
		}
		if n != most {
			t.Errorf("%d steps, want %d", n, most)
		}
	}
}
