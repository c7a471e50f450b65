package export

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

// writeMornings writes what stands of each morning in the columns that the import command
// takes. A complaint is its site and side; of several with the same the later one stands.
func writeMornings(w io.Writer, k *journal.Kept) error {
	names := []string{"complaint", "on", "before", "during", "after", "next", "stiffness", "limp", "entered"}
	return writeTable(w, names, func(write func([]string) error) error {
		for _, m := range standing(k) {
			cells := []string{
				m.Complaint, m.Day.String(), whole(m.Before), whole(m.During), whole(m.After), whole(m.Next), whole(m.Stiffness),
				limped(m.Limp), rfc3339(m.Entered),
			}
			if err := write(cells); err != nil {
				return err
			}
		}
		return nil
	})
}

// standing joins the entries about each morning, in order of day. It was entered when its
// score was, or else what stands of it last.
func standing(k *journal.Kept) []journal.Morning {
	sides := sidesOf(k)
	at := make(map[string]int)
	var out []journal.Morning
	for _, e := range k.Mornings {
		key := fmt.Sprintf("%s %d", sides[e.Complaint], e.Day)
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key] = i
			out = append(out, journal.Morning{Morning: rehab.Morning{Complaint: sides[e.Complaint], Day: e.Day}})
		}
		m := &out[i]
		if m.Next == nil || e.Next != nil && *e.Next != *m.Next {
			m.Entered = e.Entered
		}
		m.Before, m.During, m.After, m.Next = cmp.Or(e.Before, m.Before), cmp.Or(e.During, m.During), cmp.Or(e.After, m.After), cmp.Or(e.Next, m.Next)
		m.Stiffness, m.Limp = cmp.Or(e.Stiffness, m.Stiffness), cmp.Or(e.Limp, m.Limp)
	}
	slices.SortStableFunc(out, func(a, b journal.Morning) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Complaint, b.Complaint))
	})
	return out
}

// sidesOf names complaints as people type them: SITE:SIDE.
func sidesOf(k *journal.Kept) map[string]string {
	out := make(map[string]string, len(k.Complaints))
	for _, c := range k.Complaints {
		out[c.ID] = string(c.Site) + ":" + string(c.Side)
	}
	return out
}

// writeRehab writes what was done of the exercises, in order of day.
func writeRehab(w io.Writer, k *journal.Kept) error {
	names := []string{"date", "complaint", "exercise", "name", "sets", "reps", "hold_s", "minutes", "weight_kg", "pain", "note", "entered", "by"}
	sides := sidesOf(k)
	done := slices.Clone(k.Plan.Done)
	slices.SortStableFunc(done, func(a, b journal.Done) int { return cmp.Compare(a.Day, b.Day) })
	return writeTable(w, names, func(write func([]string) error) error {
		for _, d := range done {
			exercise, _ := rehab.FindExercise(d.Exercise) // one of a newer version has no name here
			cells := []string{
				d.Day.String(), sides[d.Complaint], plain(d.Exercise), exercise.Name, count(d.Sets), count(d.Reps), count(d.Hold), count(d.Minutes),
				when(d.Weight > 0, decimal(d.Weight)), whole(d.Pain), plain(d.Note), rfc3339(d.At), plain(string(d.By)),
			}
			if err := write(cells); err != nil {
				return err
			}
		}
		return nil
	})
}

// whole writes a whole number that may not have been said.
func whole[T uint8 | int](v *T) string {
	if v == nil {
		return ""
	}
	return strconv.Itoa(int(*v))
}

func count(n int) string { return when(n > 0, strconv.Itoa(n)) }

func limped(v *bool) string {
	if v == nil {
		return ""
	}
	return yes(*v)
}

func rfc3339(at load.Instant) string {
	return at.In(0).Format("2006-01-02T15:04:05.999Z07:00")
}
