package export

import (
	"io"
	"strings"
	"time"

	"tidemark/web/export/paper"
)

// Letters of a visit, in points.
const (
	sizeText  = 8.6
	sizeSmall = 7.4
)

// VisitPDF writes a visit as one page of A4, two where several things hurt. The same visit
// and time are the same bytes.
func VisitPDF(w io.Writer, v *Visit, made time.Time) error {
	_, err := visitSheet(v, made).WriteTo(w)
	return err
}

func visitSheet(v *Visit, made time.Time) *sheet {
	most := 1
	if len(v.Cases) > 1 {
		most = 2
	}
	return composed(about("Visit of "+v.Day.Spoken(), v.Name, made), v.Caution, most, 0.82, func(s *sheet) { s.visit(v) })
}

func (s *sheet) visit(v *Visit) {
	text, soft := paper.Style{Size: sizeText}, paper.Style{Size: sizeText, Grey: greySoft}
	s.head(v.Name, v.Day.Noon().Format("Monday 2 January 2006"))
	s.text(v.Answer, paper.Style{Size: 12, Bold: true}, 1)
	for _, sign := range v.Signs {
		s.text(sign, paper.Style{Size: soft.Size, Bold: true}, 1)
	}
	s.text(strings.TrimSpace(v.Since+" "+v.Late), soft, 3)
	if v.Picture != nil {
		s.picture(v.Picture)
	}
	s.text(figures(v.Numbers), text, 1)
	for i := range v.Cases {
		s.visitCase(&v.Cases[i])
	}
	if len(v.Tests) > 0 {
		s.heading("Tests")
		for i := range v.Tests {
			s.item(testLine(&v.Tests[i]), text)
		}
	}
	s.visitPlan(&v.Plan)
	if len(v.Notes) > 0 || v.Next != "" {
		s.heading("Notes of visits")
	}
	s.text(nextVisit(v.Next), text, 1)
	s.notes(v.Notes)
}

// head is the name and the day.
func (s *sheet) head(name, day string) {
	b := s.Lay(paper.Apart(name), s.style(paper.Style{Size: 15, Bold: true, Most: 2}), sheetWidth-150)
	s.Write(day, paper.Style{Size: sizeText, Grey: greySoft, Align: paper.Right}, sheetLeft+sheetWidth-150, s.y+5, 150)
	s.y = s.Put(b, sheetLeft, s.y)
	s.rule()
	s.y += 3
}

func nextVisit(next string) string {
	if next == "" {
		return ""
	}
	return "Next visit: " + next + "."
}

func figures(all []Figure) string {
	var parts []string
	for _, f := range all {
		parts = append(parts, f.Name+" "+f.Text)
	}
	if len(parts) == 0 {
		return ""
	}
	text := strings.Join(parts, "; ") + "."
	return strings.ToUpper(text[:1]) + text[1:]
}

func testLine(t *VisitTest) string {
	text := t.Name + ", " + t.Day.Spoken() + ": " + t.Result + ". "
	if t.Before != "" {
		text += "Before: " + t.Before + ". "
	}
	return text + strings.ToUpper(t.Change[:1]) + t.Change[1:] + " (" + t.Band + ")."
}

// visitCase is one complaint, and the table of what was set and done.
func (s *sheet) visitCase(c *VisitCase) {
	s.heading(c.Name)
	text := strings.Join(c.Lines, "; ") + "."
	s.text(strings.ToUpper(text[:1])+text[1:], paper.Style{Size: sizeText}, 1)
	if c.Programme == "" {
		return
	}
	s.text("Programme: "+c.Programme+". Done of what was set, in the seven days up to each date:", paper.Style{Size: sizeText}, 2)
	if len(c.Doses) > 0 {
		s.doses(c)
	}
}

// doses is the table of what was set of a programme, and done.
func (s *sheet) doses(c *VisitCase) {
	const week = 29.5
	weeks := week * float64(len(c.Weeks))
	last := 52.0
	if len(c.Weeks) == 0 {
		last = 0
	}
	name := 0.54 * (sheetWidth - weeks - last)
	columns := []column{{"exercise", 0, name, paper.Left}, {"set", name, sheetWidth - weeks - last - name, paper.Left}}
	for i, day := range c.Weeks {
		columns = append(columns, column{day.Noon().Format("2 Jan"), sheetWidth - weeks - last + week*float64(i), week, paper.Right})
	}
	if len(c.Weeks) > 0 {
		columns = append(columns, column{"last week", sheetWidth - last, last, paper.Right})
	}
	var heads []string
	for _, one := range columns {
		heads = append(heads, one.head)
	}
	small := paper.Style{Size: sizeSmall}
	s.row(columns, heads, paper.Style{Size: sizeSmall, Grey: greySoft})
	s.rule()
	for _, d := range c.Doses {
		cells := append([]string{d.Name, d.Set}, d.Done...)
		for len(cells) < len(c.Weeks)+2 {
			cells = append(cells, "")
		}
		if len(c.Weeks) > 0 {
			cells = append(cells, d.Last)
		}
		s.row(columns, cells, small)
	}
	if len(c.Weeks) > 0 {
		s.row(columns, append(append([]string{"in the mean", ""}, c.Mean...), ""), paper.Style{Size: sizeSmall, Grey: greySoft})
	}
	s.y += 2 * s.scale
}

// visitPlan is what comes, with the runs in two columns.
func (s *sheet) visitPlan(p *VisitPlan) {
	if len(p.Lines) == 0 && len(p.Runs) == 0 && len(p.Waits) == 0 {
		return
	}
	s.heading("Plan")
	text := paper.Style{Size: sizeText}
	for _, l := range p.Lines {
		s.item(strings.ToUpper(l.Name[:1])+l.Name[1:]+": "+l.Text, text)
	}
	for _, w := range p.Waits {
		s.item("Waits for an answer: "+w+".", text)
	}
	if len(p.Runs) == 0 {
		return
	}
	s.text("Runs of the next two weeks, if each morning settles:", paper.Style{Size: sizeText, Grey: greySoft}, 0)
	half := (len(p.Runs) + 1) / 2
	columns := []column{{at: 9, wide: sheetWidth/2 - 9}, {at: sheetWidth / 2, wide: sheetWidth / 2}}
	for i := range half {
		cells := []string{runLine(&p.Runs[i]), ""}
		if i+half < len(p.Runs) {
			cells[1] = runLine(&p.Runs[i+half])
		}
		s.row(columns, cells, paper.Style{Size: sizeSmall})
	}
}

func runLine(r *PlannedRun) string { return r.Day.Noon().Format("Mon 2 Jan") + ": " + r.What }

// noteLines is how much of what was noted is printed at most, and leastNote how much of the
// last visit before the letters become smaller; project defaults. All of it is on the page.
const (
	noteLines = 14
	leastNote = 5
)

// notes are the last visits, as far as there is room.
func (s *sheet) notes(notes []VisitNote) {
	style := s.style(paper.Style{Size: sizeText, Own: true})
	left := noteLines
	for i, n := range notes {
		who := s.Lay(paper.Apart(n.Who), s.style(paper.Style{Size: sizeSmall, Grey: greySoft, Most: 1}), sheetWidth)
		whole := s.Lay(n.Text, style, sheetWidth)
		fits := left
		if s.Pages() == s.most {
			fits = min(left, whole.LinesIn(s.bottom()-s.y-who.Height()))
		}
		if i == 0 && fits < min(leastNote, whole.Lines()) {
			s.full = s.full || s.Pages() == s.most
		}
		if fits <= 0 || i > 0 && fits < min(leastNote, whole.Lines()) {
			break // an older note is no reason to print smaller
		}
		style.Most = fits
		b := s.Lay(n.Text, style, sheetWidth)
		if s.y+who.Height()+b.Height() > s.bottom() && !s.room(who.Height()+b.Height()) {
			break
		}
		s.y = s.Put(who, sheetLeft, s.y)
		s.y = s.Put(b, sheetLeft, s.y) + 2
		left -= b.Lines() + 1
	}
}
