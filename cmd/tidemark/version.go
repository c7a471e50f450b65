package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal/sqlite"
)

type versionCommand struct{}

func (*versionCommand) examples() string { return "  tidemark version --json" }

// release is the version of the program, set for a release by the linker.
var release = "devel"

func (*versionCommand) Run(a *app) error {
	v := struct {
		Version string `json:"version"`
		Commit  string `json:"commit"`
		Go      string `json:"go"`
		Schema  int    `json:"schema"`
		Decoder int    `json:"decoder"`
		Model   int    `json:"model"`
		Rules   int    `json:"rules"`
	}{release, commit(), runtime.Version(), sqlite.Schema, ingest.Version, load.Version, load.RulesVersion}
	if a.JSON {
		return a.writeJSON(v)
	}
	_, err := fmt.Fprintf(a.out, "tidemark %s (%s), %s, schema %d, decoder %d, model %d, rules %d\n",
		v.Version, v.Commit, v.Go, v.Schema, v.Decoder, v.Model, v.Rules)
	return err
}

// commit is what the Go tool noted of the source, with + if it was changed.
func commit() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	revision, changed := "unknown", ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			revision = s.Value[:min(12, len(s.Value))]
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = "+"
		}
	}
	return revision + changed
}
