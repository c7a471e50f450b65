package paper

import (
	"bytes"
	"embed"
	"fmt"
	"sync"

	"github.com/go-text/typesetting/font"
	"github.com/klauspost/compress/zstd"
)

//go:embed fonts/*.zst
var fontFiles embed.FS

// script is a font with the parts of Unicode that it is looked up for.
type script struct {
	file   string
	blocks [][2]rune
	drawn  bool // its letters are shaped, so they are outlines
}

// The two that every text begins with: Latin, Greek and Cyrillic.
const (
	regularFile = "NotoSans-Regular"
	boldFile    = "NotoSans-Bold"
)

// scripts are asked in this order after the first two. A font without blocks is asked
// for anything. Blocks are those of the Unicode Standard, chapter 24.
var scripts = []script{
	{"NotoSansArmenian-Regular", [][2]rune{{0x0530, 0x058F}, {0xFB13, 0xFB17}}, false},
	{"NotoSansHebrew-Regular", [][2]rune{{0x0590, 0x05FF}, {0xFB1D, 0xFB4F}}, true},
	{"NotoSansArabic-Regular", [][2]rune{{0x0600, 0x06FF}, {0x0750, 0x077F}, {0x08A0, 0x08FF}, {0xFB50, 0xFDFF}, {0xFE70, 0xFEFF}}, true},
	{"NotoSansDevanagari-Regular", [][2]rune{{0x0900, 0x097F}, {0xA8E0, 0xA8FF}, {0x1CD0, 0x1CFF}}, true},
	{"NotoSansBengali-Regular", [][2]rune{{0x0980, 0x09FF}}, true},
	{"NotoSansGurmukhi-Regular", [][2]rune{{0x0A00, 0x0A7F}}, true},
	{"NotoSansGujarati-Regular", [][2]rune{{0x0A80, 0x0AFF}}, true},
	{"NotoSansOriya-Regular", [][2]rune{{0x0B00, 0x0B7F}}, true},
	{"NotoSansTamil-Regular", [][2]rune{{0x0B80, 0x0BFF}}, true},
	{"NotoSansTelugu-Regular", [][2]rune{{0x0C00, 0x0C7F}}, true},
	{"NotoSansKannada-Regular", [][2]rune{{0x0C80, 0x0CFF}}, true},
	{"NotoSansMalayalam-Regular", [][2]rune{{0x0D00, 0x0D7F}}, true},
	{"NotoSansSinhala-Regular", [][2]rune{{0x0D80, 0x0DFF}}, true},
	{"NotoSansThai-Regular", [][2]rune{{0x0E00, 0x0E7F}}, true},
	{"NotoSansLao-Regular", [][2]rune{{0x0E80, 0x0EFF}}, true},
	{"NotoSansMyanmar-Regular", [][2]rune{{0x1000, 0x109F}, {0xA9E0, 0xA9FF}, {0xAA60, 0xAA7F}}, true},
	{"NotoSansGeorgian-Regular", [][2]rune{{0x10A0, 0x10FF}, {0x1C90, 0x1CBF}, {0x2D00, 0x2D2F}}, false},
	{"NotoSansEthiopic-Regular", [][2]rune{{0x1200, 0x139F}, {0x2D80, 0x2DDF}, {0xAB00, 0xAB2F}}, false},
	{"NotoSansKhmer-Regular", [][2]rune{{0x1780, 0x17FF}, {0x19E0, 0x19FF}}, true},
	{"NanumSquareR", [][2]rune{{0x1100, 0x11FF}, {0x3130, 0x318F}, {0xA960, 0xA97F}, {0xAC00, 0xD7FF}}, false},
	{file: "DroidSansFallbackFull"}, // Chinese and Japanese
	{file: "NotoSansSymbols2-Regular"},
}

// typeface is a font as it is embedded and as it is shaped with.
type typeface struct {
	bytes  []byte
	shapes *font.Font
}

// typefaces are unpacked when they are first needed, and kept.
var typefaces = func() map[string]func() typeface {
	all := make(map[string]func() typeface)
	for _, name := range append([]string{regularFile, boldFile}, files()...) {
		all[name] = sync.OnceValue(func() typeface { return unpack(name) })
	}
	return all
}()

func files() (names []string) {
	for _, s := range scripts {
		names = append(names, s.file)
	}
	return names
}

// unpack panics on what is not a font: the fonts are built in.
func unpack(name string) typeface {
	packed, err := fontFiles.ReadFile("fonts/" + name + ".ttf.zst")
	if err != nil {
		panic("paper: " + err.Error())
	}
	reader, err := zstd.NewReader(nil, zstd.WithDecoderConcurrency(1))
	if err != nil {
		panic("paper: " + err.Error())
	}
	defer reader.Close()
	b, err := reader.DecodeAll(packed, nil)
	if err != nil {
		panic("paper: unpack " + name + ": " + err.Error())
	}
	face, err := font.ParseTTF(bytes.NewReader(b))
	if err != nil {
		panic("paper: parse " + name + ": " + err.Error())
	}
	return typeface{b, face.Font}
}

// faces are the fonts of one document, which hold what they have looked up.
type faces struct {
	open map[string]*font.Face
	name map[*font.Face]string
}

func (f *faces) face(name string) *font.Face {
	if face, ok := f.open[name]; ok {
		return face
	}
	if f.open == nil {
		f.open, f.name = make(map[string]*font.Face), make(map[*font.Face]string)
	}
	face := font.NewFace(typefaces[name]().shapes)
	f.open[name], f.name[face] = face, name
	return face
}

// find returns the first font that has a character; false: none has.
func (f *faces) find(first string, r rune) (*font.Face, bool) {
	base := f.face(first)
	if _, ok := base.NominalGlyph(r); ok {
		return base, true
	}
	for i := range scripts {
		if !scripts[i].holds(r) {
			continue
		}
		face := f.face(scripts[i].file)
		if _, ok := face.NominalGlyph(r); ok {
			return face, true
		}
	}
	return base, false
}

func (s *script) holds(r rune) bool {
	for _, b := range s.blocks {
		if b[0] <= r && r <= b[1] {
			return true
		}
	}
	return len(s.blocks) == 0
}

// drawn tells of a font whose letters are outlines.
var drawn = func() map[string]bool {
	all := make(map[string]bool)
	for _, s := range scripts {
		all[s.file] = s.drawn
	}
	return all
}()

// chosen looks fonts up for a text that begins with one of the first two.
type chosen struct {
	*faces
	first string
}

// ResolveFace returns the font for a character.
func (c chosen) ResolveFace(r rune) *font.Face {
	face, _ := c.find(c.first, r)
	return face
}

// number is how a character is written that no font has.
func number(r rune) string { return fmt.Sprintf("[U+%04X]", r) }
