// Command tidemark reads what watches recorded of a runner, computes how much
// load came in and how fast it rose, and says what the limits leave for today.
//
// The package is the composition root: one file a command, and the only place
// that knows every other package.
package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"github.com/alecthomas/kong"
	"golang.org/x/term"

	"tidemark/web/words"
)

var description = `Reads what watches recorded of a runner, computes how much load came in and how fast it rose,
and says what the limits leave for today.

` + words.FollowClinician + `

tidemark makes no diagnosis. ` + words.NotForThis() + `

Exit codes:
  0  all done
  1  something was refused or found wrong, the rest was done
  2  wrong use
  3  the journal cannot be opened or written
  4  interrupted, nothing half done`

// commands is the command line: what all commands share, and the commands.
type commands struct {
	Common

	Demo      demoCommand      `cmd:"" help:"Serve the logbooks of an invented club, from generated files, through the real importers."`
	Serve     serveCommand     `cmd:"" help:"Serve logbooks to browsers, with accounts or to one person on this machine."`
	Import    importCommand    `cmd:"" help:"Take files and folders of recordings into the journal."`
	Inspect   inspectCommand   `cmd:"" help:"Say what is understood of one file; stores nothing."`
	Load      loadCommand      `cmd:"" help:"Show load, findings and what the limits leave for today."`
	Complaint complaintCommand `cmd:"" help:"What hurts and is followed: add, list, close."`
	Morning   morningCommand   `cmd:"" help:"How the tendon was the day after: add, list."`
	Ramp      rampCommand      `cmd:"" help:"Plan the way back to running, or show the plan of the journal."`
	Settings  settingsCommand  `cmd:"" help:"List what the numbers are made with, or change it."`
	Races     racesCommand     `cmd:"" help:"List the races that are planned, plan one or take it off."`
	People    peopleCommand    `cmd:"" help:"Who signs in: list, invite, let into a logbook, end it, reset."`
	Letters   lettersCommand   `cmd:"" help:"For whom an evening letter waits to be sent, and whether the mail server can be reached."`
	Evidence  evidenceCommand  `cmd:"" help:"Count days by spike class and by ratio, and say what such counts cannot show."`
	Export    exportCommand    `cmd:"" help:"Write everything of a runner as a zip of open formats; or all runs as a table, one as a track."`
	Backup    backupCommand    `cmd:"" help:"Write a consistent copy of the journal."`
	Restore   restoreCommand   `cmd:"" help:"Put a copy in the place of the journal."`
	Check     checkCommand     `cmd:"" help:"Verify every checksum and everything that must hold in the journal."`
	Rederive  rederiveCommand  `cmd:"" help:"Read every kept original again and say what changed."`
	Version   versionCommand   `cmd:"" help:"Print version, commit, Go and schema."`
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	go func() { <-ctx.Done(); stop() }() // a second signal ends it at once
	code := run(ctx, os.Args[1:], &streams{
		out: os.Stdout, err: os.Stderr, now: time.Now, env: os.Getenv,
		outTerminal: term.IsTerminal(int(os.Stdout.Fd())), errTerminal: term.IsTerminal(int(os.Stderr.Fd())),
	})
	os.Exit(code)
}

// streams is what a command may touch of the world around it, besides files.
type streams struct {
	out, err                 io.Writer
	now                      func() time.Time
	env                      func(string) string
	outTerminal, errTerminal bool
}

// run parses args, runs the command and returns the exit code.
func run(ctx context.Context, args []string, s *streams) (code int) {
	var cmd commands
	code = -1
	parser, err := kong.New(&cmd,
		kong.Name("tidemark"), kong.Description(description),
		kong.Writers(s.out, s.err), kong.Exit(func(c int) { code = c }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}),
		kong.Help(help),
	)
	if err != nil {
		panic(err) // the tags above are wrong
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	parsed, err := parser.Parse(args)
	if code >= 0 { // help was asked for and printed
		return code
	}
	if err != nil {
		return s.fail(&failure{exitUse, err, "tidemark --help"})
	}
	return s.fail(parsed.Run(&app{ctx: ctx, streams: s, Common: &cmd.Common}))
}

// help prints kong's help and, for a command, its examples after it.
func help(options kong.HelpOptions, ctx *kong.Context) error {
	if err := kong.DefaultHelpPrinter(options, ctx); err != nil {
		return err
	}
	if selected := ctx.Selected(); selected != nil {
		if e, ok := selected.Target.Addr().Interface().(interface{ examples() string }); ok {
			_, err := fmt.Fprintf(ctx.Stdout, "\nExamples:\n%s\n\nExit codes are those of tidemark --help.\n", strings.TrimRight(e.examples(), "\n"))
			return err
		}
	}
	return nil
}
