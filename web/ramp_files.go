package web

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/ramp"
	"tidemark/web/export"
	"tidemark/web/words"
)

// feedView is the calendar that others can fetch.
type feedView struct {
	Open    bool
	Address string // told once, when it is made
}

// rampWorkout sends a run of the plan as a file for a watch.
func (s *Server) rampWorkout(w http.ResponseWriter, r *http.Request, v *visit) error {
	day, err := load.ParseDay(strings.TrimSuffix(r.PathValue("file"), ".fit"))
	if err != nil {
		return &problem{http.StatusNotFound, "There is no such file.", err}
	}
	care, err := v.book.Care(r.Context(), v.today)
	if err != nil {
		return err
	}
	d, ok := care.Ramp.On(day)
	if !ok || d.Kind != ramp.Run {
		return &problem{http.StatusNotFound, "The plan has no run on that day.", nil}
	}
	var out bytes.Buffer
	if err := export.FIT(&out, workoutOf(d)); err != nil {
		return err
	}
	return attach(w, "application/vnd.ant.fit", "tidemark-"+day.String()+".fit", &out)
}

// walkAround is how long is walked before a run and after it: 5 to 10 min (rehab reference
// 5.3, project default).
const walkAround = 5 * time.Minute

// workoutOf is a day's running and walking in turn, with a walk before and after.
func workoutOf(d *ramp.Day) *export.Workout {
	minutes := func(m ramp.Minutes) time.Duration { return time.Duration(float64(m) * float64(time.Minute)) }
	run := export.Step{Kind: export.Run, Time: minutes(d.Run)}
	if d.Adds != "" && d.Adds != ramp.RunDays {
		run.Name = "Run, " + string(d.Adds) // the name of a workout has no room for it
	}
	w := export.Workout{
		Name: fmt.Sprintf("%s %s", d.Day, words.Turns(d.Reps, d.Run, d.Walk)), Created: load.InstantOf(d.Day.Noon()),
		Blocks: []export.Block{{Steps: []export.Step{{Kind: export.WarmUp, Time: walkAround}}}},
	}
	if n := d.Reps - 1; n > 0 && d.Walk > 0 {
		w.Blocks = append(w.Blocks, export.Block{Times: n, Steps: []export.Step{run, {Kind: export.Walk, Time: minutes(d.Walk)}}})
	} else if n > 0 {
		w.Blocks = append(w.Blocks, export.Block{Times: n, Steps: []export.Step{run}})
	}
	w.Blocks = append(w.Blocks, export.Block{Steps: []export.Step{run, {Kind: export.CoolDown, Time: walkAround}}})
	return &w
}

// runsAt is the time of day that a run is put at in a calendar; project default.
const runsAt = 7 * time.Hour

// rampEvents are the runs of the plan from today on.
func rampEvents(r *assess.Ramp, runner journal.Runner, today load.Day) (events []export.Event) {
	if r == nil || r.Refused != nil || r.Terms.State == ramp.Ended {
		return nil
	}
	for i := range r.Plan.Days {
		d := &r.Plan.Days[i]
		if d.Kind != ramp.Run || d.Day < today {
			continue
		}
		walking := time.Duration(float64(d.Walk)*float64(max(0, d.Reps-1))*float64(time.Minute)) + 2*walkAround
		events = append(events, export.Event{
			ID: fmt.Sprintf("way-back-%s@%s.tidemark", d.Day, runner.ID), Day: d.Day, At: runsAt, Revision: int(runner.Revision),
			Length: time.Duration(float64(d.Total)*float64(time.Minute)) + walking,
			Title:  words.Planned(d), Text: eventText(d.Adds),
		})
	}
	return events
}

// eventText is what a calendar says of a run besides its minutes.
func eventText(added ramp.Addition) string {
	text := "Walk for 5 minutes before and after. "
	if about := words.Addition(added); about != "" {
		text += about + " "
	}
	return text + "The plan bends with each morning: look at it again before you run."
}

func (s *Server) writeCalendar(w http.ResponseWriter, r *http.Request, book *journal.Book, today load.Day, kept bool) error {
	care, err := book.Care(r.Context(), today)
	if err != nil {
		return err
	}
	runner, err := book.Runner(r.Context())
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := export.Calendar(&out, "Runs of "+runner.Name, rampEvents(care.Ramp, runner, today), s.instant()); err != nil {
		return err
	}
	if kept {
		return attach(w, "text/calendar; charset=utf-8", "tidemark-runs.ics", &out)
	}
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8")
	_, err = out.WriteTo(w)
	return err
}

func (s *Server) rampCalendar(w http.ResponseWriter, r *http.Request, v *visit) error {
	return s.writeCalendar(w, r, v.book, v.today, true)
}

// feed is the calendar under its secret address. It says no more than when to run.
func (s *Server) feed(w http.ResponseWriter, r *http.Request) error {
	book, err := s.Journal.Feed(r.Context(), strings.TrimSuffix(r.PathValue("secret"), ".ics"))
	if err != nil {
		return err
	}
	runner, err := book.Runner(r.Context())
	if err != nil {
		return err
	}
	today, err := runner.Today(s.instant())
	if err != nil {
		return err
	}
	return s.writeCalendar(w, r, book, today, false)
}

// changeFeed makes a new secret address, or revokes it.
func (s *Server) changeFeed(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	if r.PostForm.Get("do") == "close" {
		if err := v.book.CloseFeed(r.Context()); err != nil {
			return err
		}
		http.Redirect(w, r, v.link.Base()+"/ramp", http.StatusSeeOther)
		return nil
	}
	secret, err := v.book.OpenFeed(r.Context())
	if err != nil {
		return err
	}
	out, err := v.rampPage(r.Context())
	if err != nil {
		return err
	}
	scheme := "http://"
	if r.TLS != nil {
		scheme = "https://"
	}
	out.Feed.Address = scheme + r.Host + "/feed/" + secret + ".ics"
	return s.render(w, http.StatusOK, "ramp", out)
}
