package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"tidemark/load"
)

// Common are the flags that all commands share.
type Common struct {
	DB     string   `placeholder:"FILE" env:"TIDEMARK_DB" help:"The journal; by default tidemark.db in the data folder of the user."`
	Runner string   `placeholder:"NAME" help:"The runner, by name or ID; by default the only one of the journal."`
	On     load.Day `placeholder:"YYYY-MM-DD" help:"The day that is today; by default the runner's own."`
	Zone   string   `placeholder:"ZONE" help:"Home zone of a runner that is made, as Europe/Oslo; by default this machine's."`
	JSON   bool     `name:"json" help:"Write JSON to standard output."`
	Quiet  bool     `help:"No table and no progress bar; errors are still told."`
}

// app is one run of one command.
type app struct {
	*streams
	*Common
	ctx context.Context
}

// The exit codes.
const (
	exitDone        = 0
	exitRefused     = 1
	exitUse         = 2
	exitJournal     = 3
	exitInterrupted = 4
)

// failure is an error with the exit code and, where there is one, what to do.
type failure struct {
	code int
	err  error
	hint string
}

func (f *failure) Error() string { return f.err.Error() }
func (f *failure) Unwrap() error { return f.err }

// errTold is the failure of a command that has already said what was refused.
var errTold = &failure{code: exitRefused}

// fail tells an error on standard error and returns the exit code.
func (s *streams) fail(err error) int {
	if err == nil {
		return exitDone
	}
	f, ok := errors.AsType[*failure](err)
	switch {
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(s.err, "tidemark: error: interrupted; what was reported is kept, the rest is untouched")
		return exitInterrupted
	case !ok:
		f = &failure{code: exitRefused, err: err}
	}
	if f.err != nil {
		fmt.Fprintln(s.err, "tidemark: error:", f.err)
	}
	if f.hint != "" {
		fmt.Fprintln(s.err, "tidemark: hint:", f.hint)
	}
	return f.code
}

// writeJSON writes one value to standard output, indented for people unless it
// is one of many lines.
func (a *app) writeJSON(v any) error {
	enc := json.NewEncoder(a.out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// say writes to standard error unless --quiet.
func (a *app) say(format string, args ...any) {
	if !a.Quiet {
		fmt.Fprintf(a.err, format, args...)
	}
}
