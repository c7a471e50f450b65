package main

import (
	"fmt"

	"tidemark/web/api/wire"
)

type checkCommand struct{}

func (*checkCommand) examples() string {
	return "  tidemark check\n  tidemark check --db tidemark-2026-03-02.db   # of a backup: it has the digest that the backup told"
}

// Run verifies the journal, lists what is wrong and sums up what is kept.
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
	digest, err := j.Digest(a.ctx)
	if err != nil {
		return a.journalFailure(err)
	}
	found := wire.FromCheck(problems, digest)
	if a.JSON {
		err = a.writeJSON(found)
	} else {
		for _, p := range found.Problems {
			fmt.Fprintln(a.out, p)
		}
		_, err = fmt.Fprintln(a.out, digestWords(found.Digest))
	}
	switch {
	case err != nil:
		return err
	case len(problems) > 0:
		return &failure{exitRefused, fmt.Errorf("check journal: %d things are wrong", len(problems)), "tidemark restore puts a backup back"}
	}
	a.say("all well: every checksum and every row\n")
	return nil
}

// digestWords is a digest as one line, the same of a journal and of its copies.
func digestWords(d wire.Digest) string {
	return fmt.Sprintf("%d kept rows, SHA-256 %s", d.Rows, d.SHA256)
}
