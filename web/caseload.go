package web

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// caseloadPage is what a clinician opens in the morning: first what waits for an answer.
type caseloadPage struct {
	page
	Answer string
	Why    string
	Queue  []waitLine
	Cases  []caseLine
	None   []nameLine // whose logbook one sees, with nothing followed
}

// nameLine is a link to somebody's logbook.
type nameLine struct{ ID, Name string }

// waitLine is something that waits for an answer, with the form that gives it.
type waitLine struct {
	ID, Name, What string
	Since          load.Day
	Text           string
	Action         string // of the form; empty: it is answered on Page
	Field, Value   string
	Button         string
	Page, Link     string
}

// caseLine is a complaint in the list.
type caseLine struct {
	ID, Name, What string
	Week           int
	Flare          string
	Mornings       string
	Programme      string
	Ramp           string
	Findings       string
	Visit          string
	New            []string
	sorts          int
}

func (s *Server) caseload(w http.ResponseWriter, r *http.Request) error {
	rows, err := s.Journal.Rows(r.Context(), s.person(r), journal.ListCaseload)
	if err != nil {
		return err
	}
	rows = slices.DeleteFunc(rows, func(row journal.Row) bool { return row.Role.Owns() || !row.Medical })
	out := caseloadPage{page: s.list(r, "Caseload", "caseload")}
	for i := range rows {
		out.add(&rows[i])
	}
	slices.SortStableFunc(out.Queue, func(a, b waitLine) int { return cmp.Compare(a.Since, b.Since) })
	slices.SortStableFunc(out.Cases, func(a, b caseLine) int { return cmp.Or(cmp.Compare(b.sorts, a.sorts), strings.Compare(a.Name, b.Name)) })
	out.Answer, out.Why = caseloadAnswer(len(out.Cases), len(out.Queue))
	if err := s.render(w, http.StatusOK, "caseload", out); err != nil {
		return err
	}
	return s.Journal.Glanced(r.Context(), s.person(r), journal.ListCaseload, rows)
}

// list is the part of a page that is a list over runners.
func (s *Server) list(r *http.Request, title, at string) page {
	p := s.page(r, title)
	p.At = at
	return p
}

const queueWords = "The oldest first. Less has acted at once; more waits for whoever is in charge. Notes of a visit answer a flare and a review."

func caseloadAnswer(cases, queue int) (answer, why string) {
	switch {
	case cases == 0:
		return "Nothing is followed in the logbooks that you see.", "A runner lets you in with a link; what hurts is opened on the page “Something hurts”."
	case queue == 0:
		return "Nothing waits for an answer.", words.Plural(cases, "complaint") + " followed."
	case queue == 1:
		return "One answer is waited for.", queueWords
	}
	return words.Plural(queue, "answer") + " are waited for.", queueWords
}

// quietDays is after how many days without an upload somebody asks; project default.
const quietDays = 7

// add lists what is followed of a runner, and what of it waits.
func (p *caseloadPage) add(row *journal.Row) {
	base := "/r/" + string(row.ID)
	if len(row.Standing.Cases) == 0 {
		p.None = append(p.None, nameLine{string(row.ID), row.Name})
		return
	}
	for i := range row.Standing.Cases {
		c := &row.Standing.Cases[i]
		line := caseLineOf(row, c)
		for _, w := range c.Waits {
			if !seenSince(row.Visit, w) {
				p.Queue = append(p.Queue, waitLineOf(row, c, w, base))
				line.sorts++
			}
		}
		p.Cases = append(p.Cases, line)
	}
	if s := &row.Standing; s.HasRecord && row.Today-s.LastRecord >= quietDays {
		p.Queue = append(p.Queue, waitLine{
			ID: string(row.ID), Name: row.Name, Since: s.LastRecord + quietDays, Text: "nothing was added for " + words.Plural(int(row.Today-s.LastRecord), "day"), Page: base, Link: "the logbook",
		})
	}
	if v := row.Visit; v != nil && v.HasNext && v.Next <= row.Today {
		p.Queue = append(p.Queue, waitLine{ID: string(row.ID), Name: row.Name, Since: v.Next, Text: "a visit is due", Page: base + "/visit", Link: "the visit"})
	}
}

// seenSince reports whether a visit has answered what waits: a flare and a review are looked
// at there, a stage and a phase wait to be confirmed.
func seenSince(v *journal.Note, w assess.Wait) bool {
	return v != nil && v.Day >= w.Since && (w.Kind == assess.WaitFlare || w.Kind == assess.WaitReview)
}

func waitLineOf(row *journal.Row, c *assess.Case, w assess.Wait, base string) waitLine {
	line := waitLine{ID: string(row.ID), Name: row.Name, What: caseName(c), Since: w.Since, Text: w.Text}
	switch w.Kind {
	case assess.WaitStage:
		line.Page, line.Link = base+"/ramp", "the way back"
		if c.Ramp == "running" {
			line.Action, line.Field, line.Value, line.Button = base+"/ramp/state", "roof", fmt.Sprint(w.Number), fmt.Sprintf("Stage %d may begin", w.Number)
		}
	case assess.WaitPhase:
		line.Page, line.Link = base+"/rehab#"+c.ID, "rehab"
		line.Action, line.Field, line.Value, line.Button = base+"/rehab/"+c.ID+"/prescribe", "phase", fmt.Sprint(w.Number), fmt.Sprintf("Phase %d may begin", w.Number)
	case assess.WaitFlare:
		line.Page, line.Link = base+"/mornings", "the mornings"
	default:
		line.Page, line.Link = base+"/visit", "the visit"
	}
	return line
}

func caseName(c *assess.Case) string {
	return complaintName(&rehab.Complaint{Site: c.Site, Side: c.Side, Bone: c.Bone})
}

func caseLineOf(row *journal.Row, c *assess.Case) caseLine {
	line := caseLine{
		ID: string(row.ID), Name: row.Name, What: caseName(c), Week: c.Week, Flare: "none", Mornings: fmt.Sprintf("%d of %d", c.Said, c.Asked),
		Programme: "none", Ramp: "none", Findings: "none open", Visit: "not said", New: caseNew(row, c),
	}
	if c.HasFlare {
		line.Flare = agoWords(row.Today - c.Flare)
	}
	if c.Programme != "" {
		line.Programme = fmt.Sprintf("%s, phase %d", c.Programme, c.Phase)
		if c.Paused {
			line.Programme = c.Programme + ", paused"
		}
		if c.HasDone {
			line.Programme += fmt.Sprintf(", %.0f %% of seven days done", 100*c.Done)
		}
	}
	switch {
	case c.Ramp == "":
	case c.Ramp != "running":
		line.Ramp = c.Ramp
	case c.Stage > 0:
		line.Ramp = fmt.Sprintf("stage %d", c.Stage)
	default:
		line.Ramp = "after the ladder, or stopped"
	}
	if n := row.Standing.Whole.OpenFindings; n > 0 {
		line.Findings = words.Plural(n, "warning") + ": " + row.Standing.Whole.Why
	}
	if v := row.Visit; v != nil && v.HasNext {
		line.Visit = words.ShortDay(v.Next)
	}
	return line
}

// caseNew says what changed of a complaint since the person last looked.
func caseNew(row *journal.Row, c *assess.Case) (out []string) {
	if row.Before == nil {
		return nil
	}
	out = newWords(row)
	was := row.Before
	if c.HasFlare && c.Flare > was.Flare {
		out = append(out, "a new flare")
	}
	if c.Stage != was.Stage && c.Stage > 0 && was.Stage > 0 {
		out = append(out, fmt.Sprintf("stage %d, was %d", c.Stage, was.Stage))
	}
	if c.Phase != was.Phase && c.Phase > 0 && was.Phase > 0 {
		out = append(out, fmt.Sprintf("phase %d, was %d", c.Phase, was.Phase))
	}
	return out
}

// backTo is the caseload, where a form of it was sent, or the page of the form.
func backTo(r *http.Request, to string) string {
	if r.PostForm.Get("back") == "caseload" {
		return "/caseload"
	}
	return to
}
