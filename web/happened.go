package web

import (
	"context"
	"net/http"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// happenedPage asks about the signs that are no matter of limits, and lifts them.
type happenedPage struct {
	page
	Action string
	Done   string // what was just kept; empty: nothing
	Fault  string
	Why    string // as typed
	Stand  []flagLine
	Others []rehab.RedFlag
	Said   []settingChange
}

// flagLine is a sign that stands.
type flagLine struct {
	rehab.RedFlag
	From load.Day
}

func (s *Server) happened(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.happenedPage(r.Context())
	if err != nil {
		return err
	}
	if r.URL.Query().Get("said") == "set-up" {
		out.Done = "All of it is kept. What stands here acts from now on."
	}
	return s.render(w, http.StatusOK, "happened", out)
}

func (v *visit) happenedPage(ctx context.Context) (out happenedPage, err error) {
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return out, err
	}
	rows, err := v.book.RedFlags(ctx)
	if err != nil {
		return out, err
	}
	out = happenedPage{page: v.page("Something happened", "happened"), Action: v.link.Base() + "/happened"}
	stands := make(map[string]bool)
	for i := range care.Flags {
		if f := &care.Flags[i]; f.Stands(v.today) {
			out.Stand = append(out.Stand, flagLine{f.Flag, f.From})
			stands[f.Flag.ID] = true
		}
	}
	for _, f := range rehab.RedFlags {
		if !stands[f.ID] {
			out.Others = append(out.Others, f)
		}
	}
	out.Said = v.flagsSaid(rows)
	return out, nil
}

// flagsSaid tells who said what of which sign, the last first.
func (v *visit) flagsSaid(rows []journal.RedFlag) (said []settingChange) {
	for _, row := range slices.Backward(rows) {
		if row.Flag == rehab.NothingNew {
			said = append(said, settingChange{words.Day(load.DayOf(row.At.Time())), v.who(row.By), "nothing new"})
			continue
		}
		flag, err := rehab.FindRedFlag(row.Flag)
		if err != nil {
			continue // of a newer version
		}
		what := flag.Sign + ": yes, on " + words.Day(row.Day)
		if row.Lifted {
			what = flag.Sign + ": lifted on " + words.Day(row.Day) + ", " + row.Why
		}
		said = append(said, settingChange{words.Day(load.DayOf(row.At.Time())), v.who(row.By), what})
	}
	return said
}

// sayHappened raises a sign, or lifts one.
func (s *Server) sayHappened(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	id, why := r.PostForm.Get("flag"), strings.TrimSpace(r.PostForm.Get("why"))
	if id == rehab.NothingNew {
		if err := v.book.SayNothingNew(r.Context(), v.today); err != nil {
			return err
		}
		http.Redirect(w, r, v.link.Base(), http.StatusSeeOther)
		return nil
	}
	if _, err := rehab.FindRedFlag(id); err != nil {
		return &problem{http.StatusUnprocessableEntity, "There is no such sign.", err}
	}
	var err error
	switch lift := r.PostForm.Get("do") == "lift"; {
	case lift && (why == "" || len(why) > maxWhy):
		out, err := v.happenedPage(r.Context())
		if err != nil {
			return err
		}
		out.Fault, out.Why = "Say who has seen it, or why it does not stand any more.", why
		return s.render(w, http.StatusUnprocessableEntity, "happened", out)
	case lift:
		err = v.book.LiftFlag(r.Context(), id, v.today, why)
	default:
		err = v.book.RaiseFlag(r.Context(), id, v.today, "")
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, v.link.Base()+"/happened", http.StatusSeeOther)
	return nil
}

// askNew is one line, every four weeks, whether a sign is new.
type askNew struct {
	Action string
	Since  load.Day
}

// askNew asks who is followed for four weeks and has said nothing of signs for as long.
func (v *visit) askNew(ctx context.Context, care *assess.Care) (*askNew, error) {
	open := care.Open(v.today)
	if len(open) == 0 {
		return nil, nil
	}
	rows, err := v.book.RedFlags(ctx)
	if err != nil {
		return nil, err
	}
	since := open[0].Complaint.Opened()
	for _, r := range open {
		since = min(since, r.Complaint.Opened())
	}
	last := since
	for _, row := range rows {
		last = max(last, row.Day)
	}
	if !rehab.AskNew(since, last, v.today) {
		return nil, nil
	}
	return &askNew{v.link.Base() + "/happened", last}, nil
}

// signWords say which signs stand on a day, what they ask for, and since when.
func (v *visit) signWords(care *assess.Care) (lines []string) {
	for i := range care.Flags {
		if f := &care.Flags[i]; f.Stands(v.today) {
			lines = append(lines, f.Flag.Sign+": "+callWords(f.Flag.Do, v.server.Emergency)+", since "+words.Day(f.From)+".")
		}
	}
	return lines
}
