package diary_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest/diary"
	"tidemark/load"
)

func ExampleDecode() {
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		panic(err)
	}
	const text = `date,start,kind,distance_km,duration_min,run_min,rpe,note
2026-03-02,07:10,run,8,48,,4,easy
2026-03-03,,rest,,,,,
2026-03-04,18:30,run,5.5,40,24,3,"walk-run, 6 x 4 min"
`
	book, err := diary.Decode([]byte(text), berlin, diary.DefaultLimits)
	if err != nil {
		panic(err)
	}
	for _, a := range book.Rows {
		fmt.Println(a.Typed.Day, a.Start.Time().Format("15:04 MST"), a.Totals.Distance, a.Totals.Timer, a.Typed.RunTime)
	}
	fmt.Println("rest", book.Rests)

	_, err = diary.Decode([]byte("date,distance_km\n2026-03-02,eight\n"), berlin, diary.DefaultLimits)
	fmt.Println(err)
	// Output:
	// 2026-03-02 06:10 UTC 8000 48m0s 48m0s
	// 2026-03-04 17:30 UTC 5500 40m0s 24m0s
	// rest [2026-03-03]
	// read diary, line 2, column 12: distance_km "eight": want a number with a decimal '.'
}

func TestDecodeRow(t *testing.T) {
	day := load.Date(2026, time.March, 2)
	noon := load.InstantOf(time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC))
	run := func(edit func(*load.Activity)) load.Activity {
		a := load.Activity{Sport: load.Running, Start: noon, Typed: &load.Typed{Day: day, Clock: 12 * time.Hour}}
		edit(&a)
		return a
	}
	hour := func(a *load.Activity) {
		a.Totals.Timer, a.Totals.Elapsed, a.Typed.RunTime = time.Hour, time.Hour, time.Hour
	}
	tests := []struct {
		name, text string
		want       load.Activity
	}{
		{"distance only", "date,distance_km\n2026-03-02,10.5", run(func(a *load.Activity) {
			a.Totals.Distance = 10500
		})},
		{"duration only", "date,duration_min\n2026-03-02,60", run(hour)},
		{"start", "date,start,duration_min\n2026-03-02,07:05,60", run(func(a *load.Activity) {
			hour(a)
			a.Start, a.Typed.HasStart = noon.Add(-4*time.Hour-55*time.Minute), true
			a.Typed.Clock = 7*time.Hour + 5*time.Minute
		})},
		{"every column, another order", "note,race,surface,steps,ascent_m,rpe,run_min,duration_min,distance_km,kind,start,date\n" +
			"\"hills, wet\",yes,trail,9000,250,7.5,50,60,10,run,12:00,2026-03-02", run(func(a *load.Activity) {
			a.Totals = load.Totals{Elapsed: time.Hour, Timer: time.Hour, Distance: 10000, Ascent: 250, Steps: 9000}
			a.Surface, a.Exertion, a.HasExertion = load.Trail, 7.5, true
			a.Typed.Race, a.Typed.Note, a.Typed.HasStart, a.Typed.RunTime = true, "hills, wet", true, 50*time.Minute
		})},
		{"decimal comma", "date;distance_km;rpe\n2026-03-02;10,5;6,5", run(func(a *load.Activity) {
			a.Totals.Distance, a.Exertion, a.HasExertion = 10500, 6.5, true
		})},
		{"mark, CRLF and capitals", "\ufeffDate,Kind,Duration_min\r\n2026-03-02,RUN,60\r\n", run(hour)},
		{"padding", "date,duration_min\n,\n2026-03-02, 60 \n,\n\n", run(hour)},
		{"effort of nought", "date,duration_min,rpe\n2026-03-02,60,0", run(func(a *load.Activity) {
			hour(a)
			a.HasExertion = true
		})},
		{"walk has no running part", "date,kind,duration_min\n2026-03-02,walk,60", run(func(a *load.Activity) {
			hour(a)
			a.Sport, a.Typed.RunTime = load.Walking, 0
		})},
		{"ride faster than a runner", "date,kind,distance_km,duration_min\n2026-03-02,ride,50,60", run(func(a *load.Activity) {
			hour(a)
			a.Sport, a.Typed.RunTime, a.Totals.Distance = load.Cycling, 0, 50_000
		})},
		{"control characters in a note", "date,duration_min,note\n2026-03-02,60,\"a\tb\x07c\r\nd\"", run(func(a *load.Activity) {
			hour(a)
			a.Typed.Note = "a b c\nd"
		})},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := diary.Decode([]byte(test.text), time.UTC, diary.DefaultLimits)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff([]load.Activity{test.want}, got.Rows); diff != "" {
				t.Error(diff)
			}
			if !diary.Sniff([]byte(test.text)) {
				t.Error("Sniff = false")
			}
		})
	}
}

func TestDecodeRests(t *testing.T) {
	const text = "date,kind,duration_min,note\n2026-03-02,rest,,travel\n2026-03-03,run,30,\n2026-03-04,Rest,,\n2026-03-02,rest,,\n"
	book, err := diary.Decode([]byte(text), time.UTC, diary.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	want := []load.Day{load.Date(2026, 3, 2), load.Date(2026, 3, 4)}
	if diff := cmp.Diff(want, book.Rests); diff != "" {
		t.Error(diff)
	}
	if len(book.Rows) != 1 {
		t.Errorf("%d rows, want 1", len(book.Rows))
	}
}

func TestDecodeRefuses(t *testing.T) {
	lim := diary.DefaultLimits
	lim.Rows, lim.Note = 3, 10
	lim.First, lim.Last = load.Date(2000, 1, 1), load.Date(2026, 3, 31)
	const ok = "2026-03-02,8\n"
	tests := []struct {
		name, text   string
		line, column int
		reason       string
	}{
		{"unknown column", "date,km\n" + ok, 1, 6, `unknown column "km"`},
		{"column twice", "date,rpe,distance_km,RPE\n", 1, 22, "column rpe is there twice"},
		{"no date column", "distance_km\n8\n", 1, 0, "no column date"},
		{"no rows", "date,distance_km\n", 1, 0, "no rows"},
		{"nothing", "", 1, 0, "no rows"},
		{"bad date", "date,distance_km\n" + ok + "2026-02-30,8\n", 3, 1, `date "2026-02-30": want YYYY-MM-DD`},
		{"no date", "date,distance_km\n,8\n", 2, 1, `date "": want YYYY-MM-DD`},
		{"future", "date,distance_km\n2026-04-01,8\n", 2, 1, `date "2026-04-01" is in the future`},
		{"long ago", "date,distance_km\n1999-12-31,8\n", 2, 1, `date "1999-12-31" is before 2000-01-01`},
		{"bad start", "date,start,distance_km\n2026-03-02,25:00,8\n", 2, 12, `start "25:00": want HH:MM`},
		{"seconds", "date,start,distance_km\n2026-03-02,07:00:00,8\n", 2, 12, `start "07:00:00": want HH:MM`},
		{"bad kind", "date,kind,distance_km\n2026-03-02,swim,8\n", 2, 12, `kind "swim": want run, walk, ride, other or rest`},
		{"bad surface", "date,distance_km,surface\n2026-03-02,8,sand\n", 2, 14, `surface "sand"`},
		{"bad race", "date,distance_km,race\n2026-03-02,8,maybe\n", 2, 14, `race "maybe": want yes or no`},
		{"neither", "date,rpe\n2026-03-02,5\n", 2, 1, "neither distance_km nor duration_min"},
		{"no distance", "date,distance_km\n2026-03-02,0\n", 2, 12, `distance_km "0": want 0.001 to 400`},
		{"negative distance", "date,distance_km\n2026-03-02,-8\n", 2, 12, `distance_km "-8": want 0.001 to 400`},
		{"metres for kilometres", "date,distance_km\n2026-03-02,8000\n", 2, 12, `distance_km "8000"`},
		{"no duration", "date,duration_min\n2026-03-02,0\n", 2, 12, `duration_min "0"`},
		{"over two days", "date,duration_min\n2026-03-02,2881\n", 2, 12, `duration_min "2881": want 0.01 to 2880`},
		{"clock for minutes", "date,duration_min\n2026-03-02,48:30\n", 2, 12, `duration_min "48:30": want a number`},
		{"more running than run", "date,duration_min,run_min\n2026-03-02,30,31\n", 2, 15, `run_min "31" is more than duration_min "30"`},
		{"effort", "date,distance_km,rpe\n2026-03-02,8,11\n", 2, 14, `rpe "11": want 0 to 10`},
		{"negative steps", "date,distance_km,steps\n2026-03-02,8,-1\n", 2, 14, `steps "-1"`},
		{"half a step", "date,distance_km,steps\n2026-03-02,8,1.5\n", 2, 14, `steps "1.5": want a whole number`},
		// 8 km in 10 min is 13.3 m/s.
		{"too fast", "date,distance_km,duration_min\n2026-03-02,8,10\n", 2, 12, `distance_km "8" in duration_min "10" is 13.3 m/s`},
		{"not a number", "date,distance_km\n2026-03-02,NaN\n", 2, 12, `"NaN"`},
		{"hexadecimal", "date,distance_km\n2026-03-02,0x8\n", 2, 12, `"0x8"`},
		{"exponent", "date,distance_km\n2026-03-02,1e1\n", 2, 12, `"1e1"`},
		{"decimal comma between commas", "date,distance_km\n2026-03-02,\"8,5\"\n", 2, 12, `"8,5": want a number with a decimal '.'`},
		{"decimal point between semicolons", "date;distance_km\n2026-03-02;8.5\n", 2, 12, `"8.5": want a number with a decimal ','`},
		{"rest with a distance", "date,kind,distance_km\n2026-03-02,rest,8\n", 2, 17, `distance_km "8" on a day of rest`},
		{"field missing", "date,kind,distance_km\n2026-03-02,run\n", 2, 1, "wrong number of fields"},
		{"open quote", "date,distance_km,note\n2026-03-02,8,\"abc\n", 2, 19, `extraneous or missing " in quoted-field`},
		{"not UTF-8", "date,distance_km,note\n" + "2026-03-02,8,caf\xe9\n", 2, 0, "not UTF-8 text"},
		{"long note", "date,distance_km,note\n2026-03-02,8,12345678901\n", 2, 14, "note of 11 bytes: at most 10"},
		{"many rows", "date,distance_km\n" + strings.Repeat(ok, 4), 5, 1, "more than 3 rows"},
		{"after a quoted line break", "date,note,distance_km\n2026-03-02,\"a\nb\",8\n2026-03-02,,x\n", 4, 13, `distance_km "x"`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			book, err := diary.Decode([]byte(test.text), time.UTC, lim)
			bad, ok := errors.AsType[*load.DecodeError](err)
			if !ok {
				t.Fatalf("err = %v, want a DecodeError", err)
			}
			if bad.Format != "diary" || bad.Line != test.line || bad.Column != test.column {
				t.Errorf("at line %d, column %d, want %d, %d (%v)", bad.Line, bad.Column, test.line, test.column, err)
			}
			if !strings.Contains(err.Error(), test.reason) {
				t.Errorf("err = %v, want %q in it", err, test.reason)
			}
			if len(book.Rows)+len(book.Rests) > 0 {
				t.Error("something of the file was kept")
			}
		})
	}
}

func TestSniff(t *testing.T) {
	tests := []struct {
		text string
		want bool
	}{
		{"date,distance_km\n", true},
		{"\"date\";\"distance_km\"\r\n", true},
		{"kind,date", true},
		{"", false},
		{"just some notes about a date\n", false},
		{"dated,distance_km\n", false},
		{"complaint,on,next\n", false},
		{"<gpx>", false},
	}
	for _, test := range tests {
		if got := diary.Sniff([]byte(test.text)); got != test.want {
			t.Errorf("Sniff(%q) = %v, want %v", test.text, got, test.want)
		}
	}
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte("date,start,kind,distance_km,duration_min,run_min,rpe,ascent_m,steps,surface,race,note\n" +
		"2026-03-29,02:30,run,8.2,48,40,4,10,6000,road,no,\"a,\nb\"\n2026-03-30,,rest,,,,,,,,,\n"))
	f.Add([]byte("\ufeffdate;distance_km\r\n2026-03-02;10,5\r\n"))
	f.Add([]byte("date,distance_km\n2026-03-02,1e400\n"))
	f.Add([]byte("date,duration_min\n2026-03-02,\"4\n"))
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		f.Fatal(err)
	}
	lim := diary.DefaultLimits
	lim.First, lim.Last = load.Date(2000, 1, 1), load.Date(2099, 12, 31)
	f.Fuzz(func(t *testing.T, data []byte) {
		book, err := diary.Decode(data, berlin, lim)
		if kept := len(book.Rows) + len(book.Rests); (err != nil) != (kept == 0) {
			t.Fatalf("err = %v with %d rows kept", err, kept)
		}
		for _, a := range book.Rows {
			checkRow(t, a, berlin)
		}
	})
}

func checkRow(t *testing.T, a load.Activity, home *time.Location) {
	t.Helper()
	sums := a.Totals
	if d := float64(sums.Distance); d < 0 || d > 400e3 || math.IsNaN(d) {
		t.Errorf("distance %v", d)
	}
	if sums.Timer < 0 || sums.Timer > 48*time.Hour || sums.Timer != sums.Elapsed {
		t.Errorf("timer %v, elapsed %v", sums.Timer, sums.Elapsed)
	}
	if sums.Distance == 0 && sums.Timer == 0 {
		t.Error("neither distance nor duration")
	}
	if sums.Timer > 0 && a.Typed.RunTime > sums.Timer {
		t.Errorf("ran %v of %v", a.Typed.RunTime, sums.Timer)
	}
	if a.Exertion < 0 || a.Exertion > 10 || math.IsNaN(a.Exertion) {
		t.Errorf("exertion %v", a.Exertion)
	}
	if got := load.DayOf(a.Start.Time().In(home)); got != a.Typed.Day {
		t.Errorf("start on %v, want %v", got, a.Typed.Day)
	}
}
