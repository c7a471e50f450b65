package web

import (
	"cmp"
	"slices"
	"strings"

	"tidemark/load"
)

// openWarnings are all that stand open of those who are listed, the loudest first.
type openWarnings struct {
	Lines []warningLine
	All   int // there are, shown or not
}

// warningLine is one open warning.
type warningLine struct {
	ID, Name string // of the runner
	Level    load.Level
	Title    string
	Text     string // what it rests on
	Day      load.Day
}

func openWarningsOf(rows []squadRow) (w openWarnings) {
	for i := range rows {
		row := &rows[i]
		for _, one := range row.standing().Whole.Warnings {
			w.Lines = append(w.Lines, warningLine{row.ID, row.Name, one.Level, load.FindRule(one.Rule).Title, one.Text, one.Day})
		}
	}
	slices.SortStableFunc(w.Lines, func(a, b warningLine) int {
		return cmp.Or(cmp.Compare(b.Level, a.Level), cmp.Compare(a.Day, b.Day), strings.Compare(a.Name, b.Name))
	})
	w.All = len(w.Lines)
	w.Lines = w.Lines[:min(w.All, mostRows)]
	return w
}
