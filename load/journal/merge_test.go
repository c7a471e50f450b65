package journal

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"tidemark/load"
)

// TestMergeRows writes a row as its time of entry and what it says; the results are worked by
// hand.
func TestMergeRows(t *testing.T) {
	read := func(text string) (rows []Gap) {
		for _, word := range strings.Fields(text) {
			rows = append(rows, Gap{Gap: load.Gap{Answer: load.GapAnswer(word[1:])}, At: load.Instant(word[0] - '0'), By: "elsewhere:b"})
		}
		return rows
	}
	for name, tt := range map[string]struct {
		there, coming, want string
		added               int
	}{
		"into nothing":                {"", "1a 2b", "1a 2b", 2},
		"nothing":                     {"1a", "", "1a", 0},
		"after what is there":         {"1a 2b", "3c", "1a 2b 3c", 1},
		"before it":                   {"3c", "1a 2b", "1a 2b 3c", 2},
		"between":                     {"1a 5c", "2x 6y", "1a 2x 5c 6y", 2},
		"at once: what is there goes": {"3a", "3b", "3a 3b", 1},
		"the same rows":               {"1a 2b", "1a 2b", "1a 2b", 0},
		"one of them":                 {"1a 3c", "1a 2b 3c", "1a 2b 3c", 1},
		"twice the same":              {"1a", "1a 1a", "1a 1a", 1},
		"twice there, once coming":    {"1a 1a", "1a", "1a 1a", 0},
		"neither is in order of time": {"5a 2b", "9c 1d", "5a 2b 9c 1d", 2},
	} {
		got, added := mergeRows(read(tt.there), read(tt.coming), func(g *Gap) load.Instant { return g.At }, func(p Person) Person { return p })
		if want := read(tt.want); !slices.Equal(got, want) || added != tt.added {
			t.Errorf("%s: %d added, %v; want %d, %v", name, added, got, tt.added, want)
		}
	}
}

// TestKeyOf changes every field of every kind of row, one after another: none may be left
// out of what tells two rows apart, but for where a person is.
func TestKeyOf(t *testing.T) {
	tried := 0
	for _, f := range slices.Concat(reflect.VisibleFields(reflect.TypeFor[Kept]()), reflect.VisibleFields(reflect.TypeFor[Plan]())) {
		list := f.Type
		if list.Kind() != reflect.Slice || f.Name == "Originals" { // those are told apart by their sums
			continue
		}
		row := reflect.New(list.Elem()).Elem()
		empty := keyOf(row.Interface())
		for _, leaf := range leaves(row) {
			old := reflect.New(leaf.Type()).Elem()
			old.Set(leaf)
			change(t, leaf)
			if keyOf(row.Interface()) == empty {
				t.Errorf("%v: a %v is left out", list.Elem(), leaf.Type())
			}
			leaf.Set(old)
			tried++
		}
	}
	if tried < 80 {
		t.Errorf("only %d fields were tried", tried)
	}
	if keyOf(Race{By: "Ida"}) != keyOf(Race{By: "elsewhere:Ida"}) {
		t.Error("a person elsewhere is another one")
	}
	if keyOf(Race{Name: `a" "b`}) == keyOf(Race{Name: "a", By: "b"}) {
		t.Error("texts run into each other")
	}
}

// leaves lists the settable values within a struct.
func leaves(v reflect.Value) (out []reflect.Value) {
	if v.Kind() != reflect.Struct {
		return []reflect.Value{v}
	}
	for i := range v.NumField() {
		if f := v.Field(i); f.CanSet() && f.Kind() != reflect.Map {
			out = append(out, leaves(f)...)
		}
	}
	return out
}

func change(t *testing.T, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.String:
		v.SetString("x")
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Float64:
		v.SetFloat(0.5)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
	case reflect.Array:
		change(t, v.Index(0))
	case reflect.Uint8:
		v.SetUint(1)
	default:
		v.SetInt(1)
	}
}

func TestElsewhere(t *testing.T) {
	for by, want := range map[Person]Person{"local": "elsewhere:local", "Ida Holm": "elsewhere:Ida Holm", "elsewhere:Ida Holm": "elsewhere:Ida Holm", Rules: Rules} {
		if got := fromElsewhere(by); got != want {
			t.Errorf("%s: %s, want %s", by, got, want)
		}
	}
}
