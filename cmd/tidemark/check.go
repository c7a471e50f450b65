package main

import "fmt"

type checkCommand struct{}

func (*checkCommand) examples() string {
	return "  tidemark check\n  tidemark check --db tidemark-2026-03-02.db   # of a backup"
}

// Run verifies the journal and lists what is wrong.
func (*checkCommand) Run(a *app) error {
	j, err := a.open(false)
	if err != nil {
		return err
	}
	defer j.Close()
	problems, err := j.Check(a.ctx)
	if err != nil {
		return a.journalFailure(err)
	}
	if a.JSON {
		lines := make([]string, 0, len(problems))
		for _, p := range problems {
			lines = append(lines, p.String())
		}
		if err := a.writeJSON(struct {
			Problems []string `json:"problems"`
		}{lines}); err != nil {
			return err
		}
	} else {
		for _, p := range problems {
			fmt.Fprintln(a.out, p)
		}
	}
	if len(problems) > 0 {
		return &failure{exitRefused, fmt.Errorf("check journal: %d things are wrong", len(problems)), "tidemark restore puts a backup back"}
	}
	a.say("all well: every checksum and every row\n")
	return nil
}
