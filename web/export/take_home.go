package export

import (
	"io"
	"strings"
	"time"

	"tidemark/load"
	"tidemark/web/export/paper"
)

// TakeHome is what a runner does until the next visit, in plain words: the page and the PDF
// are made of it.
type TakeHome struct {
	Name     string // of the runner
	Day      load.Day
	Answer   string
	Signs    []string // that stand, and what they ask for
	Parts    []TakePart
	RunsSay  string // what stands before the runs, or instead of them
	Runs     []PlannedRun
	How      []string // to run them
	Mornings []string // what to write down
	Stop     []Figure // the signs, and what to do
	Next     string   // when the next visit is
	Caution  string
}

// TakePart is what is done for one complaint.
type TakePart struct {
	Name      string
	Says      string // why there is nothing, or less
	Exercises []TakeExercise
	Pain      []string // the rule, in sentences
}

// TakeExercise is one of them.
type TakeExercise struct{ Name, Amount, Days string }

// Letters of a sheet to take home, in points: large, for who reads it in the kitchen.
const (
	sizeHome   = 12.4
	sizeSigns  = 9.6
	signColumn = 0.56 // of the width, for what it is
)

// TakeHomePDF writes a sheet of one page of A4.
func TakeHomePDF(w io.Writer, t *TakeHome, made time.Time) error {
	_, err := takeHomeSheet(t, made).WriteTo(w)
	return err
}

func takeHomeSheet(t *TakeHome, made time.Time) *sheet {
	return composed(about("This week", t.Name, made), t.Caution, 1, 0.76, func(s *sheet) { s.takeHome(t) })
}

func (s *sheet) takeHome(t *TakeHome) {
	text := paper.Style{Size: sizeHome}
	s.kept = s.stopsHeight(t)
	s.head(t.Name, t.Day.Noon().Format("Monday 2 January 2006"))
	s.text(t.Answer, paper.Style{Size: 14, Bold: true}, 2)
	for _, sign := range t.Signs {
		s.text(sign, paper.Style{Size: sizeHome, Bold: true}, 2)
	}
	for i := range t.Parts {
		s.takePart(&t.Parts[i])
	}
	s.heading("Running")
	s.text(t.RunsSay, text, 1)
	for _, r := range t.Runs {
		s.item(r.Day.Noon().Format("Monday 2 January")+": "+r.What, text)
	}
	s.text(strings.Join(t.How, " "), text, 1)
	if len(t.Mornings) > 0 {
		s.heading("Write down")
		for _, m := range t.Mornings {
			s.item(m, text)
		}
	}
	s.last(func() { s.stops(t) })
}

var signColumns = []column{{at: 0, wide: signColumn * sheetWidth}, {at: signColumn * sheetWidth, wide: (1 - signColumn) * sheetWidth}}

// stops are the signs to stop for and the next visit, which are never left out.
func (s *sheet) stops(t *TakeHome) {
	s.heading("Stop, and get help")
	for _, f := range t.Stop {
		s.row(signColumns, []string{f.Name, f.Text}, paper.Style{Size: sizeSigns})
	}
	s.y += 3
	s.text(nextVisit(t.Next), paper.Style{Size: sizeHome, Bold: true}, 1)
}

// stopsHeight is the room that they take: three lines of text, and the signs.
func (s *sheet) stopsHeight(t *TakeHome) float64 {
	line := s.Lay("x", s.style(paper.Style{Size: sizeHome}), sheetWidth)
	height := 3*line.Height() + 10
	for _, f := range t.Stop {
		_, tall := s.cells(signColumns, []string{f.Name, f.Text}, paper.Style{Size: sizeSigns})
		height += tall + 1
	}
	return height
}

func (s *sheet) takePart(p *TakePart) {
	text := paper.Style{Size: sizeHome}
	s.heading(p.Name)
	s.text(p.Says, text, 1)
	columns := []column{{at: 0, wide: 0.40 * sheetWidth}, {at: 0.40 * sheetWidth, wide: 0.34 * sheetWidth}, {at: 0.74 * sheetWidth, wide: 0.26 * sheetWidth}}
	if len(p.Exercises) > 0 {
		s.row(columns, []string{"exercise", "how much", "when"}, paper.Style{Size: sizeSigns, Grey: greySoft})
		s.rule()
	}
	for _, e := range p.Exercises {
		s.row(columns, []string{e.Name, e.Amount, e.Days}, text)
	}
	s.y += 2
	s.text(strings.Join(p.Pain, " "), text, 1)
}
