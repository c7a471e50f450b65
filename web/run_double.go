package web

import (
	"net/http"
	"strconv"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// doubles is what a page about a run says of other recordings of it.
type doubles struct {
	Counts *otherRun  // the one that counts instead of this
	Others []otherRun // those that this one counts for
	Apart  bool       // the runner said that it is a run of its own
	Chosen bool       // the runner said that this one counts
	Seen   int
}

// otherRun is another recording of the same run.
type otherRun struct{ Text, Address string }

// doublesOf finds the other recordings of the run of one.
func doublesOf(in *load.Input, one *load.Session, base string, seen int) doubles {
	found := load.Doubles(in.Sessions)
	out := doubles{Apart: one.Double == load.DoubleApart, Chosen: one.Double == load.DoubleCounts, Seen: seen}
	for i := range in.Sessions {
		s := &in.Sessions[i]
		other := otherRun{describe(s), base + "/runs/" + s.ID}
		if found[one.ID] == s.ID {
			out.Counts = &other
		}
		if found[s.ID] == one.ID {
			out.Others = append(out.Others, other)
		}
	}
	return out
}

// describe tells two recordings of one run apart.
func describe(s *load.Session) string {
	text := words.Day(s.Day)
	if !s.NoStart {
		text = s.Start.In(s.Zone.Offset).Format("15:04") + ", " + text
	}
	if f := figuresOf(s); f.Distance != "" {
		text += ", " + f.Distance
	}
	switch {
	case s.Typed:
		text += ", typed"
	case s.Device != "":
		text += ", " + s.Device
	}
	return text
}

// switchDouble keeps what the runner says of a recording that is there twice. Where
// this one is to count, what was said for another of the same run is taken back.
func (s *Server) switchDouble(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	id, choice := r.PathValue("id"), r.PostForm.Get("double")
	var e load.Edit
	if err := e.Set("double", choice); err != nil {
		return &problem{http.StatusUnprocessableEntity, "Say which recording counts with one of the buttons.", err}
	}
	ctx := r.Context()
	if e.Double == load.DoubleCounts {
		if err := s.takeBackOthers(r, v, id); err != nil {
			return err
		}
	}
	seen, err := strconv.Atoi(r.PostForm.Get("seen"))
	if err != nil {
		return &problem{http.StatusUnprocessableEntity, "What was sent is not whole; go back and try again.", err}
	}
	if err := v.edit(ctx, id, seen, map[string]string{"double": choice}); err != nil {
		return err
	}
	http.Redirect(w, r, v.link.Base()+"/runs/"+id, http.StatusSeeOther)
	return nil
}

// takeBackOthers takes back the choice of other recordings of the run of id.
func (s *Server) takeBackOthers(r *http.Request, v *visit, id string) error {
	in, err := v.book.Input(r.Context(), v.today)
	if err != nil {
		return err
	}
	found := load.Doubles(in.Sessions)
	root := func(id string) string {
		if counts, ok := found[id]; ok {
			return counts
		}
		return id
	}
	for i := range in.Sessions {
		other := &in.Sessions[i]
		if other.ID == id || other.Double != load.DoubleCounts || root(other.ID) != root(id) {
			continue
		}
		var edits []journal.Edit
		if edits, err = v.book.Edits(r.Context(), other.ID); err != nil {
			return err
		}
		if err := v.edit(r.Context(), other.ID, len(edits), map[string]string{"double": ""}); err != nil {
			return err
		}
	}
	return nil
}
