package export

import (
	"archive/zip"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
)

// Logbook writes everything that is kept of a runner as a zip (APPNOTE.TXT 6.3): the
// originals, tables as CSV, all of it as JSON with its JSON Schema, and a text that says what
// each is. The same logbook on the same day is the same zip, byte for byte.
//
// content returns the bytes of an original; they are read one after another while the zip is
// written, so that it takes the memory of one. After an error the zip has no directory, and
// nobody takes it for a whole one.
func Logbook(w io.Writer, whole *journal.Whole, on load.Day, content func(journal.Sum) ([]byte, error)) error {
	files := originalNames(whole.Originals)
	z := zip.NewWriter(w)
	for _, m := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"README.txt", func(w io.Writer) error { return writeReadme(w, whole, on) }},
		{wire.LogbookFile, func(w io.Writer) error { return writeJSON(w, &whole.Kept, files) }},
		{"schema.json", func(w io.Writer) error { _, err := w.Write(wire.LogbookSchema); return err }},
		{"runs.csv", func(w io.Writer) error {
			return CSV(w, whole.Input.Sessions, load.Doubles(whole.Input.Sessions), whole.Input.Settings)
		}},
		{"days.csv", func(w io.Writer) error { return writeDays(w, whole.Input, on) }},
		{"mornings.csv", func(w io.Writer) error { return writeMornings(w, &whole.Kept) }},
		{"rehab.csv", func(w io.Writer) error { return writeRehab(w, &whole.Kept) }},
	} {
		if err := addMember(z, m.name, on.Noon(), m.write); err != nil {
			return fmt.Errorf("write logbook: %s: %w", m.name, err)
		}
	}
	for i, o := range whole.Originals {
		err := addMember(z, files[i], o.Added.Time(), func(w io.Writer) error {
			data, err := content(o.Sum)
			if err == nil {
				_, err = w.Write(data)
			}
			return err
		})
		if err != nil {
			return fmt.Errorf("write logbook: %w", err) // which original, the error says, by its sum
		}
	}
	if err := z.Close(); err != nil {
		return fmt.Errorf("write logbook: %w", err)
	}
	return nil
}

func addMember(z *zip.Writer, name string, modified time.Time, write func(io.Writer) error) error {
	w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: modified})
	if err != nil {
		return err
	}
	return write(w)
}

func writeJSON(w io.Writer, k *journal.Kept, files []string) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(wire.FromKept(k, files))
}

// writeDays writes the windows of every measure, from the first day of which something is
// known.
func writeDays(w io.Writer, in *load.Input, on load.Day) error {
	from, any := firstDay(in)
	book := load.NewLogbook(in)
	return dayTable(w, load.Measures, func(m load.Measure) []load.DayRow {
		if !any || from > on {
			return nil
		}
		return book.History(m).DayRows(from, on)
	})
}

func firstDay(in *load.Input) (first load.Day, any bool) {
	for i := range in.Sessions {
		if day := in.Sessions[i].Day; !any || day < first {
			first, any = day, true
		}
	}
	return first, any
}

// The name of an original in the zip; project defaults.
const (
	mostStem = 80 // characters, so that the whole stays below what file systems take
	mostEnd  = 8
)

// originalNames gives each original a name that any system can write and that no other has,
// small letters or capitals: that of its file where it can be, else with the beginning of
// its sum.
func originalNames(originals []journal.Original) []string {
	out := make([]string, len(originals))
	taken := make(map[string]bool, len(originals))
	for i, o := range originals {
		stem, end := plainName(o)
		name, sum := stem+end, o.Sum.String()
		for n := 1; taken[strings.ToLower(name)]; n++ {
			name = stem + "-" + sum[:8] + end
			if n > 1 {
				name = fmt.Sprintf("%s-%s-%d%s", stem, sum[:8], n, end)
			}
		}
		taken[strings.ToLower(name)] = true
		out[i] = wire.OriginalsFolder + name
	}
	return out
}

// plainName is the last part of where an original came from, without what a system could
// take for anything but a name. Originals are kept inflated, so .gz says nothing of them.
func plainName(o journal.Original) (stem, end string) {
	name := o.Path[strings.LastIndexAny(o.Path, `/\!:`)+1:]
	if n := len(name) - len(".gz"); n > 0 && strings.EqualFold(name[n:], ".gz") {
		name = name[:n]
	}
	name = strings.Trim(strings.Map(plainLetter, name), "._-")
	stem = name
	if dot := strings.LastIndexByte(name, '.'); dot > 0 && len(name)-dot <= mostEnd {
		stem, end = name[:dot], name[dot:]
	}
	stem = strings.Trim(stem[:min(len(stem), mostStem)], "._-")
	if stem == "" || reserved[strings.ToLower(strings.SplitN(stem, ".", 2)[0])] {
		stem = "file-" + o.Sum.String()[:16]
	}
	return stem, end
}

// plainLetter keeps letters and digits of ASCII, which every zip reader shows alike.
func plainLetter(r rune) rune {
	switch {
	case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '.', r == '-':
		return r
	}
	return '_'
}

// reserved are names of devices on Windows, with whatever ending (value from memory).
var reserved = map[string]bool{
	"con": true, "prn": true, "aux": true, "nul": true,
	"com1": true, "com2": true, "com3": true, "com4": true, "com5": true, "com6": true, "com7": true, "com8": true, "com9": true,
	"lpt1": true, "lpt2": true, "lpt3": true, "lpt4": true, "lpt5": true, "lpt6": true, "lpt7": true, "lpt8": true, "lpt9": true,
}
