package web

import (
	"cmp"
	"net/http"
	"net/url"
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
	Rows    []squadRow
	Groups  []choice
	Orders  []choice
	Check   string // where a session is asked of all
	Several bool
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
	Note            string // action of the form
	sorts           journal.Row
}

// squadOrders are how the list can be ordered.
var squadOrders = []struct {
	id, text string
	by       func(a, b *squadRow) int
}{
	{"", "who needs a look first", needFirst},
	{"name", "by name", func(a, b *squadRow) int { return strings.Compare(a.Name, b.Name) }},
	{"week", "by the last seven days", func(a, b *squadRow) int {
		return cmp.Compare(b.sorts.Standing.WeekDistance, a.sorts.Standing.WeekDistance)
	}},
	{"upload", "by the last upload", func(a, b *squadRow) int {
		return cmp.Compare(a.sorts.Standing.LastRecord, b.sorts.Standing.LastRecord)
	}},
}

// needFirst orders by what stands open: the level, then what is new, then who is held.
func needFirst(a, b *squadRow) int {
	flag := func(is bool) int {
		if is {
			return 1
		}
		return 0
	}
	return cmp.Or(
		cmp.Compare(flag(b.Looks), flag(a.Looks)), cmp.Compare(b.Level, a.Level), cmp.Compare(flag(len(b.New) > 0), flag(len(a.New) > 0)),
		cmp.Compare(flag(b.sorts.Standing.Whole.Held), flag(a.sorts.Standing.Whole.Held)), strings.Compare(a.Name, b.Name),
	)
}

func (s *Server) squad(w http.ResponseWriter, r *http.Request) error {
	rows, err := s.Journal.Rows(r.Context(), s.person(r), journal.ListSquad)
	if err != nil {
		return err
	}
	rows = slices.DeleteFunc(rows, func(row journal.Row) bool { return row.Role.Owns() })
	out := squadPage{page: s.list(r, "Squad", "squad"), Check: "/runners", Several: len(rows) > 0}
	group, order := r.URL.Query().Get("group"), r.URL.Query().Get("order")
	out.Groups = groupChoices(rows, group, order)
	looks := 0
	for i := range rows {
		row := squadRowOf(&rows[i])
		if group != "" && row.Group != group {
			continue
		}
		if row.Looks {
			looks++
		}
		out.Rows = append(out.Rows, row)
	}
	by := squadOrders[0].by
	for _, o := range squadOrders {
		out.Orders = append(out.Orders, choice{Text: o.text, Address: squadAddress(group, o.id), Now: o.id == order})
		if o.id == order {
			by = o.by
		}
	}
	slices.SortStableFunc(out.Rows, func(a, b squadRow) int { return by(&a, &b) })
	out.Answer, out.Why = squadAnswer(len(out.Rows), looks)
	if err := s.render(w, http.StatusOK, "squad", out); err != nil {
		return err
	}
	return s.Journal.Glanced(r.Context(), s.person(r), journal.ListSquad, rows)
}

func squadAnswer(all, looks int) (answer, why string) {
	switch {
	case all == 0:
		return "Nobody has let you into a logbook yet.", "A runner makes a link on the page “Care team and data”, and sends it to you."
	case looks == 0:
		return "Nobody needs a look today.", "No warning stands open of " + words.Plural(all, "runner") + "."
	case looks == 1:
		return "One of " + words.Plural(all, "runner") + " needs a look.", "A warning stands open. It is theirs or yours to answer, on their page."
	}
	return strconv.Itoa(looks) + " of " + words.Plural(all, "runner") + " need a look.", "Warnings stand open. They are theirs or yours to answer, on their pages."
}

func squadAddress(group, order string) string {
	q := url.Values{}
	if group != "" {
		q.Set("group", group)
	}
	if order != "" {
		q.Set("order", order)
	}
	if len(q) == 0 {
		return "/squad"
	}
	return "/squad?" + q.Encode()
}

// groupChoices lists the groups that there are; none where nobody is in one.
func groupChoices(rows []journal.Row, now, order string) (out []choice) {
	var names []string
	for i := range rows {
		if g := rows[i].Group; g != "" && !slices.Contains(names, g) {
			names = append(names, g)
		}
	}
	if len(names) == 0 {
		return nil
	}
	slices.Sort(names)
	out = []choice{{Text: "everybody", Address: squadAddress("", order), Now: now == ""}}
	for _, name := range names {
		out = append(out, choice{Text: name, Address: squadAddress(name, order), Now: now == name})
	}
	return out
}

func squadRowOf(r *journal.Row) squadRow {
	s := &r.Standing
	row := squadRow{
		ID: string(r.ID), Name: r.Name, Group: r.Group, Level: s.Whole.Worst, Looks: s.Whole.OpenFindings > 0, Why: s.Whole.Why, Since: s.Whole.Since,
		Room: roomWords(&s.Whole), Note: "/r/" + string(r.ID) + "/notes", sorts: *r, New: newWords(r),
	}
	km := func(field string, a load.Amount, ok bool) number {
		if !ok {
			return number{Field: field, Text: "not known"}
		}
		return number{field, exact(load.Distance.In(a)), words.Amount(load.Distance, a)}
	}
	row.Week, row.Longest = km("week", s.WeekDistance, true), km("longest", s.Tidemark, s.HasTidemark)
	row.Change = number{Field: "change", Text: "not known"}
	if s.HasBefore {
		change := load.Distance.In(s.WeekDistance - s.WeekBefore)
		row.Change = number{"change", exact(change), words.MoreOrLess(load.Distance, change)}
	}
	if s.HasSpike && s.Spike > 0 {
		row.Spike = words.Over(s.Spike) + ", " + words.Weekday(s.SpikeDay)
	}
	row.Upload = "nothing yet"
	if s.HasRecord {
		row.Upload = agoWords(r.Today - s.LastRecord)
	}
	if s.HasRace {
		row.Race = words.ShortDay(s.RaceDay)
		if s.RaceName != "" {
			row.Race += ", " + s.RaceName
		}
	}
	return row
}

// agoWords says how many days ago something was.
func agoWords(days load.Day) string {
	switch days {
	case 0:
		return "today"
	case 1:
		return "yesterday"
	}
	return words.Plural(int(days), "day") + " ago"
}

// roomWords says what the limits leave, or until when there is no running.
func roomWords(s *journal.Sight) string {
	switch {
	case s.State == "":
		return "not known"
	case s.Held && s.HeldUntil > 0:
		return "no run until " + words.ShortDay(s.HeldUntil)
	case s.Held:
		return "no run until it is lifted"
	case !s.HasAmount:
		return "a race"
	}
	return "up to " + words.Amount(s.Measure, s.Amount)
}

// newWords says what changed since the person last looked.
func newWords(r *journal.Row) (out []string) {
	if r.Before == nil {
		return nil
	}
	s, was := &r.Standing, r.Before
	if more := s.Whole.OpenFindings - was.OpenFindings; more > 0 {
		out = append(out, words.Plural(more, "new warning"))
	}
	if now, before := s.Whole.Held, was.State == string(load.HeldBack); now != before {
		out = append(out, map[bool]string{true: "held now", false: "held no more"}[now])
	}
	if s.LastRecord > was.LastRecord && s.HasRecord {
		out = append(out, "ran since")
	}
	return out
}

// putNote keeps a note to the runner, or puts them in a group.
func (s *Server) putNote(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	if r.PostForm.Has("group") {
		if name := strings.TrimSpace(r.PostForm.Get("group")); name != "" && journal.CheckName(name) != nil {
			return &problem{http.StatusUnprocessableEntity, "The name of a group is too long, or holds characters that do not print.", nil}
		}
		if err := v.book.PutGroup(r.Context(), r.PostForm.Get("group")); err != nil {
			return err
		}
		http.Redirect(w, r, "/squad", http.StatusSeeOther)
		return nil
	}
	n := journal.Note{Kind: journal.NoteToRunner, Day: v.today, Text: strings.TrimSpace(r.PostForm.Get("text"))}
	if err := n.Check(); err != nil {
		return &problem{http.StatusUnprocessableEntity, words.Sentenced(err.Error()), err}
	}
	if err := v.book.PutNote(r.Context(), n); err != nil {
		return err
	}
	http.Redirect(w, r, v.link.Base(), http.StatusSeeOther)
	return nil
}

// noteShown is for how many days a note stands on the runner's first page; project default.
const noteShown = 14

// noteLine is what somebody wrote to the runner.
type noteLine struct{ Text, Who string }

// notesOf are the notes to the runner of the last days, the latest first.
func (v *visit) notesOf(r *http.Request) (lines []noteLine, err error) {
	rows, err := v.book.Notes(r.Context())
	for _, n := range slices.Backward(rows) {
		if n.Kind == journal.NoteToRunner && n.Day > v.today-noteShown {
			lines = append(lines, noteLine{n.Text, words.Day(n.Day) + ", " + v.who(n.By)})
		}
	}
	return lines, err
}
