package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tidemark/load"
	"tidemark/load/assess"
)

// pictureDays is how many days the picture shows if nothing else is asked for.
const pictureDays = 84

// dayRow is a day of the table under the picture.
type dayRow struct {
	Day  string // as the table writes it
	Text string // the load, as people read it
	Week string // the load of seven days
	Load float64
}

// says is the beginning of what the read-out says of the day.
func (r dayRow) says() string { return r.Day + ": " + r.Text + " km · " + r.Week + " km in 7 days" }

// row reads a day of the table, and holds it against the journal's own number.
func (b *tab) row(club *logbook, day load.Day) dayRow {
	b.Helper()
	r := eval[dayRow](b, `(() => {
		const row = document.querySelector('#days tr[data-day="%v"]');
		const number = (field) => row.querySelector('[data-field="' + field + '"]');
		return { day: row.cells[0].textContent, text: number("load").textContent, week: number("acute").textContent, load: Number(number("load").value) };
	})()`, day)
	picture, err := club.book(b.T, edda).Picture(b.Context(), club.day, assess.Query{Measure: load.Distance, From: day, To: day})
	if err != nil {
		b.Fatal(err)
	}
	if want := picture.Days[0].Load; r.Load != want {
		b.Errorf("%v: the table has %v km, the journal %v", day, r.Load, want)
	}
	var shown float64
	if _, err := fmt.Sscan(r.Text, &shown); err != nil || math.Abs(shown-r.Load) > 0.05+1e-9 {
		b.Errorf("%v: the table shows %q for %v km: %v", day, r.Text, r.Load, err)
	}
	return r
}

// reads wants the read-out to be of a day.
func (b *tab) reads(club *logbook, day load.Day) {
	b.Helper()
	want := b.row(club, day).says()
	if got := b.text(".readout"); !strings.HasPrefix(together(got), together(want)) {
		b.Errorf("the read-out says %q, the table of %v %q", got, day, want)
	}
}

// together makes all spaces alike.
func together(text string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(text, "\u00a0", " ")), " ")
}

// readOuts chooses days of the picture by key, pointer and finger.
func readOuts(t *testing.T, browser context.Context, club logbook) {
	first, last := club.day-pictureDays+1, club.day
	t.Run("keys", func(t *testing.T) {
		b := openTab(t, browser, club.host)
		b.size(1280)
		b.open(club.page(edda, ""))
		b.tabTo(".tideline .scroll")
		press := func(key string, want load.Day) {
			t.Helper()
			b.do(chromedp.KeyEvent(key))
			b.reads(&club, want)
		}
		press(kb.ArrowLeft, last) // the first key says where one is
		press(kb.ArrowLeft, last-1)
		press(kb.ArrowLeft, last-2)
		press(kb.ArrowRight, last-1)
		press(kb.Home, first)
		press(kb.ArrowLeft, first)
		press(kb.ArrowRight, first+1)
		press(kb.End, last)
		press(kb.ArrowRight, last)
	})
	t.Run("keys on a phone", func(t *testing.T) {
		b := openTab(t, browser, club.host)
		b.size(390)
		b.open(club.page(edda, ""))
		b.tabTo(".tideline .scroll")
		for _, tt := range []struct {
			key  string
			want load.Day
		}{{kb.Home, first}, {kb.End, last}} {
			b.do(chromedp.KeyEvent(tt.key))
			b.reads(&club, tt.want)
			b.until(`(() => {
				const cursor = document.querySelector(".tideline .cursor").getBoundingClientRect(), frame = document.querySelector(".tideline .scroll").getBoundingClientRect();
				return cursor.width > 0 && cursor.left >= frame.left - 1 && cursor.right <= frame.right + 1;
			})()`)
		}
	})
	t.Run("pointer", func(t *testing.T) {
		b := openTab(t, browser, club.host)
		b.size(1280)
		b.open(club.page(edda, ""))
		run := club.latestRun(t, edda).Day
		for _, day := range []load.Day{run, first, last} {
			x, y := b.column(&club, day)
			b.do(chromedp.MouseEvent(chromedp.MouseMoved, x, y))
			b.reads(&club, day)
		}
	})
	t.Run("finger", func(t *testing.T) {
		b := openTab(t, browser, club.host)
		b.size(390)
		b.open(club.page(edda, ""))
		run := club.latestRun(t, edda).Day
		for _, day := range []load.Day{run, last - 59} { // the first that is in view, too
			x, y := b.column(&club, day)
			b.do(chromedp.TapXY(x, y))
			b.reads(&club, day)
		}
	})
	t.Run("curves", func(t *testing.T) { curveReadOut(t, browser, club) })
	t.Run("way there", func(t *testing.T) { keyboardWay(t, browser, club) })
}

// column returns the middle of a day's column on the screen.
func (b *tab) column(club *logbook, day load.Day) (x, y float64) {
	b.Helper()
	box := eval[struct{ Left, Top, Width, Height float64 }](b, `document.querySelector(".tideline .plot").getBoundingClientRect().toJSON()`)
	share := (float64(day-club.day+pictureDays-1) + 0.5) / pictureDays
	return box.Left + float64(share*box.Width), box.Top + box.Height/2
}

// curveReadOut moves over a curve of a run, whose columns are stretches.
func curveReadOut(t *testing.T, browser context.Context, club logbook) {
	b := openTab(t, browser, club.host)
	b.size(1280)
	b.open(club.page(edda, "/runs/"+withCurves(t, &club).ID))
	b.tabTo(".profile .scroll")
	b.do(chromedp.KeyEvent(kb.Home), chromedp.KeyEvent(kb.ArrowRight))
	if eval[float64](b, `document.querySelector(".profile .cursor").getBoundingClientRect().width`) == 0 {
		t.Error("no cursor shows where one is")
	}
	row := eval[[]string](b, `[...document.querySelectorAll("#stretches tbody tr")[1].cells].map((c) => c.textContent)`)
	says := b.text(".readout")
	for _, cell := range row {
		if cell == "" || !strings.Contains(says, cell) {
			t.Errorf("the read-out says %q, the table %q", says, row)
		}
	}
}

// keyboardWay goes through the load page by the Tab key alone.
func keyboardWay(t *testing.T, browser context.Context, club logbook) {
	b := openTab(t, browser, club.host)
	b.size(1280)
	b.open(club.page(edda, "/load"))
	var way []string
	for range 30 {
		b.do(chromedp.KeyEvent(kb.Tab))
		way = append(way, eval[string](b, `document.activeElement.className || document.activeElement.textContent.trim()`))
	}
	want := []string{"skip", "name", "Today", "Load", "Runs", "Add"}
	if !slices.Equal(way[:len(want)], want) || !slices.Contains(way, "scroll") {
		t.Errorf("the Tab key goes to %q, want %q and then the picture", way, want)
	}
	b.open(club.page(edda, "/load"))
	b.do(chromedp.KeyEvent(kb.Tab))
	if left := eval[float64](b, `document.activeElement.getBoundingClientRect().left`); left < 0 {
		t.Errorf("the link to the page lies at %v px when it is reached", left)
	}
	b.do(chromedp.KeyEvent(kb.Enter))
	b.do(chromedp.KeyEvent(kb.Tab))
	if !eval[bool](b, `document.querySelector("main").contains(document.activeElement)`) {
		t.Errorf("the link to the page leads to %q", eval[string](b, `document.activeElement.outerHTML.slice(0, 80)`))
	}
}

// tabTo presses the Tab key until an element is reached.
func (b *tab) tabTo(selector string) {
	b.Helper()
	for range 60 {
		b.do(chromedp.KeyEvent(kb.Tab))
		if eval[bool](b, `document.activeElement.matches(%s)`, quoted(selector)) {
			return
		}
	}
	b.Fatalf("the Tab key does not reach %s", selector)
}

// barsAreTheTable looks on every day of a year whether the picture has a bar
// where the table has a load, and only there.
func barsAreTheTable(t *testing.T, browser context.Context, club logbook) {
	b := openTab(t, browser, club.host)
	b.open(club.page(edda, "/load"))
	got := eval[struct{ Bars, Wrong int }](b, `(() => {
		const rows = [...document.querySelectorAll("#days tbody tr")].reverse();
		const paths = [...document.querySelectorAll(".tideline .under, .tideline .over")];
		let bars = 0, wrong = 0;
		rows.forEach((row, i) => {
			const at = new DOMPoint(10000 * (i + 0.5) / rows.length, 9990);
			const drawn = paths.some((p) => p.isPointInFill(at));
			if (drawn) bars++;
			if (drawn !== Number(row.querySelector('[data-field="load"]').value) > 0) wrong++;
		});
		return { bars, wrong };
	})()`)
	if got.Bars < 20 || got.Wrong > 0 {
		t.Errorf("%d bars are drawn, %d days are not as the table says", got.Bars, got.Wrong)
	}
}
