package journal

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"tidemark/load"
)

// mergeRows puts rows from elsewhere among those that are there, by when they were entered,
// and returns how many were not there yet. Either list keeps its own order, of rows entered
// at once those that are there come first. A row that is there as often as it comes is not
// put again, whoever it is by here and elsewhere.
func mergeRows[T any](there, coming []T, at func(*T) load.Instant, speak speech) (merged []T, added int) {
	known := make(map[string]int, len(there))
	for i := range there {
		known[keyBy(there[i], speak)]++
	}
	var fresh []T
	for i := range coming {
		key := keyBy(coming[i], speak)
		if known[key] > 0 {
			known[key]--
			continue
		}
		fresh = append(fresh, coming[i])
	}
	merged = make([]T, 0, len(there)+len(fresh))
	for i, j := 0, 0; i < len(there) || j < len(fresh); {
		if j == len(fresh) || i < len(there) && at(&there[i]) <= at(&fresh[j]) {
			merged = append(merged, there[i])
			i++
		} else {
			merged = append(merged, fresh[j])
			j++
		}
	}
	return merged, len(fresh)
}

// commonStart returns how many rows both begin with.
func commonStart[T any](a, b []T) (n int) {
	for n < len(a) && n < len(b) && keyOf(a[n]) == keyOf(b[n]) {
		n++
	}
	return n
}

// keyOf writes every field of a row, so that two rows with the same key say the same. A
// person is the same here and from elsewhere: a logbook that comes back is not new.
func keyOf(row any) string { return keyBy(row, func(p Person) Person { return p }) }

// speech names persons by their names.
type speech func(Person) Person

// keyBy is keyOf with the persons of this journal by their names, as they are written down
// where a logbook is carried away.
func keyBy(row any, speak speech) string {
	var out strings.Builder
	writeKey(&out, reflect.ValueOf(row), speak)
	return out.String()
}

var personType = reflect.TypeFor[Person]()

func writeKey(out *strings.Builder, v reflect.Value, speak speech) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			writeKey(out, v.Field(i), speak)
		}
		return
	case reflect.Slice, reflect.Array:
		out.WriteString(strconv.Itoa(v.Len()) + "[")
		for i := range v.Len() {
			writeKey(out, v.Index(i), speak)
		}
		return
	case reflect.Pointer:
		if v.IsNil() {
			out.WriteString("nil ")
		} else {
			out.WriteString("*")
			writeKey(out, v.Elem(), speak)
		}
		return
	case reflect.String:
		text := v.String()
		if v.Type() == personType {
			text = strings.TrimPrefix(string(speak(Person(text))), elsewhere)
		}
		out.WriteString(strconv.Quote(text))
		return
	case reflect.Bool:
		out.WriteString(strconv.FormatBool(v.Bool()))
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		out.WriteString(strconv.FormatInt(v.Int(), 10))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		out.WriteString(strconv.FormatUint(v.Uint(), 10))
	case reflect.Float32, reflect.Float64:
		out.WriteString(strconv.FormatFloat(v.Float(), 'g', -1, 64))
	default:
		panic(fmt.Sprintf("journal: keyOf: a row with %v", v.Type()))
	}
	out.WriteByte(' ')
}
