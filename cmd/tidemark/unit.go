package main

import (
	"embed"
	"fmt"
)

//go:embed operations/*.service operations/*.timer
var unitFiles embed.FS

// units are the files of the units by the name that --print-unit takes.
var units = map[string]string{
	"service": "operations/tidemark.service",
	"backup":  "operations/tidemark-backup.service",
	"timer":   "operations/tidemark-backup.timer",
}

// printUnit writes a unit for systemd, which whoever installs the program has with
// it and can change.
func (a *app) printUnit(name string) error {
	text, err := unitFiles.ReadFile(units[name])
	if err != nil {
		panic(err) // it is embedded
	}
	_, err = fmt.Fprintf(a.out, "%s", text)
	return err
}
