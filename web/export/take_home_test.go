package export_test

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
	"strings"
	"testing"
	"unicode/utf16"

	"tidemark/load/rehab"
	"tidemark/web/export"
)

// A sheet to take home is one page, with three complaints of nine exercises too; what has no
// room then is told.
func TestTakeHomePDF(t *testing.T) {
	for _, test := range []struct {
		name      string
		parts     int
		exercises int
	}{{"Osk", 0, 0}, {"Edda Quill", 1, 5}, {strings.Repeat("नेहा ", 40), 2, 7}, {"山田 さくら", 3, 9}} {
		home := &export.TakeHome{Name: test.name, Day: visited, Answer: "This week: 5 exercises and 3 runs.", RunsSay: "If each morning is as usual.", How: []string{"Walk before and after."}, Next: "Sunday 14 June 2026", Caution: "Follow your clinician."}
		for range test.parts {
			part := export.TakePart{Name: "Left Achilles tendon, 2-6 cm above the heel bone", Pain: []string{"Pain in the exercises: up to 5 of 10."}}
			for range test.exercises {
				part.Exercises = append(part.Exercises, export.TakeExercise{Name: "Lowering on one leg off a step, knee straight", Amount: "3 × 15, as heavy as can be lifted 15 times, on the side that hurts", Days: "Sun 3 May, Tue 5 May, Thu 7 May"})
			}
			home.Parts = append(home.Parts, part)
		}
		for _, f := range rehab.RedFlags {
			home.Stop = append(home.Stop, export.Figure{Name: f.Sign, Text: f.Do})
		}
		held(t, export.TakeHomeSheet(home, noonOf(visited)))
		var b bytes.Buffer
		if err := export.TakeHomePDF(&b, home, noonOf(visited)); err != nil || b.Len() >= mostBytes || len(pageOf.FindAll(b.Bytes(), -1)) != 1 {
			t.Errorf("%d complaints: %d bytes, %v", test.parts, b.Len(), err)
		}
		text := unpacked(b.Bytes())
		for _, f := range rehab.RedFlags {
			if !bytes.Contains(text, wide(f.Sign[:20])) || !bytes.Contains(text, wide(f.Do[:12])) {
				t.Errorf("%d complaints: the sheet does not say %q", test.parts, f.Sign)
			}
		}
		if cut := bytes.Contains(text, wide("There was no room")); cut != (test.parts == 3) {
			t.Errorf("%d complaints: cut is %t", test.parts, cut)
		}
	}
}

// unpacked are the streams of a file, and wide a text as it stands in them.
func unpacked(file []byte) (all []byte) {
	for part := range bytes.SplitSeq(file, []byte("stream\n")) {
		if z, err := zlib.NewReader(bytes.NewReader(part)); err == nil {
			text, _ := io.ReadAll(z) // the end of the part is no part of the stream
			all = append(all, text...)
		}
	}
	return all
}

func wide(text string) (b []byte) {
	for _, u := range utf16.Encode([]rune(text)) {
		b = binary.BigEndian.AppendUint16(b, u)
	}
	return b
}
