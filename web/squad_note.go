package web

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"tidemark/load/journal"
	"tidemark/web/words"
)

// noteForm is a note to one of the runners, or the group that one is put in, as it was typed.
type noteForm struct {
	Runner  string // ID
	Text    string
	Group   string
	Grouped bool   // it was a group
	Fault   string // why it was not kept
	Gone    bool   // the runner is no longer to be seen
	Runners []option
	Groups  []string
}

// namesOf are the runners to choose from: those on the page.
func namesOf(rows []squadRow, chosen string) (names []option) {
	for i := range rows {
		names = append(names, option{Value: rows[i].ID, Text: rows[i].Name, Chosen: rows[i].ID == chosen})
	}
	slices.SortFunc(names, func(a, b option) int { return strings.Compare(a.Text, b.Text) })
	return names
}

// noLonger is what somebody reads whose form is about a runner that they may not see any more.
const noLonger = "That logbook is not open to you any more, so nothing was sent. Whoever runs decides who looks, and can let you in again."

// putNote keeps a note to a runner of the list, or puts them in a group.
func (s *Server) putNote(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	f := noteForm{
		Runner: r.PostForm.Get("runner"), Text: strings.TrimSpace(r.PostForm.Get("text")),
		Group: strings.TrimSpace(r.PostForm.Get("group")), Grouped: r.PostForm.Has("group"),
	}
	v, err := s.visit(r, journal.RunnerID(f.Runner))
	if err == nil {
		f.Fault, err = v.keepNote(r, &f)
	}
	switch {
	case errors.Is(err, journal.ErrNotFound):
		f.Fault, f.Gone = noLonger, true
		return s.showSquad(w, r, f, http.StatusNotFound)
	case err != nil:
		return err
	case f.Fault != "":
		return s.showSquad(w, r, f, http.StatusUnprocessableEntity)
	case f.Grouped:
		http.Redirect(w, r, squadQuery(r).address(), http.StatusSeeOther)
	default:
		http.Redirect(w, r, v.link.Base(), http.StatusSeeOther)
	}
	return nil
}

// keepNote keeps what a form says, or finds why it cannot be kept.
func (v *visit) keepNote(r *http.Request, f *noteForm) (fault string, err error) {
	if f.Grouped {
		if f.Group != "" && journal.CheckName(f.Group) != nil {
			return "The name of a group is too long, or holds characters that do not print.", nil
		}
		return "", v.book.PutGroup(r.Context(), f.Group)
	}
	n := journal.Note{Kind: journal.NoteToRunner, Day: v.today, Text: f.Text}
	if err := n.Check(); err != nil {
		return words.Sentenced(err.Error()), nil
	}
	return "", v.book.PutNote(r.Context(), n)
}

// noteShown is for how many days a note stands on the runner's first page; project default.
const noteShown = 14

// noteLine is what somebody wrote to the runner.
type noteLine struct{ Text, Who string }

// notesOf are the notes to the runner of the last days, the latest first.
func (v *visit) notesOf(r *http.Request) (lines []noteLine, err error) {
	rows, err := v.book.Notes(r.Context())
	for _, n := range slices.Backward(rows) {
		if n.Kind == journal.NoteToRunner && n.Day > v.today-noteShown {
			lines = append(lines, noteLine{n.Text, words.Day(n.Day) + ", " + v.who(n.By)})
		}
	}
	return lines, err
}
