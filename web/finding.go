package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/journal"
)

// findingList is findings, newest first, and how many are not shown.
type findingList struct {
	Findings []findingLine
	May      bool // be answered by who looks
	Others   int
	More     string // where the others are, empty: nowhere
	Runner   runnerLink
	Back     string // the page to return to after an answer
}

// findingLine is one warning with what it rests on.
type findingLine struct {
	journal.Finding
	Title    string
	Rests    []load.Source
	Evidence []evidenceLine // stands before the finding's own
	Open     bool
	Early    bool // from before the first use
	Who      string
}

// evidenceLine is one thing that a finding rests on, with the run's address where
// it is about one.
type evidenceLine struct {
	Day           load.Day
	Text, Address string
}

// findingsOf picks findings of a picture. Those that the data no longer show are
// nobody's to look at.
func (v *visit) findingsOf(p *journal.Picture, back string, want func(*journal.Finding) bool) findingList {
	runner := v.link
	list := findingList{Runner: runner, Back: back, May: v.rights.Has(journal.RightAdvise)}
	for i := range p.Findings {
		f := &p.Findings[i]
		if f.State == journal.Withdrawn {
			continue
		}
		if !want(f) {
			list.Others++
			continue
		}
		rule := load.FindRule(f.Rule)
		line := findingLine{Finding: *f, Title: rule.Title, Rests: f.RestsOn(), Open: isOpen(f), Early: f.LastDay < p.Runner.FirstUse, Who: v.who(f.By)}
		for _, e := range f.Evidence {
			address := ""
			if _, ok := p.Offsets[e.Subject]; ok {
				address = runner.Base() + "/runs/" + e.Subject
			}
			line.Evidence = append(line.Evidence, evidenceLine{e.Day, e.Text, address})
		}
		list.Findings = append(list.Findings, line)
	}
	slices.Reverse(list.Findings)
	return list
}

func isOpen(f *journal.Finding) bool { return f.State == journal.Open || f.State == journal.Seen }

// isFresh reports whether a finding from before the first use would still be
// open: who begins today wants to know of last Sunday's run.
func isFresh(f *journal.Finding, firstUse, today load.Day) bool {
	return f.State == journal.Closed && f.By == journal.Rules && f.LastDay < firstUse && today-f.LastDay < load.QuietDays
}

// StateWords says where a finding stands, and why; nothing of an open one.
func (f findingLine) StateWords() string {
	switch {
	case f.State == journal.Open:
		return f.Why
	case f.State == journal.Seen:
		return "Seen, " + f.Who + "."
	case f.State == journal.SetAside:
		return "Set aside, " + f.Who + ": " + f.Why
	case f.Early && f.By == journal.Rules:
		return "From before you began here."
	}
	return "Closed: " + f.Why
}

// maxWhy is how long a reason may be, in bytes: the 500 characters of the form, of
// four bytes each; project default.
const maxWhy = 2000

var errLongWhy = &problem{http.StatusUnprocessableEntity, "The reason is longer than " + size(maxWhy) + ". Go back and shorten it.", nil}

// answer keeps what the reader says of a finding, and goes back to where it was
// said.
func (s *Server) answer(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	state, why := journal.State(r.PostForm.Get("state")), strings.TrimSpace(r.PostForm.Get("why"))
	if len(why) > maxWhy {
		return errLongWhy
	}
	if !slices.Contains([]journal.State{journal.Open, journal.Seen, journal.SetAside}, state) {
		return &problem{http.StatusUnprocessableEntity, "Say whether the warning is open, seen or set aside.", nil}
	}
	if state == journal.SetAside && why == "" {
		return &problem{http.StatusUnprocessableEntity, "Say why it is set aside: whoever looks later will ask. Go back and type a reason.", nil}
	}
	if err := v.book.Answer(r.Context(), r.PathValue("id"), state, why); err != nil {
		return err
	}
	to := v.link.Base()
	if r.PostForm.Get("back") == "load" {
		to += "/load"
	}
	http.Redirect(w, r, to+"#findings", http.StatusSeeOther)
	return nil
}

// parseForm reads a form, and says so if it cannot be read.
// seenOf is how often something was set when the page of a form was made, if it says so.
func seenOf(r *http.Request) int {
	if n, err := strconv.Atoi(r.PostForm.Get("seen")); err == nil {
		return n
	}
	return journal.Unseen
}

func parseForm(r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return formProblem(err)
	}
	return nil
}

// formProblem is what the reader is told of a form that cannot be read.
func formProblem(err error) *problem {
	if p := problemOf(err); p.status < 500 {
		return p
	}
	return &problem{http.StatusBadRequest, "What was sent cannot be read as a form.", err}
}
