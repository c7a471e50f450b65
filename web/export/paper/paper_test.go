package paper_test

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"

	"tidemark/web/export/paper"
)

// names are invented, in the scripts that have a font of their own here.
var names = []struct{ script, name string }{
	{"Latin", "Łukasz Żądło Nguyễn Thị Hương"},
	{"Greek", "Σωκράτης Παπαδόπουλος"},
	{"Cyrillic", "Пётр Жданов"},
	{"Armenian", "Գրիգոր Սարյան"},
	{"Hebrew", "נועה בן־דוד"},
	{"Arabic", "عبد الرحمن لاشين"},
	{"Devanagari", "प्रिया क्षत्रिय"},
	{"Bengali", "অনিন্দিতা"},
	{"Gurmukhi", "ਗੁਰਪ੍ਰੀਤ"},
	{"Gujarati", "જ્યોતિ"},
	{"Odia", "ପ୍ରିୟା"},
	{"Tamil", "தமிழ்ச்செல்வி"},
	{"Telugu", "శ్రీనివాస్"},
	{"Kannada", "ಶ್ರೀಧರ"},
	{"Malayalam", "ലക്ഷ്മി"},
	{"Sinhala", "ශ්\u200Dරියානි"},
	{"Thai", "สมชาย น้ำใจ"},
	{"Lao", "ນ້ອຍ"},
	{"Khmer", "ស្រីមុំ"},
	{"Myanmar", "မြမြအေး"},
	{"Georgian", "გიორგი"},
	{"Ethiopic", "ሰላማዊት"},
	{"Chinese", "王小明 陳大文"},
	{"Japanese", "山田 さくら カタカナ"},
	{"Korean", "김민준 뷁"},
	{"signs", "★ ♥ ✓"},
}

var made = time.Date(2026, time.May, 31, 10, 0, 0, 0, time.UTC)

func document(title string) *paper.Document {
	d := paper.New(paper.About{Title: title, Language: "en", Made: made})
	d.Page()
	return d
}

// written returns the file, and its streams unpacked.
func written(t testing.TB, d *paper.Document) (file, streams []byte) {
	t.Helper()
	var b bytes.Buffer
	if n, err := d.WriteTo(&b); err != nil || n != int64(b.Len()) {
		t.Fatalf("%d of %d bytes, %v", n, b.Len(), err)
	}
	for part := range bytes.SplitSeq(b.Bytes(), []byte("stream\n")) {
		z, err := zlib.NewReader(bytes.NewReader(part))
		if err != nil {
			continue
		}
		if text, err := io.ReadAll(z); err == nil {
			streams = append(streams, text...)
		}
	}
	return b.Bytes(), streams
}

// wide is a text in UTF-16, the most significant byte first.
func wide(text string) (b []byte) {
	for _, u := range utf16.Encode([]rune(text)) {
		b = binary.BigEndian.AppendUint16(b, u)
	}
	return b
}

// Each name is drawn with glyphs of its own, and each of its letters is in the text that
// a search goes through.
func TestNames(t *testing.T) {
	for _, n := range names {
		t.Run(n.script, func(t *testing.T) {
			d := document(n.name)
			b := d.Lay(n.name, paper.Style{Size: 12}, 400)
			if b.Lines() != 1 || b.Glyphs() == 0 || b.Empty() > 0 || len(d.Unwritten()) > 0 {
				t.Errorf("%d lines, %d glyphs, %d of them empty, unwritten %v", b.Lines(), b.Glyphs(), b.Empty(), d.Unwritten())
			}
			d.Put(b, 50, 50)
			file, streams := written(t, d)
			if !bytes.Contains(file, escaped(wide(n.name))) {
				t.Error("the title does not hold the name")
			}
			for _, r := range n.name {
				if r != '\u200D' && !bytes.Contains(streams, escaped(wide(string(r)))) {
					t.Errorf("%q is in no text", r)
				}
			}
			t.Logf("%d bytes", len(file))
		})
	}
}

// escaped writes bytes as they stand in a string of a PDF (ISO 32000-1, 7.3.4.2).
func escaped(b []byte) []byte {
	for _, c := range []string{`\`, "(", ")"} {
		b = bytes.ReplaceAll(b, []byte(c), []byte(`\`+c))
	}
	return bytes.ReplaceAll(b, []byte("\r"), []byte(`\r`))
}

// Glyphs are counted by the rules of each script, as its readers write it.
func TestShapes(t *testing.T) {
	for _, test := range []struct {
		text   string
		glyphs int
	}{
		{"لا", 1},        // lam and alef are one by the rules of the script
		{"क्ष", 1},       // a conjunct of three characters
		{"e\u0301", 1},   // composed to U+00E9
		{"fi", 2},        // Latin letters stay apart, so that they are text
		{"ab\u200Bc", 3}, // what cannot be seen is left out
	} {
		d := document("")
		b := d.Lay(test.text, paper.Style{Size: 12}, 400)
		if b.Glyphs() != test.glyphs {
			t.Errorf("%q has %d glyphs, want %d", test.text, b.Glyphs(), test.glyphs)
		}
	}
}

// What no font has is written by its number and told, not left empty.
func TestUnwritten(t *testing.T) {
	d := document("")
	b := d.Lay("Osk 🏃 and \U00020BB7, 🏃 again", paper.Style{Size: 12}, 400)
	if diff := cmp.Diff([]string{"[U+1F3C3]", "[U+20BB7]"}, d.Unwritten()); diff != "" {
		t.Error(diff)
	}
	if b.Empty() > 0 {
		t.Errorf("%d glyphs are empty", b.Empty())
	}
	d.Put(b, 50, 50)
	if _, streams := written(t, d); !bytes.Contains(streams, wide("U+1F3C3")) {
		t.Error("the number is not written")
	}
}

// A name of 200 characters without a space is broken, and cut where it may have two lines.
func TestLong(t *testing.T) {
	for _, n := range append(names, struct{ script, name string }{"marks", "Z" + strings.Repeat("\u0335\u0321\u0306", 60)}) {
		name := strings.Repeat(strings.ReplaceAll(n.name, " ", ""), 200/len([]rune(n.name))+1)
		for _, most := range []int{0, 2} {
			d := document("")
			b := d.Lay(name, paper.Style{Size: 14, Bold: true, Most: most}, 180)
			if most > 0 && b.Lines() > most || most == 0 && n.script != "marks" && b.Lines() < 3 {
				t.Errorf("%s: %d lines of %d", n.script, b.Lines(), most)
			}
			bottom := d.Put(b, 50, 50)
			within(t, d, paper.Box{X: 50, Y: 50, Width: 180, Height: bottom - 50})
		}
	}
}

// within wants all ink in a box, and no line over another.
func within(t testing.TB, d *paper.Document, box paper.Box) {
	t.Helper()
	const much = 0.05 // points; the shaper counts in 1/1024 of one
	last := box.Y
	for _, ink := range d.Ink() {
		if ink.X < box.X-much || ink.X+ink.Width > box.X+box.Width+much || ink.Y < last-much || ink.Y+ink.Height > box.Y+box.Height+much {
			t.Errorf("ink at %+v leaves %+v, or runs into the line above, which ends at %.2f", ink, box, last)
		}
		last = ink.Y + ink.Height
	}
}

// A name set apart does not turn the date beside it: read from left to right the name
// comes first, then the comma, then the day.
func TestApart(t *testing.T) {
	order := func(text string) int {
		d := document("")
		d.Write(text, paper.Style{Size: 12}, 50, 50, 400)
		_, streams := written(t, d)
		return bytes.Index(streams, wide("31 May")) - bytes.Index(streams, wide("נ"))
	}
	if order(paper.Apart("נועה")+", 31 May") < 0 {
		t.Error("the day comes before the name")
	}
	if got := paper.Apart("a\u2069b"); got != "\u2068ab\u2069" {
		t.Errorf("%q", got)
	}
}

// What somebody wrote in Hebrew stands at the right.
func TestOwnWords(t *testing.T) {
	for _, test := range []struct {
		text  string
		right bool
	}{{"עקב טוב", true}, {"14, עקב טוב", true}, {"14 km, עקב טוב", false}, {"Better", false}, {"14", false}} {
		d := document("")
		d.Write(test.text, paper.Style{Size: 12, Own: true}, 50, 50, 400)
		ink := d.Ink()[0]
		if right := ink.X+ink.Width > 440; right != test.right {
			t.Errorf("%q from %.0f to %.0f", test.text, ink.X, ink.X+ink.Width)
		}
	}
}

// The same document is the same file, made alone or beside others: the fonts are shared.
func TestSideBySide(t *testing.T) {
	files := make([][]byte, 6)
	var all sync.WaitGroup
	for i := range files {
		all.Go(func() {
			d := document("עבד")
			for k, n := range names {
				d.Write(n.name, paper.Style{Size: 12}, 50, float64(20+30*k), 400)
			}
			var b bytes.Buffer
			if _, err := d.WriteTo(&b); err != nil {
				t.Error(err)
			}
			files[i] = b.Bytes()
		})
	}
	all.Wait()
	for i := range files {
		if !bytes.Equal(files[i], files[0]) {
			t.Errorf("file %d is another one", i)
		}
	}
}

// The file says what it is, and holds as many pages as were begun.
func TestFile(t *testing.T) {
	d := document("Visit")
	d.Page()
	d.Line(10, 10, 20, 20, paper.Stroke(0.5, 1, 2, 2))
	d.Rect(paper.Box{X: 10, Y: 10, Width: 5, Height: 5}, paper.Fill(0.5))
	d.Circle(50, 50, 3, paper.Stroke(0, 1))
	d.Polygon([]paper.Point{{X: 60, Y: 60}, {X: 64, Y: 68}, {X: 56, Y: 68}}, paper.Fill(0))
	file, _ := written(t, d)
	if d.Pages() != 2 || len(regexp.MustCompile(`/Type /Page\n`).FindAll(file, -1)) != 2 {
		t.Errorf("%d pages", d.Pages())
	}
	for _, want := range []string{"/Lang (en)", "/CreationDate (D:20260531100000", "/Title "} {
		if !bytes.Contains(file, []byte(want)) {
			t.Errorf("the file does not say %s", want)
		}
	}
}

// FuzzLay lays any text out: it stays in its box, has no empty glyph, and makes a file.
func FuzzLay(f *testing.F) {
	for _, n := range names {
		f.Add(n.name, n.script == "Hebrew")
	}
	for _, s := range []string{"", "\xff\xfe", "a\nb\r\nc\td", "\u202Eabc", "🏳️‍🌈", strings.Repeat("W", 400), strings.Repeat("\u0ACD\u0CCD", 100), "\u2068\u2068\u2069", "\u115F\u3164"} {
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, text string, own bool) {
		if len(text) > 400 {
			return
		}
		d := document(text)
		for _, most := range []int{0, 1} {
			b := d.Lay(text, paper.Style{Size: 10, Own: own, Most: most, Bold: most == 1}, 120)
			if b.Empty() > 0 {
				t.Errorf("%d empty glyphs in %q", b.Empty(), text)
			}
			before := len(d.Ink())
			bottom := d.Put(b, 100, 100)
			ink := paper.Box{X: 100, Y: 100, Width: 120, Height: bottom - 100}
			for _, i := range d.Ink()[before:] {
				if i.X < ink.X-0.05 || i.X+i.Width > ink.X+ink.Width+0.05 || i.Y < ink.Y-0.05 || i.Y+i.Height > ink.Y+ink.Height+0.05 {
					t.Errorf("%q: ink at %+v leaves %+v", text, i, ink)
				}
			}
			if most == 1 && b.Lines() > 1 {
				t.Errorf("%d lines", b.Lines())
			}
		}
		written(t, d)
	})
}

func BenchmarkLatin(b *testing.B) { bench(b, names[:1]) }

func BenchmarkEveryScript(b *testing.B) { bench(b, slices.Clone(names)) }

func bench(b *testing.B, names []struct{ script, name string }) {
	for b.Loop() {
		d := document("")
		for i, n := range names {
			d.Write(n.name, paper.Style{Size: 12}, 50, float64(20+30*i), 400)
		}
		if _, err := d.WriteTo(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
