package export

import (
	"tidemark/load"
	"tidemark/web/chart"
)

// Visit is what a runner and a clinician look at together, in words and without a
// layout: the page, its text to copy and the PDF are made of it. Texts are of one line;
// what is empty is left out.
type Visit struct {
	Name    string // of the runner
	Day     load.Day
	Answer  string
	Signs   []string // that stand, and what they ask for
	Since   string   // what happened since the last visit
	Picture *Picture // nil: nothing is known of any run
	Numbers []Figure
	Cases   []VisitCase
	Late    string // how many scores were typed after their day
	Tests   []VisitTest
	Plan    VisitPlan
	Notes   []VisitNote // the latest first
	Next    string      // when the next visit is
	Caution string
}

// Picture is the load of days, and under it the mornings and the rehab of the same days.
type Picture struct {
	chart.Tideline
	Unit   string // of the load of a day
	Says   string // what the picture shows, for who does not see it
	Strips []Strip
}

// Strip is the mornings of one complaint, or what was done for it: one of the two.
type Strip struct {
	Name     string
	Mornings []chart.Mark
	Worked   []chart.Worked
}

// Figure is a number with its name.
type Figure struct{ Name, Text string }

// VisitCase is one complaint, and what was set for it and done.
type VisitCase struct {
	Name      string
	Lines     []string
	Programme string     // empty: none is set
	Weeks     []load.Day // the last day of each, the earliest first
	Doses     []VisitDose
	Mean      []string // share of all that was done, one a week
}

// VisitDose is an exercise as it was set, and what was done of it.
type VisitDose struct {
	Name, Set string
	Last      string   // done of planned in the last of the weeks
	Done      []string // share, one a week; empty: it was not set
}

// VisitTest is the last result of a test against the one before.
type VisitTest struct {
	Name   string
	Day    load.Day
	Result string
	Before string // the one before, with its day
	Change string // and how it is to be read
	Band   string // that repeats differ by, or that people notice
}

// VisitPlan is what comes.
type VisitPlan struct {
	Lines []Figure
	Runs  []PlannedRun // of the next two weeks
	Waits []string     // for an answer
}

// PlannedRun is one run of the way back.
type PlannedRun struct {
	Day  load.Day
	What string
}

// VisitNote is what was noted at a visit.
type VisitNote struct{ Text, Who string }
