package web

import (
	"fmt"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/words"
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
	Orders              int    // that were given before
	Note, Next          string // of a visit, or to the runner
	Wrong               bool   // it was answered, and something was wrong
}

// Key tells a line from all others on the page.
func (l waitLine) Key() string {
	return fmt.Sprintf("%s-%s-%s-%d-%d", l.ID, l.Kind, l.Complaint, l.Number, l.Since)
}

const queueWords = "The oldest first. Less has acted at once; more waits for whoever is in charge. What is answered here leaves the list."

// queueOf is what waits of a runner.
func queueOf(row *journal.Row) (lines []waitLine) {
	for _, w := range row.Waiting() {
		lines = append(lines, waitLineOf(row, w))
	}
	return lines
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

func waitLineOf(row *journal.Row, w journal.Waiting) waitLine {
	line := lineOf(row, w.Kind, w.Since, w.Text)
	line.Number = w.Number
	if c := w.Case; c != nil {
		line.What, line.Complaint = caseName(c), c.ID
		line.Orders = c.Orders
		if o := &c.Order; o.Until >= row.Today {
			line.Phase, line.Stage = numberOr(o.Phase), numberOr(o.Stage)
		}
		line.Until = (row.Today + setupDays).String()
	}
	switch w.Kind {
	case assess.WaitStage:
		line.Page, line.Link, line.Button = line.Page+"/ramp", "the way back", fmt.Sprintf("Stage %d may begin", w.Number)
		if w.Case.Ramp != "running" {
			line.Action = ""
		}
	case assess.WaitPhase:
		line.Page, line.Link, line.Button = line.Page+"/rehab#"+w.Case.ID, "rehab", fmt.Sprintf("Phase %d may begin", w.Number)
	case assess.WaitFlare:
		line.Page, line.Link, line.Button, line.Number = line.Page+"/mornings", "the mornings", "I have seen it", int(w.Since)
	case journal.WaitQuiet:
		line.Link = "the logbook"
		line.Note = "No run was added for " + words.Plural(int(row.Today-row.Standing.LastRecord), "day") + ". Is all well? Add your runs, or say that you rested."
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
