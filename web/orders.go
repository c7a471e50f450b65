package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// ordersPage is what is allowed in advance over all that somebody is in charge of, and a form
// that allows the same to several.
type ordersPage struct {
	page
	Answer, Why, Done   string
	Lines               []orderLine
	Fault, Field        string
	Refused             []string // of whom it was not done, and why
	Phase, Stage, Until string
	today               load.Day // the latest of theirs
}

// orderLine is one complaint with what stands.
type orderLine struct {
	ID, Name, Complaint, What string
	Value                     string // of its box
	Seen                      int
	Programme, Ramp, Stands   string
	Passed, Chosen            bool
}

func (s *Server) orders(w http.ResponseWriter, r *http.Request) error {
	out, err := s.ordersPage(r, nil)
	if err != nil {
		return err
	}
	if n, err := strconv.Atoi(r.URL.Query().Get("given")); err == nil && n > 0 {
		out.Done = "Kept for " + words.Plural(n, "complaint") + "."
		out.Title = out.Done + " " + out.Title // the first that is read aloud
	}
	return s.render(w, http.StatusOK, "orders", out)
}

// ordersPage lists what the person is in charge of, with what is chosen.
func (s *Server) ordersPage(r *http.Request, chosen []string) (out ordersPage, err error) {
	rows, err := s.Journal.Rows(r.Context(), s.person(r), journal.ListCaseload)
	if err != nil {
		return out, err
	}
	out = ordersPage{page: s.list(r, "Standing orders", "orders"), today: dayOf(s.instant())}
	for i := range rows {
		row := &rows[i]
		if !treats(row) {
			continue
		}
		out.today = max(out.today, row.Today)
		for j := range row.Standing.Cases {
			if row.Led() {
				out.Lines = append(out.Lines, orderLineOf(row, &row.Standing.Cases[j], chosen))
			}
		}
	}
	slices.SortStableFunc(out.Lines, func(a, b orderLine) int {
		switch {
		case a.Passed && !b.Passed:
			return -1
		case b.Passed && !a.Passed:
			return 1
		}
		return strings.Compare(a.Name, b.Name)
	})
	out.Until = (out.today + setupDays).String()
	out.Answer, out.Why = ordersAnswer(out.Lines)
	return out, nil
}

// treats reports whether the person of a list is in charge of a runner's complaints.
func treats(row *journal.Row) bool {
	return row.Medical && (row.Role == journal.RoleClinician || row.Role == "")
}

func orderLineOf(row *journal.Row, c *assess.Case, chosen []string) orderLine {
	line := caseLineOf(row, c)
	value := string(row.ID) + "/" + c.ID
	return orderLine{
		ID: line.ID, Name: line.Name, Complaint: c.ID, What: line.What, Value: value, Seen: c.Orders, Programme: line.Programme, Ramp: line.Ramp,
		Stands: title(orderStands(&c.Order, row.Today)), Passed: c.Order.Allows() && c.Order.Until < row.Today, Chosen: slices.Contains(chosen, value),
	}
}

func ordersAnswer(lines []orderLine) (answer, why string) {
	passed := 0
	for _, l := range lines {
		if l.Passed {
			passed++
		}
	}
	why = "Choose some, and allow the same to each: so far it goes on by itself while it settles; more waits for you. Brakes act at once either way."
	switch {
	case len(lines) == 0:
		return "You are in charge of nothing that is followed.", "What was handed over is the runner's to say."
	case passed == 0:
		return "Standing orders for " + words.Plural(len(lines), "complaint") + ".", why
	case passed == 1:
		return "The last day of one standing order has passed.", why
	}
	return fmt.Sprintf("The last day of %d standing orders has passed.", passed), why
}

// giveOrders gives one order to each that was chosen, through the book of each. What one
// refuses is said by name, and the others are done.
func (s *Server) giveOrders(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	chosen := r.PostForm["of"]
	out, err := s.ordersPage(r, chosen)
	if err != nil {
		return err
	}
	o, fault := rehab.Order{}, fieldFault{}
	switch {
	case len(chosen) == 0:
		fault = fieldFault{"of", "Choose at least one of the list."}
	case get("do") == "take":
	default:
		if o, fault = readOrder(get("phase"), get("stage"), get("until"), out.today); fault.Text == "" && !o.Allows() {
			fault = fieldFault{"phase", "Say up to which phase or stage, or press “Take back”."}
		}
	}
	status, done := http.StatusUnprocessableEntity, 0
	var left []string
	if fault.Text == "" {
		status = http.StatusConflict
		for _, value := range chosen {
			refused, err := s.giveOne(r, out.Lines, value, o)
			switch {
			case err != nil:
				return err
			case refused != "":
				out.Refused, left = append(out.Refused, refused), append(left, value)
			default:
				done++
			}
		}
		if len(left) == 0 {
			http.Redirect(w, r, "/orders?given="+strconv.Itoa(done), http.StatusSeeOther)
			return nil
		}
		refused := out.Refused
		if out, err = s.ordersPage(r, left); err != nil {
			return err
		}
		out.Refused = refused
		fault.Text = fmt.Sprintf("Kept for %d of %d. Not for:", done, len(chosen))
	}
	out.Fault, out.Field = fault.Text, fault.Field
	out.Phase, out.Stage, out.Until = get("phase"), get("stage"), get("until")
	return s.render(w, status, "orders", out)
}

// giveOne gives an order to one complaint, or says why not. An error is one of the journal.
func (s *Server) giveOne(r *http.Request, lines []orderLine, value string, o rehab.Order) (refused string, err error) {
	i := slices.IndexFunc(lines, func(l orderLine) bool { return l.Value == value })
	if i < 0 {
		return "One that was chosen: it is not yours to see any more, was ended, or was handed over.", nil
	}
	line := &lines[i]
	seen, err := strconv.Atoi(r.PostForm.Get("seen-" + value))
	if err != nil {
		seen = journal.Unseen
	}
	o.Complaint = line.Complaint
	book, err := s.Journal.Open(r.Context(), s.person(r), journal.RunnerID(line.ID))
	if err == nil {
		err = book.GiveOrderAfter(r.Context(), seen, o)
	}
	who := line.Name + ", " + lowered(line.What) + ": "
	wrong, isWrong := errors.AsType[*journal.OrderError](err)
	switch {
	case err == nil:
		return "", nil
	case isWrong:
		return who + wrong.Text + ".", nil
	case errors.Is(err, journal.ErrConflict):
		return who + "another order was given meanwhile, or it was ended. Look, and press again if this still holds.", nil
	case errors.Is(err, journal.ErrNotFound):
		return "One that was chosen: it is not yours to see any more.", nil
	case errors.Is(err, journal.ErrNotInCharge):
		return who + "the runner is in charge of it now.", nil
	}
	return "", err
}
