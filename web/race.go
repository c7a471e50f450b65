package web

import (
	"context"
	"net/http"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// racesPage lists the races that somebody accepted, and plans another.
type racesPage struct {
	page
	Form  raceForm
	Races []raceLine // the next first, and after them those that were, the last first
	Said  []settingChange
}

// raceForm is a race as it was typed.
type raceForm struct {
	Action              string
	Day, Name, Distance string
	Fault               string
}

// raceLine is one race that stands.
type raceLine struct {
	Day  load.Day
	Text string
	Over bool // it was
}

func (s *Server) races(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.racesPage(r.Context())
	if err != nil {
		return err
	}
	return s.render(w, http.StatusOK, "races", out)
}

func (v *visit) racesPage(ctx context.Context) (out racesPage, err error) {
	rows, err := v.book.Races(ctx)
	if err != nil {
		return out, err
	}
	out = racesPage{page: v.page("Races", "races"), Form: raceForm{Action: v.link.Base() + "/races"}}
	planned := journal.Planned(rows)
	for _, r := range planned {
		if r.Day >= v.today {
			out.Races = append(out.Races, raceLine{r.Day, raceWords(&r), false})
		}
	}
	for _, r := range slices.Backward(planned) {
		if r.Day < v.today {
			out.Races = append(out.Races, raceLine{r.Day, raceWords(&r), true})
		}
	}
	for _, r := range slices.Backward(rows) {
		what := "planned and accepted"
		if r.Off {
			what = "taken off"
		}
		race := load.PlannedRace{Day: r.Day, Name: r.Name, Distance: r.Distance}
		out.Said = append(out.Said, settingChange{words.Day(load.DayOf(r.At.Time())), v.who(r.By), raceWords(&race) + " on " + words.Day(r.Day) + ": " + what})
	}
	return out, nil
}

func raceWords(r *load.PlannedRace) string {
	name := r.Name
	if name == "" {
		name = "a race"
	}
	if r.Distance > 0 {
		name += ", " + words.Value(load.Distance, load.Distance.In(r.Distance))
	}
	return name
}

// planRace keeps a race, or that one is not run.
func (s *Server) planRace(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	form := raceForm{
		Action: v.link.Base() + "/races", Day: strings.TrimSpace(r.PostForm.Get("day")),
		Name: strings.TrimSpace(r.PostForm.Get("name")), Distance: strings.TrimSpace(r.PostForm.Get("distance")),
	}
	race, fault := form.race()
	if fault == "" {
		if err := v.book.PlanRace(r.Context(), race, r.PostForm.Get("off") == "yes"); err != nil {
			return err
		}
		http.Redirect(w, r, form.Action, http.StatusSeeOther)
		return nil
	}
	out, err := v.racesPage(r.Context())
	if err != nil {
		return err
	}
	form.Fault = fault
	out.Form = form
	return s.render(w, http.StatusUnprocessableEntity, "races", out)
}

// race reads what was typed, or says what is wrong with it.
func (f *raceForm) race() (race load.PlannedRace, fault string) {
	day, err := load.ParseDay(f.Day)
	if err != nil {
		return race, "Say on which day the race is."
	}
	race = load.PlannedRace{Day: day, Name: f.Name}
	if f.Distance != "" {
		km, err := parseNumber(f.Distance)
		if err != nil || !(km >= 0.1 && km <= 500) {
			return race, "The distance is a number of km from 0.1 to 500: 10, or 21.1."
		}
		race.Distance = load.Distance.Of(km)
	}
	if err := race.Check(); err != nil {
		return race, title(err.Error()) + "."
	}
	return race, ""
}
