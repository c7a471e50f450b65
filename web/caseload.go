package web

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"

	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// caseloadPage is what a clinician opens in the morning: first what waits for an answer.
type caseloadPage struct {
	page
	Answer string
	Why    string
	Done   string // what was just answered; empty: nothing
	Fault  string // why an answer was not kept
	Queue  []waitLine
	Heads  []header
	Cases  []caseLine
	Find   findForm
	More   string     // where the next rows are; empty: these are all
	None   []nameLine // whose logbook one sees, with nothing followed
	Others []nameLine // of whom something is, and something more may be
}

// nameLine is a link to somebody's logbook.
type nameLine struct{ ID, Name string }

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
	row            *journal.Row
	one            *assess.Case
}

func (s *Server) caseload(w http.ResponseWriter, r *http.Request) error {
	out, rows, err := s.caseloadPage(r)
	if err != nil {
		return err
	}
	if out.Done = answeredWords[r.URL.Query().Get("said")]; out.Done != "" {
		out.Title = out.Done + " " + out.Title // the first that is read aloud
	}
	if err := s.render(w, http.StatusOK, "caseload", out); err != nil {
		return err
	}
	// What the page did not show is new on the next.
	shown := slices.DeleteFunc(rows, func(row journal.Row) bool {
		return !slices.ContainsFunc(out.Cases, func(c caseLine) bool { return c.ID == string(row.ID) })
	})
	return s.Journal.Glanced(r.Context(), s.person(r), journal.ListCaseload, shown)
}

func (s *Server) caseloadPage(r *http.Request) (out caseloadPage, rows []journal.Row, err error) {
	rows, err = s.Journal.Rows(r.Context(), s.person(r), journal.ListCaseload)
	if err != nil {
		return out, nil, err
	}
	rows = slices.DeleteFunc(rows, func(row journal.Row) bool { return row.Role.Owns() || !row.Medical })
	out = caseloadPage{page: s.list(r, "Caseload", "caseload")}
	for i := range rows {
		out.add(&rows[i])
	}
	slices.SortStableFunc(out.Queue, func(a, b waitLine) int { return cmp.Compare(a.Since, b.Since) })
	out.Answer, out.Why = caseloadAnswer(len(out.Cases), len(out.Queue))
	out.list(listOf(r, "/caseload", "find", "order", "from"))
	return out, rows, nil
}

// list is the part of a page that is a list over runners.
func (s *Server) list(r *http.Request, title, at string) page {
	p := s.page(r, title)
	p.At = at
	return p
}

func caseloadAnswer(cases, queue int) (answer, why string) {
	switch {
	case cases == 0:
		return "Nothing is followed in the logbooks that you see.", "A runner lets you in with a link; what hurts is set up from here."
	case queue == 0:
		return "Nothing waits for an answer.", words.Plural(cases, "complaint") + " followed."
	case queue == 1:
		return "One answer is waited for.", queueWords
	}
	return words.Plural(queue, "answer") + " are waited for.", queueWords
}

// add lists what is followed of a runner, and what of it waits.
func (p *caseloadPage) add(row *journal.Row) {
	waiting := queueOf(row)
	p.Queue = append(p.Queue, waiting...)
	if name := (nameLine{string(row.ID), row.Name}); len(row.Standing.Cases) == 0 {
		p.None = append(p.None, name)
	} else {
		p.Others = append(p.Others, name)
	}
	for i := range row.Standing.Cases {
		c := &row.Standing.Cases[i]
		line := caseLineOf(row, c)
		for _, w := range waiting {
			if w.Complaint == c.ID {
				line.sorts++
			}
		}
		p.Cases = append(p.Cases, line)
	}
}

func caseName(c *assess.Case) string { return title(c.Name()) }

func caseLineOf(row *journal.Row, c *assess.Case) caseLine {
	line := caseLine{
		ID: string(row.ID), Name: row.Name, What: caseName(c), Week: c.Week, Flare: "none", Mornings: fmt.Sprintf("%d of %d", c.Said, c.Asked),
		Programme: "none", Ramp: "none", Findings: "none open", Visit: "not said", New: caseNew(row, c), row: row, one: c,
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
	// Of several things that hurt a look keeps the highest phase alone.
	if one := len(row.Standing.Cases) == 1; one && c.Phase != was.Phase && c.Phase > 0 && was.Phase > 0 {
		out = append(out, fmt.Sprintf("phase %d, was %d", c.Phase, was.Phase))
	}
	return out
}
