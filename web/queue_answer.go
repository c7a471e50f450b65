package web

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// answeredWords are what the list says was answered, by its kind.
var answeredWords = map[string]string{
	string(assess.WaitStage): "The stage is confirmed.", string(assess.WaitPhase): "The phase is confirmed.", "order": "It is allowed in advance.",
	string(assess.WaitFlare): "The flare is marked as seen.", string(journal.WaitQuiet): "The note is sent: it stands on the runner's first page.", string(journal.WaitVisit): "The notes are kept.",
}

// errFirst is told who answers what does not wait any more.
var errFirst = &problem{http.StatusConflict, "Somebody answered this first, or it is not so any more. Nothing was kept of your answer; what still waits stands below.", nil}

// answerWait keeps the answer to something that waits, from the list. What cannot be kept is
// said there, with what was typed.
func (s *Server) answerWait(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	said, line, err := s.answered(r)
	if err == nil {
		http.Redirect(w, r, "/caseload?said="+said, http.StatusSeeOther)
		return nil
	}
	p := problemOf(err)
	if p.status >= http.StatusInternalServerError {
		return err
	}
	out, _, err := s.caseloadPage(r)
	if err != nil {
		return err
	}
	out.Fault, out.Title = p.text, "Not kept. "+out.Title
	for i := range out.Queue {
		if l := &out.Queue[i]; line != nil && l.Key() == line.Key() {
			l.Wrong = true
			l.Phase, l.Stage, l.Until = r.PostForm.Get("phase"), r.PostForm.Get("stage"), r.PostForm.Get("until")
			l.Note, l.Next = r.PostForm.Get("text"), r.PostForm.Get("next")
		}
	}
	return s.render(w, p.status, "caseload", out)
}

// answered finds what waits among what the person sees now, and keeps the answer. It returns
// what is said of it, and the line if there is one.
func (s *Server) answered(r *http.Request) (said string, line *waitLine, err error) {
	rows, err := s.Journal.Rows(r.Context(), s.person(r), journal.ListCaseload)
	if err != nil {
		return "", nil, err
	}
	i := slices.IndexFunc(rows, func(row journal.Row) bool { return string(row.ID) == r.PathValue("runner") && treats(&row) })
	if i < 0 {
		return "", nil, &problem{http.StatusNotFound, "That logbook is not yours to answer for, or not any more. Nothing was kept.", nil}
	}
	lines := queueOf(&rows[i])
	at := slices.IndexFunc(lines, func(l waitLine) bool { return l.Key() == r.PostForm.Get("what") && l.Action != "" })
	if at < 0 {
		return "", nil, errFirst
	}
	line = &lines[at]
	v, err := s.visit(r, rows[i].ID)
	if err != nil {
		return "", line, err
	}
	said, err = v.answerLine(r, line)
	if errors.Is(err, journal.ErrConflict) {
		err = errFirst
	}
	return said, line, err
}

// wrong is what is wrong with an answer, of whom.
func (l *waitLine) wrong(text string) error {
	return &problem{http.StatusUnprocessableEntity, l.Name + ": " + text, nil}
}

func (v *visit) answerLine(r *http.Request, line *waitLine) (said string, err error) {
	ctx := r.Context()
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	do := get("do")
	switch {
	case line.Kind == journal.WaitQuiet:
		n := journal.Note{Kind: journal.NoteToRunner, Day: v.today, Text: get("text")}
		if err := n.Check(); err != nil {
			return "", line.wrong("write something to them, in at most 8000 characters.")
		}
		return string(journal.WaitQuiet), v.book.PutNote(ctx, n)
	case line.Kind == assess.WaitFlare && do != "visit":
		return string(assess.WaitFlare), v.seeFlare(ctx, line)
	case line.Kind == assess.WaitFlare || line.Kind == assess.WaitReview || line.Kind == journal.WaitVisit:
		return string(journal.WaitVisit), v.noteVisit(ctx, line, get("text"), get("next"))
	}
	said = string(line.Kind)
	if err := v.stopped(ctx, line); err != nil {
		return "", err
	}
	var o *rehab.Order
	if do == "order" {
		said = "order"
		if o, err = v.orderTyped(line, get); err != nil {
			return "", err
		}
	}
	confirm := v.confirmPhase
	if line.Kind == assess.WaitStage {
		confirm = v.confirmStage
	}
	err = confirm(ctx, line, o)
	if refused, ok := errors.AsType[*journal.OrderError](err); ok {
		err = line.wrong(words.Sentenced(refused.Text))
	}
	return said, err
}

// seeFlare marks the warning of a morning that flared as seen.
func (v *visit) seeFlare(ctx context.Context, line *waitLine) error {
	findings, err := v.book.Findings(ctx)
	if err != nil {
		return err
	}
	f, ok := journal.FlareOf(findings, line.Complaint, load.Day(line.Number))
	if !ok {
		return errFirst
	}
	return v.book.Answer(ctx, f.ID, journal.Seen, "")
}

// noteVisit keeps notes of a visit today, and the day of the next.
func (v *visit) noteVisit(ctx context.Context, line *waitLine, text, next string) error {
	n := journal.Note{Kind: journal.NoteVisit, Day: v.today, Text: text}
	var fault fieldFault
	if n.Next, n.HasNext, fault = readNext(next, v.today); fault.Text != "" {
		return line.wrong(fault.Text)
	}
	if text == "" && (!n.HasNext || next == line.Next) {
		return line.wrong("write something, or say when the next visit is.")
	}
	if n.Check() != nil {
		return line.wrong("that is longer than 8000 characters.")
	}
	return v.book.PutNote(ctx, n)
}

// orderTyped is the order that was typed with an answer; it must reach what is confirmed, and
// replace the one that was shown.
func (v *visit) orderTyped(line *waitLine, get func(string) string) (*rehab.Order, error) {
	o, fault := readOrder(get("phase"), get("stage"), get("until"), v.today)
	o.Complaint = line.Complaint
	reached := map[assess.WaitKind]int{assess.WaitStage: o.Stage, assess.WaitPhase: o.Phase}[line.Kind]
	switch {
	case get("orders") != strconv.Itoa(line.Orders):
		return nil, errFirst
	case fault.Text != "":
		return nil, line.wrong(fault.Text)
	case reached < line.Number:
		return nil, line.wrong("what is allowed in advance does not reach " + string(line.Kind) + " " + numberOr(line.Number) + ", which waits.")
	}
	return &o, nil
}

// stopped reports why no stage can be confirmed now, before anything is kept.
func (v *visit) stopped(ctx context.Context, line *waitLine) error {
	if line.Kind != assess.WaitStage {
		return nil
	}
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return err
	}
	if f := care.Stopping(v.today); f != nil {
		return line.wrong(stoppedFault(f))
	}
	if care.Ramp != nil && care.Ramp.Terms.HeldOn(v.today) {
		return line.wrong("the way back is held; lift that first.")
	}
	return nil
}

// confirmStage lets the stage that waits begin, with an order if there is one.
func (v *visit) confirmStage(ctx context.Context, line *waitLine, o *rehab.Order) error {
	terms, seen, err := v.book.RampTerms(ctx)
	if err != nil {
		return err
	}
	terms.Roof, terms.State, terms.Until = line.Number, ramp.Running, 0
	if o != nil {
		return v.book.SetRampAndAllow(ctx, seen, terms, line.Orders, *o)
	}
	return v.book.SetRampAfter(ctx, seen, terms, "")
}

// confirmPhase lets the phase that waits begin, with an order if there is one.
func (v *visit) confirmPhase(ctx context.Context, line *waitLine, o *rehab.Order) error {
	plan, err := v.book.Plan(ctx)
	if err != nil {
		return err
	}
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return err
	}
	now, stands := courseOf(care, line.Complaint, v.today)
	if !stands || now.Phase()+1 != line.Number {
		return errFirst
	}
	p := now.Prescription
	p.From, p.Phase, p.State = max(v.today, p.Started), line.Number, rehab.Running
	if o != nil {
		return v.book.PrescribeAndAllow(ctx, len(plan.Prescriptions), p, line.Orders, *o)
	}
	return v.book.PrescribeAfter(ctx, len(plan.Prescriptions), p, "")
}
