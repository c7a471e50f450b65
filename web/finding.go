package web

import (
	"net/http"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/journal"
)

// findingList is findings, newest first, and how many are not shown.
type findingList struct {
	Findings []findingLine
	Others   int
	Runner   runnerLink
	Back     string // the page to return to after an answer
}

// findingLine is one warning with what it rests on.
type findingLine struct {
	journal.Finding
	Title string
	Rests []load.Source
	Open  bool
}

// findingsOf picks findings of a picture.
func findingsOf(p *journal.Picture, runner runnerLink, back string, want func(*journal.Finding) bool) findingList {
	list := findingList{Runner: runner, Back: back}
	for i := range p.Findings {
		f := &p.Findings[i]
		if !want(f) {
			list.Others++
			continue
		}
		rule := load.FindRule(f.Rule)
		list.Findings = append(list.Findings, findingLine{
			Finding: *f, Title: rule.Title, Rests: rule.Rests, Open: f.State == journal.Open || f.State == journal.Seen,
		})
	}
	slices.Reverse(list.Findings)
	return list
}

// StateWords says where a finding stands, and why.
func (f findingLine) StateWords() string {
	text := map[journal.State]string{
		journal.Open: "open", journal.Seen: "seen", journal.SetAside: "set aside", journal.Closed: "closed", journal.Withdrawn: "withdrawn",
	}[f.State]
	if f.Why != "" {
		text += ": " + f.Why
	}
	return text
}

// maxWhy is how long a reason may be, in bytes; project default.
const maxWhy = 2000

// answer keeps what the reader says of a finding, and goes back to where it was
// said.
func (s *Server) answer(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	state, why := journal.State(r.PostForm.Get("state")), strings.TrimSpace(r.PostForm.Get("why"))
	if len(why) > maxWhy {
		return &problem{http.StatusUnprocessableEntity, "The reason is longer than " + size(maxWhy) + ". Go back and shorten it.", nil}
	}
	if !slices.Contains([]journal.State{journal.Open, journal.Seen, journal.SetAside}, state) {
		return &problem{http.StatusUnprocessableEntity, "Say whether the warning is open, seen or set aside.", nil}
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
func parseForm(r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		if p := problemOf(err); p.status < 500 {
			return p
		}
		return &problem{http.StatusBadRequest, "What was sent cannot be read as a form.", err}
	}
	return nil
}
