package web

import (
	"net/http"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// sessionCheck asks of several runners at once what one session would be for each.
type sessionCheck struct {
	whatIf
	Rows []checkRow
}

// checkRow is the answer for one runner.
type checkRow struct {
	ID, Name string
	Over     bool
	Answer   string
	Limits   []beforeAfter
}

// sessionCheck answers for every runner, if something was asked. Days are those of the
// first runner's home; each is answered by the runner's own.
func (s *Server) sessionCheck(r *http.Request, all []journal.Runner) (c sessionCheck, err error) {
	first, err := s.visit(r, all[0].ID)
	if err != nil {
		return c, err
	}
	c.whatIf = first.whatIf(r, load.Distance)
	c.Action = "/runners"
	if !r.URL.Query().Has("if") || c.Fault != "" {
		return c, nil
	}
	amount, fault := sessionAmount(c.Text)
	if c.Fault = fault; fault != "" {
		return c, nil
	}
	c.Asked = exact(amount) + " " + words.Unit(c.Measure) + " " + aheadWords(first.today, c.Day)
	for _, one := range all {
		row, err := s.checkRow(r, one, &c.whatIf, amount)
		if err != nil {
			return c, err
		}
		c.Rows = append(c.Rows, row)
	}
	return c, nil
}

// sessionAmount reads how much a session is, or says what is wrong with it.
func sessionAmount(text string) (amount float64, fault string) {
	amount, err := parseNumber(text)
	if err != nil || !(amount >= 0.1 && amount <= load.MostImagined) {
		return 0, "Type how much the session is, as a number from 0.1 to 2000: 12, or 7.5."
	}
	return amount, ""
}

func (s *Server) checkRow(r *http.Request, one journal.Runner, asked *whatIf, amount float64) (row checkRow, err error) {
	v, err := s.visit(r, one.ID)
	if err != nil {
		return row, err
	}
	w, err := v.book.Imagine(r.Context(), v.today, asked.Measure, max(asked.Day, v.today), asked.Measure.Of(amount))
	if err != nil {
		return row, err
	}
	return checkRow{
		ID: string(one.ID), Name: one.Name, Over: len(w.Over) > 0 && w.Headroom.State != load.RaceDay,
		Answer: words.Overs(&w), Limits: beforeAfters(&w),
	}, nil
}
