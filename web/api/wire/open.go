package wire

import (
	"tidemark/load"
	"tidemark/load/journal"
)

// OpenFinding is a warning that stands open, in a list over runners.
type OpenFinding struct {
	Runner string     `json:"runner" doc:"ID of the runner."`
	Name   string     `json:"name" doc:"Of the runner."`
	ID     string     `json:"id"`
	Rule   string     `json:"rule"`
	Level  load.Level `json:"level"`
	Day    load.Day   `json:"day"`
	Text   *string    `json:"text" doc:"What it rests on."`
}

// FromOpen lists open warnings.
func FromOpen(open []journal.OpenFinding) []OpenFinding {
	out := make([]OpenFinding, 0, len(open))
	for _, f := range open {
		out = append(out, OpenFinding{string(f.Runner.ID), f.Runner.Name, f.ID, f.Rule, f.Level, f.Day, some(f.Text)})
	}
	return out
}
