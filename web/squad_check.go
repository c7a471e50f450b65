package web

import (
	"fmt"
	"net/http"
	"strconv"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// sessionOrder is the order of who is over with the session that was asked about.
const sessionOrder = "session"

// squadCheck asks of everybody in the list who would be over with one session.
type squadCheck struct {
	whatIf
	over int
	of   map[string]*checked // by runner
}

// checked is what one session would be for one runner.
type checked struct {
	Before   string
	Amount   number
	After    string
	Soft     string // which limit, and how far it can be relied on
	by, left load.Amount
}

// squadCheck answers for each row, if something was asked. Days are those of the first
// runner's home; each is answered by the runner's own.
func (s *Server) squadCheck(r *http.Request, rows []journal.Row, q listQuery) (c squadCheck, err error) {
	if len(rows) == 0 {
		return c, nil
	}
	today := rows[0].Today
	c.whatIf = whatIfOf(r, load.Distance, today)
	if q.get("if") == "" || c.Fault != "" {
		return c, nil
	}
	amount, fault := sessionAmount(c.whatIf.Text)
	if c.Fault = fault; fault != "" {
		return c, nil
	}
	c.Asked = exact(amount) + " " + words.Unit(c.Measure) + " " + aheadWords(today, c.Day)
	rooms, err := s.Journal.Rooms(r.Context(), s.person(r), rows, c.Measure, c.Day)
	c.of = make(map[string]*checked, len(rooms))
	for id, room := range rooms {
		one := checkedOf(c.Measure, room, c.Measure.Of(amount))
		if one.by > 0 {
			c.over++
		}
		c.of[string(id)] = one
	}
	return c, err
}

// checkedOf says what a session would be where a room is left.
func checkedOf(m load.Measure, room journal.Room, session load.Amount) *checked {
	by, over := room.Over(session)
	c := &checked{by: by, left: room.Amount - session + by}
	if room.State == load.RaceDay {
		c.left, c.After = 0, "a race is planned"
		return c
	}
	c.Soft = reliedOn(room.State)
	if !over {
		c.Amount, c.After = number{"check.left", exact(m.In(c.left)), words.Amount(m, c.left)}, " left"
		return c
	}
	c.Soft = words.Limit(room.Decides) + c.Soft
	c.Before, c.Amount = "over by ", number{"check.over", exact(m.In(by)), words.AmountUp(m, by)}
	switch {
	case room.Amount > 0:
		c.After = fmt.Sprintf(", %.0f %%", max(1, 100*float64(by)/float64(room.Amount)))
	case room.State == load.HeldBack || room.State == load.LedByClinician:
		c.Before, c.Amount, c.After = "", number{}, "no run that day"
	}
	return c
}

// reliedOn says how far what is left can be relied on.
func reliedOn(state load.HeadroomState) string {
	switch state {
	case load.Provisional:
		return " (under 30 days known)"
	case load.Uncertain:
		return " (a day not known)"
	}
	return ""
}

// checkAnswer is the sentence over a list with a session.
func checkAnswer(all int, c *squadCheck) (answer, why string) {
	why = "Each is held against the limits of their own day. What is left is a roof, not a plan."
	switch {
	case all == 1 && c.over == 0:
		return "The one who is listed is not over with " + c.Asked + ".", why
	case all == 1:
		return "The one who is listed is over with " + c.Asked + ".", why
	case c.over == 0:
		return "None of " + words.Plural(all, "runner") + " is over with " + c.Asked + ".", why
	case c.over == 1:
		return "One of " + words.Plural(all, "runner") + " is over with " + c.Asked + ".", why
	}
	return strconv.Itoa(c.over) + " of " + words.Plural(all, "runner") + " are over with " + c.Asked + ".", why
}
