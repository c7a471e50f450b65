package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
)

// editLine is one correction that was made.
type editLine struct{ When, What string }

// editRun keeps corrections. What does not change is not sent to the journal.
func (s *Server) editRun(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	rec, err := v.recording(r)
	if err != nil {
		return err
	}
	now, err := v.form(r.Context(), &rec)
	if err != nil {
		return err
	}
	typed := now.clone().typedOver(r)
	if typed.check(&rec.session, v.today); typed.Fault != "" {
		return s.showRun(w, r, v, rec, typed, http.StatusUnprocessableEntity)
	}
	err = v.edit(r.Context(), rec.session.ID, typed.Seen, typed.changes())
	if errors.Is(err, journal.ErrConflict) {
		typed = typed.over(now)
		typed.Fault = "Somebody else corrected this run meanwhile; the list below says how. Look at what you typed and save again."
		return s.showRun(w, r, v, rec, typed, http.StatusConflict)
	}
	if err != nil {
		p := problemOf(err)
		if p.status < http.StatusInternalServerError {
			return err
		}
		s.Log.Error("edit run", "error", err)
		typed.Fault = p.text
		return s.showRun(w, r, v, rec, typed, p.status)
	}
	to := r.URL.Path + "#correct"
	if r.PostForm.Get("back") == "today" {
		to = v.link.Base()
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// wrongValue says in the words of the form what is wanted.
func wrongValue(key, value string) string {
	field, err := load.FindEditField(key)
	if err != nil {
		return "There is no such field."
	}
	return fmt.Sprintf("%s %.40q: want %s.", title(fieldNames[key]), value, field.Want)
}

// editLines writes the corrections, the last first.
func editLines(edits []journal.Edit, home string) (out []editLine) {
	zone, err := time.LoadLocation(home)
	if err != nil {
		zone = time.UTC
	}
	for i := len(edits) - 1; i >= 0; i-- {
		e := edits[i]
		what := fmt.Sprintf("%s: %s", fieldNames[e.Field], e.Value)
		switch {
		case e.Value == "":
			what = fieldNames[e.Field] + ": back to what the file says"
		case e.Field == "double":
			what = doubleSaid[load.DoubleChoice(e.Value)]
		}
		by := ""
		if e.By != journal.Local {
			by = ", " + whoWords(e.By)
		}
		out = append(out, editLine{e.At.Time().In(zone).Format("2 January 2006, 15:04") + by, what})
	}
	return out
}

// fieldNames are the fields of an edit as the form names them.
var fieldNames = map[string]string{
	"exertion": "effort", "kind": "what it was", "race": "race", "surface": "surface", "distance": "distance in km",
	"incline": "incline of the belt in percent", "run": "minutes run", "shoe": "shoes", "note": "note", "day": "date",
	"double": "which recording counts", "excluded": "left out of the load",
}

var doubleSaid = map[load.DoubleChoice]string{
	load.DoubleCounts: "this recording counts, not the other of the same run",
	load.DoubleApart:  "not the same run as the other recording",
}

// edit keeps changes and brings the findings up to them.
func (v *visit) edit(ctx context.Context, session string, seen int, changes map[string]string) error {
	opt, err := v.server.intake(v.runner)
	if err != nil {
		return err
	}
	return v.book.Edit(ctx, session, seen, changes, intake.Redo(opt))
}
