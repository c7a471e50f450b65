package main

import (
	"errors"
	"fmt"
	"io/fs"

	"tidemark/load/journal/sqlite"
	"tidemark/web/api/wire"
)

type backupCommand struct {
	File string `arg:"" help:"The copy to make; a file that is there is not touched."`
}

func (*backupCommand) examples() string { return "  tidemark backup tidemark-2026-03-02.db" }

// Run copies the journal while others may go on writing to it, and says the digest
// that check will say of the copy and of what is restored from it.
func (c *backupCommand) Run(a *app) error {
	j, err := a.open(false)
	if err != nil {
		return err
	}
	defer j.Close()
	err = j.store.Backup(a.ctx, c.File)
	if errors.Is(err, fs.ErrExist) {
		return &failure{exitUse, fmt.Errorf("back up to %s: there is a file already", c.File), "give another name"}
	}
	if err != nil {
		return a.journalFailure(err)
	}
	digest, err := a.copied(c.File)
	if err != nil {
		return err
	}
	if a.JSON {
		return a.writeJSON(wire.Copied{Path: c.File, Digest: digest})
	}
	a.say("copied to %s: %s\n", c.File, digestWords(digest))
	return nil
}

// copied reads the whole copy once, since a backup is worth what can be read of it.
func (a *app) copied(path string) (wire.Digest, error) {
	common := *a.Common
	common.DB = path
	j, err := (&app{a.streams, &common, a.ctx}).open(false)
	if err != nil {
		return wire.Digest{}, err
	}
	defer j.Close()
	digest, err := j.Digest(a.ctx)
	if err != nil {
		return wire.Digest{}, a.journalFailure(err)
	}
	return wire.FromDigest(digest), nil
}

type restoreCommand struct {
	File  string `arg:"" help:"The copy to put back."`
	Force bool   `help:"Replace a journal that is there."`
}

func (*restoreCommand) examples() string {
	return "  tidemark restore tidemark-2026-03-02.db\n  tidemark restore --force --db ~/tidemark.db tidemark-2026-03-02.db"
}

// Run puts the copy in the place of the journal.
func (c *restoreCommand) Run(a *app) error {
	path, err := a.path()
	if err != nil {
		return err
	}
	err = sqlite.Restore(a.ctx, c.File, path, c.Force)
	switch {
	case errors.Is(err, fs.ErrExist):
		return &failure{exitUse, fmt.Errorf("restore to %s: there is a journal already", path), "back it up, then --force replaces it"}
	case errors.Is(err, fs.ErrNotExist):
		return &failure{exitUse, fmt.Errorf("restore %s: %w", c.File, err), ""}
	case err != nil:
		return a.journalFailure(err)
	}
	a.say("restored to %s\n", path)
	return nil
}
