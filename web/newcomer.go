package web

import (
	"errors"
	"net/http"
	"strings"

	"tidemark/load"
	"tidemark/load/journal"
)

// newcomerForm asks what a logbook of less than 30 days cannot know.
type newcomerForm struct {
	Action              string
	Longest, Week, Runs string // as typed
	InMinutes, Novice   bool
	Fault               string
}

// newcomerAsk returns the form, if there is something to ask.
func (v *visit) newcomerAsk(room *load.Headroom, set load.Settings) *newcomerForm {
	said := set.BaselineLongestKM > 0 || set.BaselineLongestMin > 0
	if room.State != load.Provisional || said && v.today-set.BaselineDay < load.BaselineDays {
		return nil
	}
	return &newcomerForm{Action: v.link.Base() + "/newcomer", Novice: set.Novice == 1}
}

// answerNewcomer keeps what a newcomer says of the 30 days before.
func (s *Server) answerNewcomer(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	form := newcomerForm{
		Action: v.link.Base() + "/newcomer", Longest: get("longest"), Week: get("week"), Runs: get("runs"),
		InMinutes: get("unit") == "min", Novice: get("novice") == "yes",
	}
	choices, err := form.choices()
	if err != nil {
		form.Fault = title(err.Error()) + "."
		return s.showToday(w, r, v, &form, http.StatusUnprocessableEntity)
	}
	if err := v.book.SetAll(r.Context(), v.today, choices); err != nil {
		return err
	}
	http.Redirect(w, r, v.link.Base(), http.StatusSeeOther)
	return nil
}

// choices reads what was typed. Nothing but the longest run must be said.
func (f *newcomerForm) choices() (choices []journal.Choice, err error) {
	unit := "km"
	if f.InMinutes {
		unit = "min"
	}
	for _, a := range []struct{ key, typed, wrong string }{
		{"baseline-longest-" + unit, f.Longest, "say how long your longest run of the last 30 days was, as a number of " + unit},
		{"baseline-week-" + unit, f.Week, "a usual week is a number of " + unit},
		{"baseline-runs", f.Runs, "the runs in a usual week are a number from 1 to 21"},
	} {
		first := len(choices) == 0
		if a.typed == "" && !first {
			continue
		}
		def, _ := load.FindSetting(a.key) // it is of the table
		value, err := readSetting(def, a.typed)
		if err != nil || value == 0 && first {
			return nil, errors.New(a.wrong)
		}
		choices = append(choices, journal.Choice{Key: a.key, Value: exact(value)})
	}
	novice := "0"
	if f.Novice {
		novice = "1"
	}
	return append(choices, journal.Choice{Key: "novice", Value: novice}), nil
}
