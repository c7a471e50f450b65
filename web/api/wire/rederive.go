package wire

import (
	"cmp"
	"encoding/json"
	"maps"
	"reflect"
	"slices"

	"tidemark/load"
)

// Rederived is what reading the originals anew changed.
type Rederived struct {
	Originals int            `json:"originals"`
	Sessions  int            `json:"sessions"`
	Changed   []Changed      `json:"changed"`
	Added     []ActivityLine `json:"added"`
	Gone      []ActivityLine `json:"gone"`
}

// ActivityLine names a session for people.
type ActivityLine struct {
	ID    string   `json:"id"`
	Day   load.Day `json:"day"`
	Sport string   `json:"sport"`
}

// Changed is a session of which something is other than before.
type Changed struct {
	ActivityLine
	Fields map[string]Change `json:"fields"` // by the names of the inspect command
}

// Change is one value before and after, null where there was none.
type Change struct {
	Before any `json:"before"`
	After  any `json:"after"`
}

// Compare tells two states of the same sessions apart, in order of day.
func Compare(before, after []load.Session) (out Rederived) {
	out = Rederived{Sessions: len(after), Changed: []Changed{}, Added: []ActivityLine{}, Gone: []ActivityLine{}}
	old := make(map[string]*load.Session, len(before))
	for i := range before {
		old[before[i].ID] = &before[i]
	}
	for i := range after {
		now := &after[i]
		was, ok := old[now.ID]
		delete(old, now.ID)
		if !ok {
			out.Added = append(out.Added, lineOf(now))
			continue
		}
		if fields := changes(was, now); len(fields) > 0 {
			out.Changed = append(out.Changed, Changed{lineOf(now), fields})
		}
	}
	for _, id := range slices.Sorted(maps.Keys(old)) {
		out.Gone = append(out.Gone, lineOf(old[id]))
	}
	slices.SortStableFunc(out.Gone, func(a, b ActivityLine) int { return cmp.Compare(a.Day, b.Day) })
	return out
}

func lineOf(s *load.Session) ActivityLine { return ActivityLine{s.ID, s.Day, s.Sport.String()} }

// changes compares what the inspect command would say of two sessions.
func changes(before, after *load.Session) map[string]Change {
	was, now := fields(before), fields(after)
	out := make(map[string]Change)
	for name, value := range now {
		if !reflect.DeepEqual(was[name], value) {
			out[name] = Change{was[name], value}
		}
	}
	return out
}

// fields lists what is said of a session by name, its measures one by one.
func fields(s *load.Session) map[string]any {
	text, err := json.Marshal(FromSession("", s))
	if err != nil {
		panic("wire: a session that is no JSON: " + err.Error())
	}
	var out map[string]any
	if err := json.Unmarshal(text, &out); err != nil {
		panic("wire: " + err.Error())
	}
	for name, value := range out["measures"].(map[string]any) {
		out["measures."+name] = value
	}
	delete(out, "measures")
	return out
}
