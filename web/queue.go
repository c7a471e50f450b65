package web

import (
	"fmt"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// The kinds of what waits besides those that an assessment finds.
const (
	waitQuiet assess.WaitKind = "quiet" // nothing was added
	waitVisit assess.WaitKind = "visit" // is due
)

// waitLine is something that waits for an answer, with what its form begins with.
type waitLine struct {
	ID, Name, What string
	Kind           assess.WaitKind
	Complaint      string // empty: of the runner
	Number         int    // of the stage or phase, or the day of the flare
	Since          load.Day
	Text           string
	Action         string // of the form; empty: it is not the reader's to answer
	Button         string
	Page, Link     string

	Phase, Stage, Until string // of an order that is given with the answer
	Note, Next          string // of a visit, or to the runner
	Wrong               bool   // it was answered, and something was wrong
}

// Key tells a line from all others on the page.
func (l waitLine) Key() string {
	return fmt.Sprintf("%s-%s-%s-%d", l.ID, l.Kind, l.Complaint, l.Number)
}

const queueWords = "The oldest first. Less has acted at once; more waits for whoever is in charge. What is answered here leaves the list."

// quietDays is after how many days without an upload, or since it was last asked about, somebody
// asks; project default.
const quietDays = 7

// queueOf is what waits of a runner. What was handed over waits for the runner, but a flare and
// a review are looked at.
func queueOf(row *journal.Row) (lines []waitLine) {
	staged := false // the way back is one for all that is followed
	for i := range row.Standing.Cases {
		c := &row.Standing.Cases[i]
		for _, w := range c.Waits {
			confirms := w.Kind == assess.WaitStage || w.Kind == assess.WaitPhase
			if seenSince(row.Visit, w) || confirms && c.Status != rehab.Open || staged && w.Kind == assess.WaitStage {
				continue
			}
			staged = staged || w.Kind == assess.WaitStage
			lines = append(lines, waitLineOf(row, c, w))
		}
	}
	if len(row.Standing.Cases) == 0 {
		return nil
	}
	if line, ok := quietLine(row); ok {
		lines = append(lines, line)
	}
	if v := row.Visit; v != nil && v.HasNext && v.Next <= row.Today {
		line := lineOf(row, waitVisit, v.Next, "a visit is due")
		line.Page, line.Link = line.Page+"/visit", "the visit"
		lines = append(lines, line)
	}
	return lines
}

// seenSince reports whether a visit has answered what waits: a flare and a review are looked
// at there, a stage and a phase wait to be confirmed.
func seenSince(v *journal.Note, w assess.Wait) bool {
	return v != nil && v.Day >= w.Since && (w.Kind == assess.WaitFlare || w.Kind == assess.WaitReview)
}

// lineOf is a line about a runner.
func lineOf(row *journal.Row, kind assess.WaitKind, since load.Day, text string) waitLine {
	base := "/r/" + string(row.ID)
	line := waitLine{ID: string(row.ID), Name: row.Name, Kind: kind, Since: since, Text: text, Page: base}
	if treats(row) {
		line.Action = base + "/answer"
	}
	if v := row.Visit; v != nil && v.HasNext && v.Next > row.Today {
		line.Next = v.Next.String()
	}
	return line
}

// quietLine asks of who adds nothing, again a week after a clinician last wrote to them.
func quietLine(row *journal.Row) (line waitLine, ok bool) {
	s := &row.Standing
	from := s.LastRecord
	if row.Word != nil {
		from = max(from, row.Word.Day)
	}
	if !s.HasRecord || row.Today-from < quietDays {
		return line, false
	}
	days := words.Plural(int(row.Today-s.LastRecord), "day")
	line = lineOf(row, waitQuiet, from+quietDays, "nothing was added for "+days)
	if from > s.LastRecord {
		line.Text += ", last written to on " + words.ShortDay(from)
	}
	line.Link = "the logbook"
	line.Note = "Nothing was added for " + days + ". Is all well? Add your runs, or say that you rested."
	return line, true
}

func waitLineOf(row *journal.Row, c *assess.Case, w assess.Wait) waitLine {
	line := lineOf(row, w.Kind, w.Since, w.Text)
	line.What, line.Complaint, line.Number = caseName(c), c.ID, w.Number
	if o := &c.Order; o.Until >= row.Today {
		line.Phase, line.Stage = numberOr(o.Phase), numberOr(o.Stage)
	}
	line.Until = (row.Today + setupDays).String()
	switch w.Kind {
	case assess.WaitStage:
		line.Page, line.Link, line.Button = line.Page+"/ramp", "the way back", fmt.Sprintf("Stage %d may begin", w.Number)
		if c.Ramp != "running" {
			line.Action = ""
		}
	case assess.WaitPhase:
		line.Page, line.Link, line.Button = line.Page+"/rehab#"+c.ID, "rehab", fmt.Sprintf("Phase %d may begin", w.Number)
	case assess.WaitFlare:
		line.Page, line.Link, line.Button, line.Number = line.Page+"/mornings", "the mornings", "I have seen it", int(w.Since)
	default:
		line.Page, line.Link = line.Page+"/visit", "the visit"
	}
	return line
}

// numberOr is a number as it is typed, nothing of zero.
func numberOr(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}
