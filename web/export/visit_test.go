package export_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/web/chart"
	"tidemark/web/export"
	"tidemark/web/export/paper"
)

var visited = load.Date(2026, time.May, 31)

// fullVisit is invented: so many complaints with nine exercises each, all tests, and two
// weeks of runs.
func fullVisit(cases int) *export.Visit {
	v := &export.Visit{
		Name: "Edda Quill", Day: visited, Answer: "Left Achilles tendon, week 7.", Since: "In six weeks: 10 runs; mornings: 34 settled, 2 not settled, 2 flared, 2 missing.",
		Late: "1 of 39 scores of mornings were typed after their day (3 %).", Next: "Sunday 14 June 2026",
		Numbers: []export.Figure{{Name: "longest run in 30 days", Text: "34 min"}, {Name: "in the last 7 days", Text: "24 min"}},
		Caution: "If your clinician's plan differs, follow your clinician.",
	}
	v.Picture = &export.Picture{Tideline: chart.NewTidelineAhead(load.RunTime, nil, nil, visited-41, visited, []float64{0, 12, 0, 0, 14}), Unit: "min"}
	for i := range cases {
		c := export.VisitCase{Name: fmt.Sprintf("Tendon %d", i+1), Lines: []string{"last flare 15 days ago", "mornings on time: 13 of the last 14"}, Programme: "Combined programme by status"}
		strip := export.Strip{Name: c.Name + ", morning"}
		worked := export.Strip{Name: c.Name + ", rehab"}
		for day := visited - 41; day <= visited; day++ {
			verdict := []load.Verdict{load.Settled, load.Unsettled, load.Flared, load.Missing}[day%4]
			strip.Mornings = append(strip.Mornings, chart.Mark{Day: day, At: v.Picture.Middle(day), Height: float64(day%10) / 10, Verdict: verdict})
			worked.Worked = append(worked.Worked, chart.Worked{Day: day, At: v.Picture.Middle(day), Share: float64(day%3) / 2})
		}
		v.Picture.Strips = append(v.Picture.Strips, strip, worked)
		for week := range load.Day(6) {
			c.Weeks, c.Mean = append(c.Weeks, visited-36+7*week), append(c.Mean, "77 %")
		}
		for range 9 {
			c.Doses = append(c.Doses, export.VisitDose{Name: "Lowering on one leg off a step, knee straight", Set: "3 × 15, on the side that hurts, every day", Last: "225 of 315", Done: []string{"", "60 %", "71 %", "100 %", "80 %", "71 %"}})
		}
		v.Cases = append(v.Cases, c)
		v.Plan.Lines = append(v.Plan.Lines, export.Figure{Name: c.Name + ", programme", Text: strings.Repeat("Phase 2 of 4, at this status: pain with exercise. ", 6)})
	}
	for _, name := range []string{"Heel raises on one leg", "Knee to wall", "Hops on one leg", "VISA-A, total"} {
		v.Tests = append(v.Tests, export.VisitTest{Name: name, Day: visited - 3, Result: "left 18, right 25 reps; left against right: 72 %", Before: "left 15, right 25 reps on 1 May 2026", Change: "left +3: within what repeats differ by; right +0: the same", Band: "repeats differ by up to 6.2"})
	}
	for day := range load.Day(7) {
		v.Plan.Runs = append(v.Plan.Runs, export.PlannedRun{Day: visited + 1 + 2*day, What: "Run 10 × 1 min, 1 min walk between (stage 1)"})
	}
	v.Plan.Waits = []string{"phase 3 of the programme, since 17 May 2026"}
	v.Notes = []export.VisitNote{{Text: "Calmer than last time.\nGoes on.", Who: "17 May 2026, by Ada Brandt"}}
	return v
}

var pageOf = regexp.MustCompile(`/Type /Page\n`)

const (
	paperWidth, paperHeight = 595.28, 841.89
	mostBytes               = 200_000 // of a file that is handed over
)

// held looks that no line of text leaves the page or lies on another.
func held(t *testing.T, d *paper.Document) {
	t.Helper()
	ink := d.Ink()
	for i, a := range ink {
		if a.X < 20 || a.Y < 20 || a.X+a.Width > paperWidth-20 || a.Y+a.Height > paperHeight-10 {
			t.Errorf("ink leaves the page: %+v", a)
		}
		for _, b := range ink[:i] {
			wide := min(a.X+a.Width, b.X+b.Width) - max(a.X, b.X)
			high := min(a.Y+a.Height, b.Y+b.Height) - max(a.Y, b.Y)
			if a.Page == b.Page && wide > 0.5 && high > 1 {
				t.Errorf("two lines lie on each other: %+v and %+v", a, b)
			}
		}
	}
}

// A visit is one page, two with several complaints, under 200 kB, whatever is written in it.
func TestVisitPDF(t *testing.T) {
	long := func(v *export.Visit) { v.Name = strings.Repeat("Włodzimierz", 19) }
	script := func(name string) func(*export.Visit) {
		return func(v *export.Visit) {
			v.Name = name
			v.Notes = []export.VisitNote{{Text: strings.Repeat(name+" ", 2000/len([]rune(name))), Who: "17 May 2026, by " + name}}
		}
	}
	// Each of 1500 Chinese characters once, which packs worst.
	var hanzi strings.Builder
	for r := rune(0x4E00); r < 0x4E00+1500; r++ {
		hanzi.WriteRune(r)
	}
	tests := []struct {
		name   string
		cases  int
		change func(*export.Visit)
		pages  int
	}{
		{"nothing", 0, func(v *export.Visit) { *v = export.Visit{Name: "Osk", Day: visited, Answer: "Nothing is followed."} }, 1},
		{"one complaint", 1, func(*export.Visit) {}, 1},
		{"two complaints", 2, func(*export.Visit) {}, 2},
		{"four complaints", 4, func(*export.Visit) {}, 2},
		{"a name of 209 letters", 1, long, 1},
		{"Hebrew", 1, script("נועה בן־דוד"), 1},
		{"Arabic", 1, script("عبد الرحمن لاشين"), 1},
		{"Hindi", 1, script("प्रिया क्षत्रिय"), 1},
		{"Thai", 1, script("สมชาย น้ำใจ"), 1},
		{"Telugu", 1, script("శ్రీనివాస్"), 1},
		{"Sinhala", 1, script("ශ්\u200Dරියානි"), 1},
		{"Myanmar", 1, script("မြမြအေး"), 1},
		{"Japanese", 1, script("山田 さくら カタカナ"), 1},
		{"Korean", 1, script("김민준"), 1},
		{"1500 Chinese characters", 1, script(hanzi.String()), 1},
		{"pictures of faces", 1, script("😀 Osk 🏃"), 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			v := fullVisit(test.cases)
			test.change(v)
			d := export.VisitSheet(v, noonOf(visited))
			held(t, d)
			var b, again bytes.Buffer
			for _, to := range []*bytes.Buffer{&b, &again} {
				if err := export.VisitPDF(to, v, noonOf(visited)); err != nil {
					t.Fatal(err)
				}
			}
			if n := len(pageOf.FindAll(b.Bytes(), -1)); n != test.pages || d.Pages() != n {
				t.Errorf("%d pages, want %d", n, test.pages)
			}
			if b.Len() >= mostBytes {
				t.Errorf("%d bytes", b.Len())
			}
			if !bytes.Equal(b.Bytes(), again.Bytes()) {
				t.Error("the same visit is two files")
			}
			t.Logf("%d pages, %d bytes, unwritten %v", d.Pages(), b.Len(), d.Unwritten())
		})
	}
}

// 2000 letters of a script at random, which is no text of anybody's and packs worse.
func TestVisitPDFSize(t *testing.T) {
	for script, block := range map[string][2]rune{
		"Hebrew": {0x5D0, 0x5EA}, "Arabic": {0x621, 0x64A}, "Devanagari": {0x915, 0x94C}, "Sinhala": {0xD9A, 0xDDF}, "Telugu": {0xC15, 0xC4C}, "Khmer": {0x1780, 0x17C5}, "Hangul": {0xAC00, 0xD7A3}, "Chinese": {0x4E00, 0x9FA5},
	} {
		chance := rand.New(rand.NewPCG(1, 2))
		var text []rune
		for i := range 2000 {
			if i%6 == 5 {
				text = append(text, ' ')
				continue
			}
			text = append(text, block[0]+rune(chance.IntN(int(block[1]-block[0])+1)))
		}
		v := fullVisit(1)
		v.Cases[0].Doses = v.Cases[0].Doses[:3] // so that there is room
		v.Name, v.Notes = string(text[:40]), []export.VisitNote{{Text: string(text), Who: "17 May 2026"}}
		held(t, export.VisitSheet(v, noonOf(visited)))
		var b bytes.Buffer
		if err := export.VisitPDF(&b, v, noonOf(visited)); err != nil || b.Len() >= mostBytes {
			t.Errorf("%s: %d bytes, %v", script, b.Len(), err)
		}
		t.Logf("%s: %d bytes", script, b.Len())
	}
}

func noonOf(day load.Day) time.Time { return day.Noon() }

func BenchmarkVisitPDF(b *testing.B) {
	v := fullVisit(1)
	for b.Loop() {
		var out bytes.Buffer
		if err := export.VisitPDF(&out, v, noonOf(visited)); err != nil {
			b.Fatal(err)
		}
	}
}
