package web

import (
	"cmp"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// mostRows is how many rows of a list one page shows; project default.
const mostRows = 500

// listQuery is how a list over runners was asked for: its address with what narrows and
// orders it.
type listQuery struct {
	path   string
	values url.Values
}

// listOf keeps of a request what a list knows, as far as it says something.
func listOf(r *http.Request, path string, known ...string) listQuery {
	q := listQuery{path, url.Values{}}
	asked := r.URL.Query() // a form that is sent from the list has fields of its own
	for _, key := range known {
		if v := strings.TrimSpace(asked.Get(key)); v != "" {
			q.values.Set(key, v)
		}
	}
	return q
}

func (q listQuery) get(key string) string { return q.values.Get(key) }

// address is the list as it was asked for.
func (q listQuery) address() string {
	if len(q.values) == 0 {
		return q.path
	}
	return q.path + "?" + q.values.Encode()
}

// with is the address of the same list with one thing else; empty: without it.
func (q listQuery) with(key, value string) string {
	v := listQuery{q.path, maps.Clone(q.values)}
	v.values.Del("from") // another order begins at its beginning
	if v.values.Set(key, value); value == "" {
		v.values.Del(key)
	}
	return v.address()
}

// findForm is what narrows a list.
type findForm struct {
	Text string
	Keep []option // what else the list was asked for, as hidden fields
	All  int      // rows before it was narrowed
}

// column is what rows of a list show and can be ordered by; one without a text is only an order.
type column[T any] struct {
	id, text string
	number   bool
	most     bool              // the most comes first, unless the order is turned round
	known    func(*T) bool     // nil: always; what is not known comes last in both directions
	by       func(a, b *T) int // the least first
}

// header is a column's head: a link that orders by it, or turns its order round.
type header struct {
	Text, Address, Sorted, Class string
}

// turned is the prefix of an order that is turned round.
const turned = "-"

// heads are the heads of columns. Without an order the first column that is called usual has it.
func heads[T any](q listQuery, columns []column[T], usual string) (out []header) {
	order := cmp.Or(q.get("order"), usual)
	for _, c := range columns {
		if c.text == "" {
			continue
		}
		h := header{Text: c.text, Address: q.with("order", c.id)}
		if c.number {
			h.Class = "n"
		}
		switch order {
		case c.id:
			h.Sorted = direction(c.most)
			h.Address = q.with("order", turned+c.id)
		case turned + c.id:
			h.Sorted = direction(!c.most)
		}
		out = append(out, h)
	}
	return out
}

func direction(falls bool) string {
	if falls {
		return "descending"
	}
	return "ascending"
}

// sorted orders rows by the column that the query asks for, those that are as much in the
// order in which they are. An order that there is not is the usual one.
func sorted[T any](q listQuery, rows []T, columns []column[T], usual string) {
	find := func(order string) (c column[T], back, ok bool) {
		id, back := strings.CutPrefix(order, turned)
		i := slices.IndexFunc(columns, func(c column[T]) bool { return c.id == id })
		if i < 0 {
			return c, false, false
		}
		return columns[i], back, true
	}
	c, back, ok := find(cmp.Or(q.get("order"), usual))
	if !ok {
		c, back, _ = find(usual)
	}
	slices.SortStableFunc(rows, func(a, b T) int {
		if c.known != nil {
			if ka, kb := c.known(&a), c.known(&b); ka != kb {
				return map[bool]int{true: -1, false: 1}[ka]
			} else if !ka {
				return 0
			}
		}
		if c.most != back {
			return c.by(&b, &a)
		}
		return c.by(&a, &b)
	})
}

// plainText is a text without case and accents, in which names are looked for.
func plainText(text string) string {
	var b strings.Builder
	for _, r := range norm.NFD.String(cases.Fold().String(text)) {
		if !unicode.Is(unicode.Mn, r) {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// finder reports whether all the words that are looked for begin or stand in a text.
func finder(find string) func(texts ...string) bool {
	words := strings.Fields(plainText(find))
	return func(texts ...string) bool {
		text := plainText(strings.Join(texts, " "))
		return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(text, w) })
	}
}
