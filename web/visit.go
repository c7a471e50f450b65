package web

import (
	"bytes"
	"context"
	"net/http"
	"strings"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/export"
	"tidemark/web/words"
)

// visitPage is one page for a visit, to look at together and to print.
type visitPage struct {
	page
	export.Visit
	Tideline tideline
	PDF      string // address
	Sheet    string // address of what the runner takes home
	Copy     string // to be copied into the record
	Form     visitForm
}

// visitForm keeps notes of a visit.
type visitForm struct{ Action, Day, Next, Text, Fault string }

func (s *Server) visitSheet(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.visitPage(r.Context())
	if err != nil {
		return err
	}
	return s.render(w, http.StatusOK, "visit", out)
}

func (v *visit) visitPage(ctx context.Context) (out visitPage, err error) {
	out = visitPage{page: v.page("Visit", "visit"), PDF: v.link.Base() + "/visit.pdf", Sheet: v.link.Base() + "/take-home"}
	if out.Visit, out.Tideline, err = v.visitModel(ctx); err != nil {
		return out, err
	}
	out.Form = visitForm{Action: v.link.Base() + "/visit", Day: v.today.String()}
	if out.Form.Next, err = v.nextDay(ctx); err != nil {
		return out, err
	}
	out.Copy = visitText(&out.Visit)
	return out, nil
}

// visitPDF sends the visit as a file to print and to hand over.
func (s *Server) visitPDF(w http.ResponseWriter, r *http.Request, v *visit) error {
	m, _, err := v.visitModel(r.Context())
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := export.VisitPDF(&out, &m, s.Now()); err != nil {
		return err
	}
	return attach(w, typePDF, "visit-"+v.today.String()+".pdf", &out)
}

const typePDF = "application/pdf"

// putVisit keeps notes of a visit, and the day of the next.
func (s *Server) putVisit(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	f := visitForm{Action: v.link.Base() + "/visit", Day: r.PostForm.Get("day"), Next: r.PostForm.Get("next"), Text: strings.TrimSpace(r.PostForm.Get("text"))}
	n := journal.Note{Kind: journal.NoteVisit, Text: f.Text}
	var err error
	if n.Day, err = load.ParseDay(f.Day); err != nil || n.Day > v.today {
		f.Fault = "Say on which day the visit was: today or before."
	}
	if f.Next != "" {
		if n.Next, err = load.ParseDay(f.Next); err != nil || n.Next <= n.Day {
			f.Fault = "The next visit comes after this one."
		}
		n.HasNext = true
	}
	if f.Fault == "" && f.Text == "" && f.Next == "" {
		f.Fault = "Write something, or say when the next visit is."
	}
	if f.Fault == "" {
		if err := n.Check(); err != nil {
			f.Fault = words.Sentenced(err.Error())
		}
	}
	if f.Fault == "" {
		if err := v.book.PutNote(r.Context(), n); err != nil {
			return err
		}
		http.Redirect(w, r, f.Action, http.StatusSeeOther)
		return nil
	}
	out, err := v.visitPage(r.Context())
	if err != nil {
		return err
	}
	out.Form = f
	return s.render(w, http.StatusUnprocessableEntity, "visit", out)
}
