package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
)

// editForm is what can be corrected of a recording, as it holds or as it was
// typed.
type editForm struct {
	Seen     int // edits that there were when the form was made
	Exertion string
	Kind     string
	Kinds    []option
	Race     bool
	Excluded bool

	Was   given  // what the form was made with
	Fault string // what is wrong with the whole
	Wrong string // the field that is wrong
}

// given is what held when a form was made, as it comes back with it.
type given struct{ Exertion, Kind, Race, Excluded string }

func (f *editForm) given() given { return given{f.Exertion, f.Kind, yesNo(f.Race), yesNo(f.Excluded)} }

// option is one choice of a list.
type option struct {
	Value, Text string
	Chosen      bool
}

// editLine is one correction that was made.
type editLine struct{ When, What string }

// formOf is the form with what holds now.
func formOf(rec *recording) editForm {
	f := editForm{
		Seen: len(rec.edits), Kind: rec.session.Sport.String(), Race: rec.session.Race, Excluded: rec.session.Excluded,
	}
	if edited := rec.original.Edits[rec.session.ID]; edited.Exertion != nil {
		f.Exertion = exact(*edited.Exertion)
	} else if rec.activity.HasExertion {
		f.Exertion = exact(rec.activity.Exertion)
	}
	f.Was = f.given()
	return f.withKinds()
}

func (f editForm) withKinds() editForm {
	f.Kinds = nil
	for kind := load.UnknownSport; kind <= load.OtherSport; kind++ {
		if kind == load.UnknownSport && f.Kind != kind.String() {
			continue // nobody says that it is not known
		}
		f.Kinds = append(f.Kinds, option{kind.String(), kinds[kind], f.Kind == kind.String()})
	}
	return f
}

// editRun keeps corrections. What does not change is not sent to the journal.
func (s *Server) editRun(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	rec, err := v.recording(r)
	if err != nil {
		return err
	}
	typed := typedForm(r)
	changes := typed.changes()
	for key, value := range changes {
		var e load.Edit
		if err := e.Set(key, value); err != nil {
			typed.Wrong, typed.Fault = key, wrongValue(key, value, err)
			return s.showRun(w, r, v, rec, typed, http.StatusUnprocessableEntity)
		}
	}
	opt, err := s.intake(v.runner)
	if err != nil {
		return err
	}
	err = v.book.Edit(r.Context(), rec.session.ID, typed.Seen, changes, intake.Redo(opt))
	if errors.Is(err, journal.ErrConflict) {
		typed = typed.over(formOf(&rec))
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
	http.Redirect(w, r, r.URL.Path+"#correct", http.StatusSeeOther)
	return nil
}

func typedForm(r *http.Request) editForm {
	f := editForm{
		Exertion: strings.TrimSpace(r.PostForm.Get("exertion")), Kind: r.PostForm.Get("kind"),
		Race: r.PostForm.Get("race") == "yes", Excluded: r.PostForm.Get("excluded") == "yes",
	}
	f.Seen, _ = strconv.Atoi(r.PostForm.Get("seen"))
	f.Was = given{r.PostForm.Get("was-exertion"), r.PostForm.Get("was-kind"), r.PostForm.Get("was-race"), r.PostForm.Get("was-excluded")}
	return f.withKinds()
}

// over lays what was typed over what holds now: a field that was left alone has
// its newer value.
func (f editForm) over(now editForm) editForm {
	changes := f.changes()
	out := now
	if _, ok := changes["exertion"]; ok {
		out.Exertion = f.Exertion
	}
	if _, ok := changes["kind"]; ok {
		out.Kind = f.Kind
	}
	if _, ok := changes["race"]; ok {
		out.Race = f.Race
	}
	if _, ok := changes["excluded"]; ok {
		out.Excluded = f.Excluded
	}
	return out.withKinds()
}

// changes is what was changed in the form, by the keys of load.EditTable.
func (f editForm) changes() map[string]string {
	out := make(map[string]string)
	put := func(key, value, before string) {
		if value != before {
			out[key] = value
		}
	}
	put("exertion", strings.ReplaceAll(f.Exertion, ",", "."), f.Was.Exertion)
	put("race", yesNo(f.Race), f.Was.Race)
	put("excluded", yesNo(f.Excluded), f.Was.Excluded)
	if f.Kind != "" {
		put("kind", f.Kind, f.Was.Kind)
	}
	return out
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// wrongValue says in the words of the form what is wanted.
func wrongValue(key, value string, err error) string {
	field, findErr := load.FindEditField(key)
	if findErr != nil {
		return title(err.Error()) + "."
	}
	return fmt.Sprintf("%s %q: want %s.", title(fieldNames[key]), value, field.Want)
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
		if e.Value == "" {
			what = fieldNames[e.Field] + ": back to what the file says"
		}
		out = append(out, editLine{e.At.Time().In(zone).Format("2 January 2006, 15:04"), what})
	}
	return out
}

// fieldNames are the fields of an edit as the form names them.
var fieldNames = map[string]string{"exertion": "effort", "kind": "what it was", "race": "race", "excluded": "left out of the load"}
