package web

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// squadPage is what a coach opens in the morning: those who need a look first.
type squadPage struct {
	page
	Answer  string
	Why     string
	Heads   []header
	Rows    []squadRow
	Groups  []choice
	Find    findForm
	Check   squadCheck
	Again   string // the address of the list as it is
	More    string // where the next rows are; empty: these are all
	Note    noteForm
	Open    openWarnings
	Several bool // there are runners, shown or not
}

// squadRow is a runner in the list.
type squadRow struct {
	ID, Name, Group string
	Level           load.Level
	Looks           bool // needs a look
	Why             string
	Since           load.Day
	New             []string // since the last look
	Week, Change    number
	Longest         number
	Room            string
	Spike           string
	Upload          string
	Race            string
	Check           *checked // of the session that was asked about
	sorts           *journal.Row
}

func (r *squadRow) standing() *journal.Standing { return &r.sorts.Standing }

// needs is the order of who needs a look first.
const needs = "look"

// squadColumns are what the list shows; that of the session stands only where one was asked
// about.
var squadColumns = []column[squadRow]{
	{id: "name", text: "runner", by: func(a, b *squadRow) int { return strings.Compare(a.Name, b.Name) }},
	{
		id: sessionOrder, text: "the session", most: true, known: func(r *squadRow) bool { return r.Check != nil },
		by: func(a, b *squadRow) int {
			return cmp.Or(cmp.Compare(a.Check.by, b.Check.by), cmp.Compare(b.Check.left, a.Check.left))
		},
	},
	{id: needs, text: "why", most: true, by: needLess},
	{id: "room", text: "today", most: true, known: func(r *squadRow) bool { return r.standing().Whole.State != "" }, by: lessRoom},
	{id: "week", text: "7 days", number: true, most: true, by: func(a, b *squadRow) int { return cmp.Compare(a.standing().WeekDistance, b.standing().WeekDistance) }},
	{
		id: "change", text: "than before", number: true, most: true, known: func(r *squadRow) bool { return r.standing().HasBefore },
		by: func(a, b *squadRow) int { return cmp.Compare(a.change(), b.change()) },
	},
	{
		id: "longest", text: "most of 30 days", number: true, most: true, known: func(r *squadRow) bool { return r.standing().HasTidemark },
		by: func(a, b *squadRow) int { return cmp.Compare(a.standing().Tidemark, b.standing().Tidemark) },
	},
	{
		id: "spike", text: "spike of the week", most: true, known: func(r *squadRow) bool { return r.standing().HasSpike },
		by: func(a, b *squadRow) int { return cmp.Compare(a.standing().Spike, b.standing().Spike) },
	},
	{
		id: "upload", text: "last upload", known: func(r *squadRow) bool { return r.standing().HasRecord },
		by: func(a, b *squadRow) int { return cmp.Compare(a.standing().LastRecord, b.standing().LastRecord) },
	},
	{
		id: "race", text: "next race", known: func(r *squadRow) bool { return r.standing().HasRace },
		by: func(a, b *squadRow) int { return cmp.Compare(a.standing().RaceDay, b.standing().RaceDay) },
	},
}

func (r *squadRow) change() load.Amount { return r.standing().WeekDistance - r.standing().WeekBefore }

// needLess orders by what stands open: the level, then what is new, then who is held.
func needLess(a, b *squadRow) int {
	return cmp.Or(
		compareFlags(a.Looks, b.Looks), cmp.Compare(a.Level, b.Level), compareFlags(len(a.New) > 0, len(b.New) > 0),
		compareFlags(a.standing().Whole.Held, b.standing().Whole.Held),
	)
}

func compareFlags(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

// lessRoom orders by what is left of today, who is not to run at all first.
func lessRoom(a, b *squadRow) int {
	x, y := &a.standing().Whole, &b.standing().Whole
	return cmp.Or(-compareFlags(x.Held, y.Held), cmp.Compare(x.Measure, y.Measure), cmp.Compare(x.Amount, y.Amount))
}

// squadQuery is how the list was asked for.
func squadQuery(r *http.Request) listQuery {
	return listOf(r, "/squad", "group", "find", "order", "if", "in", "on", "from")
}

func (s *Server) squad(w http.ResponseWriter, r *http.Request) error {
	return s.showSquad(w, r, noteForm{}, http.StatusOK)
}

// showSquad shows the list with the form for a note as it was typed.
func (s *Server) showSquad(w http.ResponseWriter, r *http.Request, note noteForm, status int) error {
	rows, err := s.Journal.Rows(r.Context(), s.person(r), journal.ListSquad)
	if err != nil {
		return err
	}
	rows = slices.DeleteFunc(rows, func(row journal.Row) bool { return row.Role.Owns() })
	q := squadQuery(r)
	out := squadPage{page: s.list(r, "Squad", "squad"), Note: note, Several: len(rows) > 0}
	out.Groups = groupChoices(rows, q)
	shown := narrowed(rows, q)
	out.Note.Groups = groupsOf(rows)
	if out.Check, err = s.squadCheck(r, shown, q); err != nil {
		return err
	}
	if out.Check.Fault != "" && status == http.StatusOK {
		status = http.StatusUnprocessableEntity
	}
	out.list(shown, q)
	if err := s.render(w, status, "squad", out); err != nil {
		return err
	}
	seen := make([]journal.Row, len(out.Rows))
	for i := range out.Rows {
		seen[i] = *out.Rows[i].sorts
	}
	return s.Journal.Glanced(r.Context(), s.person(r), journal.ListSquad, seen)
}

// narrowed are the rows of the group and with the words that are looked for.
func narrowed(rows []journal.Row, q listQuery) []journal.Row {
	group, found := q.get("group"), finder(q.get("find"))
	var out []journal.Row
	for i := range rows {
		if row := &rows[i]; (group == "" || row.Group == group) && found(row.Name, row.Group) {
			out = append(out, *row)
		}
	}
	return out
}

// list lays the rows out in their order.
func (p *squadPage) list(rows []journal.Row, q listQuery) {
	looks := 0
	for i := range rows {
		row := squadRowOf(&rows[i])
		if row.Check = p.Check.of[row.ID]; row.Check == nil && p.Check.Asked != "" {
			continue // let out of the logbook since the rows were read
		}
		if row.Looks {
			looks++
		}
		if q.get("group") != "" {
			row.Group = "" // all are in it
		}
		p.Rows = append(p.Rows, row)
	}
	usual, columns := needs, slices.Clone(squadColumns)
	if p.Check.Asked == "" {
		columns = slices.DeleteFunc(columns, func(c column[squadRow]) bool { return c.id == sessionOrder })
	} else {
		usual = sessionOrder
	}
	p.Heads = heads(q, columns, usual)
	for i := range p.Heads {
		if columns[i].id == sessionOrder {
			p.Heads[i].Text = p.Check.Asked
		}
	}
	sorted(q, p.Rows, columns, usual)
	p.Again = q.address()
	p.Find = findForm{Text: q.get("find")}
	for _, key := range []string{"group", "order"} {
		if v := q.get(key); v != "" {
			p.Find.Keep = append(p.Find.Keep, option{Value: v, Text: key})
		}
	}
	p.Answer, p.Why = squadAnswer(len(p.Rows), looks, p.Several, &p.Check)
	p.Open = openWarningsOf(p.Rows)
	p.Rows, p.More = pageOfRows(p.Rows, q)
	p.Note.Runners = namesOf(p.Rows, p.Note.Runner)
}

// pageOfRows are the rows of one page, and where the next ones are.
func pageOfRows[T any](rows []T, q listQuery) (some []T, more string) {
	from, err := strconv.Atoi(q.get("from"))
	if err != nil || from < 0 || from > len(rows) {
		from = 0
	}
	if len(rows)-from > mostRows {
		return rows[from : from+mostRows], q.with("from", strconv.Itoa(from+mostRows))
	}
	return rows[from:], ""
}

func squadAnswer(all, looks int, several bool, check *squadCheck) (answer, why string) {
	switch {
	case !several:
		return "Nobody has let you into a logbook yet.", "A runner makes a link on the page “Care team and data”, and sends it to you."
	case all == 0:
		return "Nobody here is called that.", "Names and groups are looked through, whatever the case and the accents."
	case check.Asked != "":
		return checkAnswer(all, check)
	case looks == 0:
		return "Nobody needs a look today.", "No warning stands open of " + words.Plural(all, "runner") + "."
	case looks == 1 && all == 1:
		return "The one who is listed needs a look.", "A warning stands open. It is theirs or yours to answer, on their page."
	case looks == 1:
		return "One of " + words.Plural(all, "runner") + " needs a look.", "A warning stands open. It is theirs or yours to answer, on their page."
	}
	return strconv.Itoa(looks) + " of " + words.Plural(all, "runner") + " need a look.", "Warnings stand open. They are theirs or yours to answer, on their pages."
}

// groupsOf lists the groups that there are, in order.
func groupsOf(rows []journal.Row) (names []string) {
	for i := range rows {
		if g := rows[i].Group; g != "" && !slices.Contains(names, g) {
			names = append(names, g)
		}
	}
	slices.Sort(names)
	return names
}

// groupChoices are the groups to choose from; none where nobody is in one.
func groupChoices(rows []journal.Row, q listQuery) (out []choice) {
	names := groupsOf(rows)
	if len(names) == 0 {
		return nil
	}
	now := q.get("group")
	out = []choice{{Text: "everybody", Address: q.with("group", ""), Now: now == ""}}
	for _, name := range names {
		out = append(out, choice{Text: name, Address: q.with("group", name), Now: now == name})
	}
	return out
}
