package intake_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tidemark/ingest"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/api/intake"
	"tidemark/web/api/wire"
	"tidemark/web/export"
)

// logbook is the zip of a runner with two diaries and a complaint.
func logbook(t testing.TB) []byte {
	t.Helper()
	b := bookOf(t)
	ctx := t.Context()
	path := filepath.Join(t.TempDir(), "first.csv")
	other := filepath.Join(filepath.Dir(path), "second.csv")
	for name, text := range map[string]string{path: diary, other: "date,kind,duration_min\n2026-03-04,rest,\n2026-03-05,walk,40\n"} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var err error
	for _, name := range []string{path, other} {
		_, err = takeIn(t, b, options, name)
		check(t, err)
	}
	c := rehab.Complaint{Site: rehab.Calf, Onset: 20500, Steps: []rehab.Step{{Day: 20500, Status: rehab.Open}}}
	_, err = b.OpenComplaint(ctx, c, []rehab.Side{rehab.Left}, "a hill")
	check(t, err)
	check(t, b.Set(ctx, "heart-max", 20500, "181"))
	whole, err := b.Whole(ctx, 20530)
	check(t, err)
	var out bytes.Buffer
	check(t, export.Logbook(&out, &whole, 20530, func(sum journal.Sum) ([]byte, error) { return b.Original(ctx, sum) }))
	return out.Bytes()
}

func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// takeIn hands files in with options of one's own.
func takeIn(t testing.TB, b *journal.Book, opt intake.Options, files ...string) (told []intake.Result, err error) {
	t.Helper()
	err = intake.Take(t.Context(), b, func(yield func(intake.File) bool) {
		for _, path := range files {
			if !yield(intake.File{Path: filepath.Base(path), Open: func() (intake.Source, error) { return opened(path) }}) {
				return
			}
		}
	}, opt, func(r intake.Result) { told = append(told, r) }, func(intake.Step) {})
	return told, err
}

type source struct {
	*bytes.Reader
	io.Closer
}

func opened(path string) (intake.Source, error) {
	data, err := os.ReadFile(path)
	return source{bytes.NewReader(data), io.NopCloser(nil)}, err
}

// member is one file of a zip.
type member struct{ name, text string }

func unpacked(t testing.TB, data []byte) (out []member) {
	t.Helper()
	r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	check(t, err)
	for _, f := range r.File {
		in, err := f.Open()
		check(t, err)
		text, err := io.ReadAll(in)
		check(t, err)
		out = append(out, member{f.Name, string(text)})
	}
	return out
}

func packed(t testing.TB, members []member) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, m := range members {
		to, err := w.Create(m.name)
		check(t, err)
		_, err = io.WriteString(to, m.text)
		check(t, err)
	}
	check(t, w.Close())
	return out.Bytes()
}

// edited is the zip with each member changed, or left out if it has no name then.
func edited(t testing.TB, data []byte, change func(m *member)) []byte {
	var out []member
	for _, m := range unpacked(t, data) {
		change(&m)
		if m.name != "" {
			out = append(out, m)
		}
	}
	return packed(t, out)
}

// outcomes sums up what was told, one line each.
func outcomes(told []intake.Result) string {
	var lines []string
	for _, r := range told {
		line := fmt.Sprintf("%s %v %d/%d", r.Path, r.Added, len(r.Sessions), r.Entries)
		if r.Err != nil {
			line = fmt.Sprintf("%s: %v", r.Path, r.Err)
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "\n")
}

func TestTakeLogbook(t *testing.T) {
	whole := logbook(t)
	opt := options
	opt.Whole = true
	try := func(t *testing.T, opt intake.Options, data []byte, times int) (told string, b *journal.Book) {
		t.Helper()
		b = bookOf(t)
		path := filepath.Join(t.TempDir(), "a.zip")
		check(t, os.WriteFile(path, data, 0o600))
		for range times {
			results, err := takeIn(t, b, opt, path)
			check(t, err)
			told = outcomes(results)
		}
		return told, b
	}
	// Of the logbook: three zones, a rest, a complaint with its step, a setting.
	all := "a.zip!originals/first.csv true 2/0\na.zip!originals/second.csv true 1/0\na.zip!logbook.json true 0/7"
	t.Run("whole", func(t *testing.T) {
		got, b := try(t, opt, whole, 1)
		if got != all {
			t.Errorf("told\n%s\nwant\n%s", got, all)
		}
		if stale, err := b.Stale(t.Context()); stale || err != nil {
			t.Errorf("stale %v, %v", stale, err)
		}
		again, _ := try(t, opt, whole, 2)
		if want := strings.NewReplacer("true", "false", "0/7", "0/0").Replace(all); again != want {
			t.Errorf("again\n%s\nwant\n%s", again, want)
		}
	})
	t.Run("not asked for", func(t *testing.T) {
		if got, _ := try(t, options, whole, 1); got != "a.zip: "+intake.ErrWhole.Error() {
			t.Errorf("told %s", got)
		}
	})
	t.Run("packed anew", func(t *testing.T) {
		in := edited(t, whole, func(m *member) { m.name = "edda/" + m.name })
		if got, _ := try(t, opt, in, 1); got != strings.ReplaceAll(all, "logbook.json", "edda/logbook.json") {
			t.Errorf("told\n%s", got)
		}
	})
	for name, tt := range map[string]struct {
		change func(m *member)
		want   string
	}{
		"another original": {
			func(m *member) { m.text = swap(m, "first.csv", "6.2", "7.2") },
			"first.csv: its SHA-256 is not the one in logbook.json",
		},
		"a longer original": {
			func(m *member) { m.text = swap(m, "first.csv", "6.2", strings.Repeat("6", 1<<20)) },
			"first.csv: its SHA-256 is not the one in logbook.json",
		},
		"no original": {
			func(m *member) { m.name = strings.Replace(m.name, "originals/first.csv", "", 1) },
			"first.csv: it is not in the zip",
		},
		"two originals in one member": {
			func(m *member) { m.text = swap(m, "logbook.json", "originals/first.csv", "originals/second.csv") },
			"second.csv: it is not in the zip",
		},
		"an original elsewhere": {
			func(m *member) { m.text = swap(m, "logbook.json", "originals/first.csv", "originals/../../x") },
			`read logbook.json: originals[0].file: "originals/../../x": want a plain name in originals/`,
		},
		"as large as can be": {
			func(m *member) { m.text = swap(m, "logbook.json", `"size_bytes": `, `"size_bytes": 99999999999`) },
			"read logbook.json: originals[0].size_bytes: too large",
		},
		"a newer version": {
			func(m *member) { m.text = swap(m, "logbook.json", `"version": 1`, `"version": 2`) },
			"read logbook.json: it is of version 2, and this program reads up to 1",
		},
		"damaged JSON": {
			func(m *member) { m.text = swap(m, "logbook.json", `"runner": {`, `"runner" {`) },
			"(line 4, column 11, byte 58)",
		},
		"a wrong value": {
			func(m *member) { m.text = swap(m, "logbook.json", `"value": "181"`, `"value": "9181"`) },
			"read logbook.json: setting 1: ",
		},
		"a JSON that inflates": {
			func(m *member) {
				if m.name == wire.LogbookFile {
					m.text += strings.Repeat(" ", 65<<20)
				}
			},
			"read logbook.json: too large: more than 67108864 bytes",
		},
	} {
		t.Run(name, func(t *testing.T) {
			if got, _ := try(t, opt, edited(t, whole, tt.change), 1); !strings.Contains(got, tt.want) {
				t.Errorf("told\n%s\nwant %s", got, tt.want)
			}
		})
	}
	t.Run("an original that is no recording", func(t *testing.T) {
		garbage := "no recording at all"
		sum := func(text string) string { return fmt.Sprintf("%x", sha256.Sum256([]byte(text))) }
		in := edited(t, whole, func(m *member) {
			m.text = swap(m, "logbook.json", sum(diary), sum(garbage))
			if m.text = swap(m, "first.csv", diary, garbage); m.name == wire.LogbookFile {
				m.text = strings.Replace(m.text, fmt.Sprintf(`"size_bytes": %d`, len(diary)), fmt.Sprintf(`"size_bytes": %d`, len(garbage)), 1)
			}
		})
		got, b := try(t, opt, in, 1)
		if !strings.Contains(got, "first.csv: not a recording") || !strings.Contains(got, "second.csv true 1/0") {
			t.Errorf("told\n%s", got)
		}
		if sessions, err := b.Sessions(t.Context()); len(sessions) != 1 || err != nil {
			t.Errorf("%d sessions, %v: the logbook must stay readable", len(sessions), err)
		}
	})
	t.Run("cut short", func(t *testing.T) {
		if got, _ := try(t, opt, whole[:len(whole)-100], 1); !strings.Contains(got, "cut short or damaged") {
			t.Errorf("told %s", got)
		}
	})
	t.Run("no logbook", func(t *testing.T) {
		in := packed(t, []member{{"logbook.json", `{"pages": 7}`}, {"diary.csv", diary}})
		if got, _ := try(t, opt, in, 1); !strings.Contains(got, "a.zip!diary.csv true 2/0") {
			t.Errorf("told %s", got)
		}
	})
}

// swap is the text of a member, changed if it is the one.
func swap(m *member, name, old, now string) string {
	if strings.HasSuffix(m.name, name) {
		return strings.ReplaceAll(m.text, old, now)
	}
	return m.text
}

// FuzzLogbook reads whatever as the JSON of a logbook. What passes every check is written
// down and read again, and is the same.
func FuzzLogbook(f *testing.F) {
	for _, m := range unpacked(f, logbook(f)) {
		if m.name == wire.LogbookFile {
			f.Add([]byte(m.text))
			f.Add([]byte(strings.Replace(m.text, `"version": 1`, `"version": 1e400`, 1)))
			f.Add([]byte(strings.Replace(m.text, `"181"`, `"\u0000"`, 1)))
		}
	}
	f.Add([]byte(`{"format": "tidemark-logbook", "version": 1}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		in := packed(t, []member{{wire.LogbookFile, string(data)}})
		file, archive, ok := intake.FindLogbook(bytes.NewReader(in), int64(len(in)))
		if !ok {
			return
		}
		l, err := intake.OpenLogbook(file, archive, ingest.DefaultLimits)
		if err != nil || l.Kept.Check(options.Now) != nil {
			return
		}
		names := make([]string, len(l.Kept.Originals))
		for i := range names {
			names[i] = fmt.Sprintf("originals/%d", i)
		}
		text, err := json.Marshal(wire.FromKept(l.Kept, names))
		check(t, err)
		again, err := wire.ReadLogbook(text)
		check(t, err)
		kept, err := again.Kept()
		check(t, err)
		check(t, kept.Check(options.Now))
		if second, err := json.Marshal(wire.FromKept(kept, names)); err != nil || !bytes.Equal(second, text) {
			t.Errorf("it was written down as\n%s\nand read as\n%s\n%v", text, second, err)
		}
	})
}
