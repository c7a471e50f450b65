package demo

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"time"
)

// diaryHeader names the columns that the club's diaries use.
var diaryHeader = []string{"date", "start", "kind", "distance_km", "duration_min", "run_min", "rpe", "surface", "race", "note"}

// diaryKinds is what a diary calls each kind; a run is the default.
var diaryKinds = map[kind]string{ride: "ride", stroll: "walk", rest: "rest"}

// racePace is the pace of a race over the easy pace.
const racePace = 0.84

// diaryBytes returns the typed lines of a plan as a diary CSV, and nil if there
// are none.
func (m *member) diaryBytes(plan []dated) []byte {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	rows := [][]string{diaryHeader}
	for _, d := range plan {
		if d.as == typed {
			rows = append(rows, m.diaryRow(d))
		}
	}
	if len(rows) == 1 {
		return nil
	}
	if err := w.WriteAll(rows); err != nil {
		panic(fmt.Sprintf("demo: write diary: %v", err))
	}
	return out.Bytes()
}

// diaryRow returns one typed line.
func (m *member) diaryRow(d dated) []string {
	kind := diaryKinds[d.kind]
	if kind == "" {
		kind = "run"
	}
	if d.kind == rest {
		return []string{d.date.String(), "", kind, "", "", "", "", "", "", d.note}
	}
	duration, running := m.typedTime(d)
	race, surface := "", ""
	if d.race {
		race = "yes"
	}
	if kind == "run" {
		surface = "road"
	}
	// A person remembers the clock to five minutes.
	start := m.start(d).Round(5 * time.Minute).Format("15:04")
	return []string{
		d.date.String(), start, kind, number(d.km), number(duration), number(running), number(d.rpe), surface, race, d.note,
	}
}

// typedTime returns the minutes a person would write, and those of them run
// where that is not all.
func (m *member) typedTime(d dated) (duration, running float64) {
	pace := m.body.pace / 60
	switch {
	case d.race:
		return math.Round(d.km*pace*racePace*2) / 2, 0
	case d.kind == stroll:
		return math.Round(d.km * 1000 / walkSpeed / 60), 0
	case d.kind == walkRun:
		share := float64(runSpell) / (runSpell + walkSpell)
		duration = math.Round(d.km * 1000 / 60 / (share*1000/m.body.pace + (1-share)*walkSpeed))
		return duration, math.Round(duration * share)
	}
	return math.Round(d.km * pace), 0
}

// number writes v, and nothing for zero.
func number(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
