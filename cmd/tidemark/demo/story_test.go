package demo_test

import (
	"math"
	"path"
	"strings"
	"testing"
	"time"

	"github.com/muktihari/fit/profile/basetype"

	"tidemark/cmd/tidemark/demo"
	"tidemark/load"
)

// running keeps the recordings that are runs.
func running(all []recording) []recording {
	var kept []recording
	for _, r := range all {
		if r.running {
			kept = append(kept, r)
		}
	}
	return kept
}

// longestBefore returns the longest run that started in the 30 x 24 h before
// run i, and 0 if there is none.
func longestBefore(runs []recording, i int) float64 {
	longest := 0.0
	for _, r := range runs[:i] {
		if runs[i].start.Sub(r.start) <= 30*24*time.Hour {
			longest = max(longest, r.km)
		}
	}
	return longest
}

// sumTo returns the kilometres of the seven days up to and including day.
func sumTo(runs []recording, day load.Day) float64 {
	sum := 0.0
	for _, r := range runs {
		if r.day() > day-7 && r.day() <= day {
			sum += r.km
		}
	}
	return sum
}

// jumps reports whether the week up to day is over 1.3 times the best week that
// ended 7 to 34 days before, and over it by 5 km.
func jumps(runs []recording, day load.Day) bool {
	best := 0.0
	for end := day - 34; end <= day-7; end++ {
		best = max(best, sumTo(runs, end))
	}
	sum := sumTo(runs, day)
	return sum > 1.3*best && sum-best >= 5
}

// leap returns the index of the longest run of the last nine days.
func leap(runs []recording, today load.Day) int {
	best := len(runs) - 1
	for i, r := range runs {
		if r.day() >= today-9 && r.km > runs[best].km {
			best = i
		}
	}
	return best
}

// mainStory checks the leap, the room before it and the week it makes.
func mainStory(t *testing.T, s scene) {
	edda, runs := s.club[0], running(s.read[0])

	if first := runs[0].day(); s.today-first < 15*7 {
		t.Errorf("the history begins on %v only", first)
	}
	at := leap(runs, s.today)
	back := s.today - runs[at].day()
	ratio := runs[at].km / longestBefore(runs, at)
	if back < 2 || back > 5 || ratio < 1.35 || ratio > 1.45 {
		t.Errorf("a run %d days ago is %.3f times the longest of 30 days", back, ratio)
	}
	if edda.FirstUse > runs[at].day() {
		t.Error("the leap is older than the first use and would be history")
	}
	for i, r := range runs {
		if longest := longestBefore(runs, i); i != at && r.day() > runs[0].day()+7 && r.km > 1.1*longest {
			t.Errorf("%s: %.2f km after at most %.2f km", r.name, r.km, longest)
		}
	}
	for day := runs[0].day() + 14; day < runs[at].day(); day++ {
		if jumps(runs, day) {
			t.Errorf("the week jumps on %v already", day)
		}
	}
	if !jumps(runs, runs[at].day()) {
		t.Error("the week of the leap does not jump")
	}
}

// oneBreak checks the cold and the return from it.
func oneBreak(t *testing.T, s scene) {
	runs := running(s.read[0])
	var breaks []load.Day
	for i, r := range runs[1:] {
		gap := r.day() - runs[i].day()
		if gap < 8 {
			continue
		}
		breaks = append(breaks, gap)
		if r.km > 0.75*runs[i].km {
			t.Errorf("the first run after the break is %.1f km", r.km)
		}
		if ago := s.today - r.day(); ago < 40 || ago > 80 {
			t.Errorf("the break ended %d days ago, not in the middle", ago)
		}
	}
	// Ten days without a run lie between two runs 11 days apart.
	if len(breaks) != 1 || breaks[0] != 11 {
		t.Errorf("breaks of %d days", breaks)
	}
}

// runsAWeek checks for three to five runs in the weeks that end with the leap.
func runsAWeek(t *testing.T, s scene) {
	runs := running(s.read[0])
	at := leap(runs, s.today)
	var few int
	for end := runs[at].day(); end-6 >= runs[0].day(); end -= 7 {
		n := 0
		for _, r := range runs {
			if r.day() > end-7 && r.day() <= end {
				n++
			}
		}
		if n > 5 {
			t.Errorf("%d runs in the week to %v", n, end)
		}
		if n < 3 {
			few++
		}
	}
	// The ten days of the break touch two weeks, three if they fall so.
	if few > 3 {
		t.Errorf("%d weeks with fewer than three runs", few)
	}
}

// quietDay checks the diary: the rest after the leap, the race, exertion.
func quietDay(t *testing.T, s scene) {
	edda, runs := s.club[0], running(s.read[0])
	after := runs[leap(runs, s.today)].day() + 1
	rested, raced, exertion := 0, 0, 0
	for _, row := range diaryRows(t, edda.Files[len(edda.Files)-1]) {
		day, err := load.ParseDay(row["date"])
		if err != nil {
			t.Fatal(err)
		}
		if row["kind"] == "rest" && day == after {
			rested++
		}
		if row["race"] == "yes" {
			raced++
			if row["note"] != "harbour five" || row["distance_km"] != "5" {
				t.Errorf("odd race %v", row)
			}
		}
		if row["rpe"] != "" {
			exertion++
		}
	}
	if rested != 1 || raced != 1 || exertion < 3 {
		t.Errorf("%d rest days after the leap, %d races, %d lines with exertion", rested, raced, exertion)
	}
}

// specialFiles checks the files that are no plain recording of a plain run.
func specialFiles(t *testing.T, s scene) {
	edda := s.club[0]
	t.Run("doubled", func(t *testing.T) { doubled(t, edda.Files) })
	t.Run("refused", func(t *testing.T) { refused(t, edda.Files) })
	t.Run("damaged", func(t *testing.T) { damaged(t, s.today, edda) })
	t.Run("archives", func(t *testing.T) { archives(t, edda.Files) })
	t.Run("paused", func(t *testing.T) { paused(t, s.today, edda) })
	t.Run("walk-run", func(t *testing.T) { walkRun(t, s.today, edda) })
	t.Run("sorts", func(t *testing.T) { sorts(t, s.today, edda) })
}

// doubled checks that watch and phone overlap by more than 80 % of the shorter.
func doubled(t *testing.T, files []demo.File) {
	n := 0
	for _, f := range files {
		name, ok := strings.CutSuffix(f.Name, "-phone.gpx")
		if !ok {
			continue
		}
		n++
		byPhone := read(t, f)
		for _, other := range files {
			if other.Name != name+".fit" {
				continue
			}
			byWatch := read(t, other)
			from, to := byPhone.start, byPhone.end
			if byWatch.start.After(from) {
				from = byWatch.start
			}
			if byWatch.end.Before(to) {
				to = byWatch.end
			}
			shorter := min(byPhone.end.Sub(byPhone.start), byWatch.end.Sub(byWatch.start))
			if share := float64(to.Sub(from)) / float64(shorter); share <= 0.8 {
				t.Errorf("overlap %.2f", share)
			}
			if byPhone.start.Equal(byWatch.start) || math.Abs(byPhone.km-byWatch.km) > 0.05*byWatch.km {
				t.Errorf("phone: %v, watch: %v", byPhone, byWatch)
			}
			n++
		}
	}
	if n != 2 {
		t.Errorf("%d files of a doubled run", n)
	}
}

// refused checks that one GPX holds a route and no track.
func refused(t *testing.T, files []demo.File) {
	n := 0
	for _, f := range files {
		if path.Ext(f.Name) != ".gpx" {
			continue
		}
		if doc := readGPX(t, f); len(doc.Tracks) == 0 {
			n++
			if len(doc.Routes) != 1 || len(doc.Routes[0].Points) < 10 {
				t.Fatalf("%s is no plain route", f.Name)
			}
			for _, p := range doc.Routes[0].Points {
				if !p.Timestamp.IsZero() || !inTheSea(p.Latitude, p.Longitude) {
					t.Errorf("%s: odd point %+v", f.Name, p)
				}
			}
		}
	}
	if n != 1 {
		t.Errorf("%d routes", n)
	}
}

// damaged checks that one FIT file ends early, with most of its records.
func damaged(t *testing.T, today load.Day, r demo.Runner) {
	n := 0
	for _, f := range unpacked(t, r.Files) {
		if path.Ext(f.Name) != ".fit" {
			continue
		}
		activity, err := salvage(f.Data)
		if err == nil {
			continue
		}
		n++
		share := read(t, f).km / demo.Plan(r.Name, today)[read(t, f).day()].KM
		if len(activity.Sessions) != 0 || share < 0.65 || share > 0.75 {
			t.Errorf("%s: %.2f of the way, %d sessions", f.Name, share, len(activity.Sessions))
		}
	}
	if n != 1 {
		t.Errorf("%d damaged FIT files", n)
	}
}

// archives checks for one zip with two FIT files and one gzip.
func archives(t *testing.T, files []demo.File) {
	zips, gzips := 0, 0
	for _, f := range files {
		switch path.Ext(f.Name) {
		case ".zip":
			zips++
			if inside := members(t, f); len(inside) != 2 {
				t.Errorf("%s: %d members", f.Name, len(inside))
			}
		case ".gz":
			gzips++
		}
	}
	if zips != 1 || gzips != 1 {
		t.Errorf("%d zips, %d gzips", zips, gzips)
	}
}

// paused checks the run at which the watch stopped its timer by itself: 75 s and
// 210 s, as its diary has it.
func paused(t *testing.T, today load.Day, r demo.Runner) {
	n := 0
	for _, f := range unpacked(t, r.Files) {
		if path.Ext(f.Name) != ".fit" || !demo.Plan(r.Name, today)[read(t, f).day()].Halting {
			continue
		}
		n++
		activity := readFIT(t, f)
		s := activity.Sessions[0]
		stops, starts := timerEvents(activity.Events)
		if got := s.TotalElapsedTimeScaled() - s.TotalTimerTimeScaled(); got != 285 || stops != 3 || starts != 3 {
			t.Errorf("%v s paused, %d stops, %d starts", got, stops, starts)
		}
		silent := 0
		for i, rec := range activity.Records[1:] {
			if rec.Timestamp.Sub(activity.Records[i].Timestamp) > time.Minute {
				silent++
			}
		}
		if silent != 2 {
			t.Errorf("%d stretches without records", silent)
		}
	}
	if n != 1 {
		t.Errorf("%d runs with pauses", n)
	}
}

// walkRun checks that the first run after the break is part run, part walked:
// no cadence lies between the two for long.
func walkRun(t *testing.T, today load.Day, r demo.Runner) {
	n := 0
	for _, f := range unpacked(t, r.Files) {
		if path.Ext(f.Name) != ".fit" || !demo.Plan(r.Name, today)[read(t, f).day()].WalkRun {
			continue
		}
		n++
		var walked, ran, records float64
		for _, rec := range readFIT(t, f).Records {
			records++
			if steps := 2 * int(rec.Cadence); steps < 130 {
				walked++
			} else if steps > 150 {
				ran++
			}
		}
		if walked/records < 0.25 || ran/records < 0.55 || (walked+ran)/records < 0.97 {
			t.Errorf("walked %.2f, ran %.2f", walked/records, ran/records)
		}
	}
	if n != 1 {
		t.Errorf("%d walk-runs", n)
	}
}

// sorts counts rides, treadmills, exertion from the watch and formats.
func sorts(t *testing.T, today load.Day, r demo.Runner) {
	var rides, belts, exertion, fits, others int
	plan := demo.Plan(r.Name, today)
	for _, f := range unpacked(t, r.Files) {
		if path.Ext(f.Name) != ".fit" {
			others++
			continue
		}
		fits++
		day := read(t, f).day()
		if plan[day].Cut {
			continue
		}
		activity := readFIT(t, f)
		if plan[day].Ride {
			rides++
		}
		if plan[day].Belt {
			belts++
		}
		if rpe := activity.Sessions[0].WorkoutRpe; rpe != basetype.Uint8Invalid {
			exertion++
			if rpe < 10 || rpe > 100 {
				t.Errorf("%s: exertion %d tenths", f.Name, rpe)
			}
		}
	}
	if rides != 1 || belts != 1 || exertion < 10 || fits < 2*others {
		t.Errorf("%d rides, %d treadmills, %d with exertion, %d FIT and %d others", rides, belts, exertion, fits, others)
	}
}

// otherStories checks the three shorter ones.
func otherStories(t *testing.T, s scene) {
	jory, hedda, osk := running(s.read[1]), running(s.read[2]), running(s.read[3])

	if first := s.today - jory[0].day(); first > 42 || first < 28 {
		t.Errorf("the beginner began %d days ago", first)
	}
	if last := s.today - osk[len(osk)-1].day(); last != 20 {
		t.Errorf("the silent watch last spoke %d days ago", last)
	}
	for i, r := range hedda {
		if i == 0 {
			continue
		}
		if longest := longestBefore(hedda, i); r.km > 1.1*longest || r.day()-hedda[i-1].day() >= 8 {
			t.Errorf("%s: %.2f km after at most %.2f km, or after a break", r.name, r.km, longest)
		}
	}
	// Before 14 days of history there is no week to hold a week against.
	for day := hedda[0].day() + 14; day < s.today; day++ {
		if jumps(hedda, day) {
			t.Errorf("the steady one's week jumps on %v", day)
		}
	}
	if quiet := s.today - hedda[len(hedda)-1].day(); quiet > 4 {
		t.Errorf("the steady one has not run for %d days", quiet)
	}
}

func TestClocksChangeInside(t *testing.T) {
	for _, text := range []string{"2026-11-25", "2026-06-03"} {
		today, err := load.ParseDay(text)
		if err != nil {
			t.Fatal(err)
		}
		offsets := map[int]int{}
		for _, r := range running(recordings(t, demo.Club(today)[0].Files)) {
			_, ahead := r.start.Zone()
			offsets[ahead]++
		}
		if offsets[0] < 5 || offsets[3600] < 5 {
			t.Errorf("%s: runs by offset %v", text, offsets)
		}
	}
}
