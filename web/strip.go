package web

import (
	"fmt"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/rehab"
	"tidemark/web/chart"
	"tidemark/web/words"
)

// strip is the mornings of one complaint, or what was done for it, under the days of the
// picture.
type strip struct {
	Name, Label  string
	Key, Shapes  string // what it is, and what its marks mean
	Height, Base int    // in pixels; Base is where its line lies
	Rehab        bool
	Marks        []stripMark
	Ticks        []stripTick
	cells        map[load.Day]string
}

// stripMark is a mark with its shape and place in pixels.
type stripMark struct {
	chart.Mark
	Shape string
	Y     int
}

// stripTick is what was done on a day, as a word for its shape.
type stripTick struct {
	chart.Worked
	Shape string
}

// stripCell is one day of a strip in the table.
type stripCell struct{ Name, Text string }

// The height of a strip's scale of 0 to 10 and the room above it, in pixels, and that of the
// one with the rehab done.
const (
	stripTop    = 8
	stripScale  = 40
	stripHeight = 62
	rehabHeight = 26
)

// strips lays out the mornings of what is followed, and what was done for it, in the days of
// the picture, and adds them to the table.
func (t *tideline) strips(care *assess.Care, today load.Day) {
	for i := range care.Records {
		r := &care.Records[i]
		if s := t.morningStrip(r); len(s.Marks) > 0 {
			t.Strips = append(t.Strips, s)
		}
		last := min(today, t.First+load.Day(t.Days)-1)
		if s := t.rehabStrip(r, care.Plan.Courses(r, care.Grown, last), care.Plan.Of(r.Complaint.ID), today); len(s.Ticks) > 0 {
			t.Strips = append(t.Strips, s)
		}
	}
	for i := range t.Rows {
		for _, s := range t.Strips {
			t.Rows[i].Strips = append(t.Rows[i].Strips, stripCell{s.Name, s.cells[t.Rows[i].Day]})
		}
	}
}

func (t *tideline) morningStrip(r *rehab.Record) strip {
	name := complaintName(&r.Complaint)
	s := strip{Name: name + ", morning", Height: stripHeight, Base: stripTop + stripScale, cells: make(map[load.Day]string)}
	s.Key, s.Shapes = "mornings of the "+lowered(name), ", 0 to 10 by waking date: circle settled, disc not settled, triangle flared, dash missing"
	counts := make(map[load.Verdict]int)
	for _, m := range t.Marks(r) {
		s.Marks = append(s.Marks, stripMark{m, verdictMarks[m.Verdict], stripTop + int((1-m.Height)*stripScale)})
		counts[m.Verdict]++
		text := words.Verdict(m.Verdict)
		if m.Verdict != load.Missing {
			text = fmt.Sprintf("%.0f of 10, %s", m.Height*rehab.MaxScore, text)
		}
		s.cells[m.Day] = text
	}
	s.Label = fmt.Sprintf("Mornings, %s: %d settled, %d not settled, %d flared, %d missing.", name,
		counts[load.Settled], counts[load.Unsettled], counts[load.Flared], counts[load.Missing])
	return s
}

// tickShapes are how much of a day was done: all, some, none.
const (
	tickDone = "done"
	tickPart = "part"
	tickNone = "not"
)

func (t *tideline) rehabStrip(r *rehab.Record, courses []rehab.Course, log []rehab.Done, today load.Day) strip {
	name := complaintName(&r.Complaint)
	s := strip{Name: name + ", rehab", Height: rehabHeight, Base: rehabHeight - 2, Rehab: true, cells: make(map[load.Day]string)}
	s.Key, s.Shapes = "rehab of the "+lowered(name), ": filled where all was done that was due, outlined in part, faint not"
	counts := make(map[string]int)
	for _, w := range t.Worked(courses, log) {
		if w.Day == today && w.Share == 0 {
			continue // it may still be done
		}
		shape := tickPart
		switch {
		case w.Whole():
			shape = tickDone
		case w.Share == 0:
			shape = tickNone
		}
		s.Ticks = append(s.Ticks, stripTick{w, shape})
		counts[shape]++
		s.cells[w.Day] = fmt.Sprintf("%.0f %% done", 100*w.Share)
	}
	s.Label = fmt.Sprintf("Rehab, %s: done on %d days, in part on %d, not on %d.", name, counts[tickDone], counts[tickPart], counts[tickNone])
	return s
}

// lowered begins a name in the middle of a sentence.
func lowered(name string) string { return strings.ToLower(name[:1]) + name[1:] }
