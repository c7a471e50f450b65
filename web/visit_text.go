package web

import (
	"strings"

	"tidemark/web/export"
	"tidemark/web/words"
)

// visitText is the visit as plain text, for a record that takes nothing else.
func visitText(m *export.Visit) string {
	var lines []string
	add := func(parts ...string) {
		if line := strings.TrimSpace(strings.Join(parts, "")); line != "" {
			lines = append(lines, line)
		}
	}
	add(m.Name, ", ", words.Day(m.Day))
	add(m.Answer)
	for _, sign := range m.Signs {
		add(sign)
	}
	add(m.Since)
	for _, n := range m.Numbers {
		add(title(n.Name), ": ", n.Text)
	}
	for i := range m.Cases {
		caseText(&m.Cases[i], add)
	}
	add(m.Late)
	for _, t := range m.Tests {
		add(t.Name, ", ", words.Day(t.Day), ": ", t.Result)
		if t.Before != "" {
			add("- before: ", t.Before, "; ", t.Change, " (", t.Band, ")")
		} else {
			add("- ", t.Change, " (", t.Band, ")")
		}
	}
	for _, l := range m.Plan.Lines {
		add(title(l.Name), ": ", l.Text)
	}
	for _, r := range m.Plan.Runs {
		add("- ", words.Weekday(r.Day), ": ", r.What)
	}
	for _, w := range m.Plan.Waits {
		add("Waits for an answer: ", w)
	}
	if m.Next != "" {
		add("Next visit: ", m.Next)
	}
	return strings.Join(lines, "\n")
}

func caseText(c *export.VisitCase, add func(parts ...string)) {
	add(c.Name, ":")
	for _, l := range c.Lines {
		add("- ", l)
	}
	if c.Programme != "" {
		add("- programme: ", c.Programme)
	}
	for _, d := range c.Doses {
		done := ""
		if d.Last != "" {
			done = "; done in seven days: " + d.Last
		}
		add("- ", d.Name, ": ", d.Set, done)
	}
}
