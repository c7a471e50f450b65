package web

import (
	"cmp"
	"slices"
	"strings"
)

// waits is the order of who waits for most answers.
const waits = "waits"

// caseColumns are what the table of complaints shows, but for the first, which is only an order.
var caseColumns = []column[caseLine]{
	{id: waits, most: true, by: func(a, b *caseLine) int { return cmp.Compare(a.sorts, b.sorts) }},
	{id: "name", text: "runner", by: func(a, b *caseLine) int { return strings.Compare(a.Name, b.Name) }},
	{id: "what", text: "what", by: func(a, b *caseLine) int { return strings.Compare(a.What, b.What) }},
	{id: "week", text: "week", number: true, most: true, by: func(a, b *caseLine) int { return cmp.Compare(a.one.Week, b.one.Week) }},
	{
		id: "flare", text: "last flare", most: true, known: func(c *caseLine) bool { return c.one.HasFlare },
		by: func(a, b *caseLine) int { return cmp.Compare(a.one.Flare, b.one.Flare) },
	},
	{
		id: "mornings", text: "mornings on time", known: func(c *caseLine) bool { return c.one.Asked > 0 },
		by: func(a, b *caseLine) int { return cmp.Compare(a.one.Said*b.one.Asked, b.one.Said*a.one.Asked) },
	},
	{
		id: "programme", text: "programme", known: func(c *caseLine) bool { return c.one.HasDone },
		by: func(a, b *caseLine) int { return cmp.Compare(a.one.Done, b.one.Done) },
	},
	{
		id: "ramp", text: "way back", known: func(c *caseLine) bool { return c.one.Ramp != "" },
		by: func(a, b *caseLine) int { return cmp.Compare(a.one.Stage, b.one.Stage) },
	},
	{id: "warnings", text: "warnings", most: true, by: func(a, b *caseLine) int {
		return cmp.Compare(a.row.Standing.Whole.OpenFindings, b.row.Standing.Whole.OpenFindings)
	}},
	{
		id: "visit", text: "next visit", known: func(c *caseLine) bool { return c.row.Visit != nil && c.row.Visit.HasNext },
		by: func(a, b *caseLine) int { return cmp.Compare(a.row.Visit.Next, b.row.Visit.Next) },
	},
}

// list narrows the complaints to those that are looked for, and orders them.
func (p *caseloadPage) list(q listQuery) {
	p.Find = findForm{Text: q.get("find"), All: len(p.Cases)}
	if order := q.get("order"); order != "" {
		p.Find.Keep = []option{{Value: order, Text: "order"}}
	}
	found := finder(p.Find.Text)
	p.Cases = slices.DeleteFunc(p.Cases, func(c caseLine) bool { return !found(c.Name, c.What) })
	p.Heads = heads(q, caseColumns, waits)
	sorted(q, p.Cases, caseColumns, waits)
	p.Cases, p.More = pageOfRows(p.Cases, q)
}
