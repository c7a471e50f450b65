package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/url"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web"
	"tidemark/web/letter"
)

type serveCommand struct {
	Addr    string `default:"127.0.0.1:8080" placeholder:"HOST:PORT" help:"Where to listen; port 0 takes any that is free."`
	BaseURL string `name:"base-url" placeholder:"URL" help:"Under which address browsers reach it, if that is another."`
	Solo    bool   `help:"One person on this machine, without accounts and without a sign-in."`

	entrances func(*opened, *url.URL) error // prints links into accounts; nil: none

	Emergency string `placeholder:"NUMBER" env:"TIDEMARK_EMERGENCY" help:"The emergency number where the runners live, as 112: pages with cautions name it."`

	operationFlags
	mailFlags
}

func (*serveCommand) examples() string {
	return `  tidemark serve --solo
  tidemark serve                        # with accounts; prints a link to make the first one
  tidemark serve --addr 127.0.0.1:9000 --base-url https://runs.example.org/ --db club.db
  tidemark serve --solo --log json --metrics-addr 127.0.0.1:9090
  tidemark serve --mail-server smtp.example.org:587 --mail-from logbook@example.org --mail-user logbook --mail-password-file secret
  tidemark serve --print-unit service | sudo tee /etc/systemd/system/tidemark.service`
}

// Run serves the journal until it is interrupted.
func (c *serveCommand) Run(a *app) error {
	if c.PrintUnit != "" {
		return a.printUnit(c.PrintUnit)
	}
	listener, err := c.listen()
	if err != nil {
		return err
	}
	defer listener.Close()
	log := a.log(c.Log)
	around, err := c.operate(a, log, listener)
	if err != nil {
		return err
	}
	base, err := c.base(listener, around.scheme)
	if err != nil {
		return err
	}
	mail, err := c.mailServer()
	if err != nil {
		return err
	}
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	options := web.Options{
		Journal: j.Journal, Log: log, Limits: ingest.DefaultLimits, Emergency: c.Emergency, Accounts: !c.Solo, Base: base, Version: release, Operation: around.web,
	}
	var runner journal.Runner
	if c.Solo {
		if runner, err = a.served(j); err != nil {
			return err
		}
		options.Runner = runner.ID
	} else if err := a.offerSetup(j, base); err != nil {
		return err
	}
	if c.entrances != nil {
		if err := c.entrances(j, base); err != nil {
			return a.journalFailure(err)
		}
	}
	options.Now = a.clock(runner)
	go removing(a.ctx, j.Journal, log)
	go renewing(a.ctx, j.Journal, log, renewEvery)
	if !c.Solo { // one person at the machine looks at it
		rounds := &letter.Rounds{Journal: j.Journal, Server: mail, Base: base, Now: func() load.Instant { return load.InstantOf(options.Now()) }, Log: log, Metrics: around.letters}
		wake, stop := rounds.Start(a.ctx)
		defer stop() // before the journal is closed
		if mail != nil {
			options.Letters = wake
		}
	}
	if around.metrics != nil {
		fmt.Fprintf(a.out, "Metrics are at http://%s/metrics.\n", around.metrics.listener.Addr())
	}
	fmt.Fprintf(a.out, "The logbook is at %s until Ctrl-C.\n", base)
	return around.serve(a.ctx, web.New(options))
}

// removeEvery is how often logbooks are looked for whose deletion is due; project default.
const removeEvery = time.Hour

// removing deletes the logbooks whose time has come, until ctx ends.
func removing(ctx context.Context, j *journal.Journal, log *slog.Logger) {
	for {
		if n, err := j.RemoveDue(ctx); n > 0 || err != nil && ctx.Err() == nil {
			log.Info("deleted logbooks that were due", "logbooks", n, "error", err)
		}
		if !pause(ctx, removeEvery) {
			return
		}
	}
}

// renewEvery is how often rows of lists are looked for that went stale, most of them by
// midnight where a runner lives; project default.
const renewEvery = 10 * time.Minute

// renewing makes rows of lists anew before somebody looks, until ctx ends. It rests after each
// for as long as it took, so that it never takes more than half of one processor.
func renewing(ctx context.Context, j *journal.Journal, log *slog.Logger, every time.Duration) {
	rest := func(took time.Duration) { pause(ctx, took) }
	for pause(ctx, every) {
		began := time.Now()
		n, err := j.RenewStandings(ctx, rest)
		switch {
		case err != nil && ctx.Err() == nil:
			log.Error("renew rows of lists", "renewed", n, "error", err)
		case n > 0:
			log.Info("renewed rows of lists", "renewed", n, "took", time.Since(began).Round(time.Millisecond))
		}
	}
}

// pause waits, and reports whether ctx goes on.
func pause(ctx context.Context, wait time.Duration) bool {
	select {
	case <-ctx.Done():
		return false
	case <-time.After(wait):
		return true
	}
}

// offerSetup prints a link to make the first account, as long as there is none.
func (a *app) offerSetup(j *opened, base *url.URL) error {
	accounts, err := j.Accounts(a.ctx)
	if err != nil {
		return a.journalFailure(err)
	}
	if len(accounts) > 0 {
		return nil
	}
	secret, err := j.Invite(a.ctx, journal.Invitation{Kind: journal.InviteHost, By: journal.Local, Home: a.zone()})
	if err != nil {
		return a.journalFailure(err)
	}
	fmt.Fprintf(a.out, "Nobody has an account yet. This link makes the first one, once, for a week:\n%s\n", base.JoinPath("invited", secret))
	return nil
}

// zone is the zone of logbooks that are made.
func (a *app) zone() string {
	if a.Zone != "" {
		return a.Zone
	}
	return machineZone(a.env)
}

// listen opens the address. Without a sign-in it must be this machine's own: whoever
// reaches it may do everything.
func (c *serveCommand) listen() (net.Listener, error) {
	const only = "--solo asks nobody who they are, so it listens on this machine alone"
	host, _, err := net.SplitHostPort(c.Addr)
	if err != nil {
		return nil, &failure{exitUse, fmt.Errorf("serve: read address %q: want HOST:PORT", c.Addr), "as in --addr 127.0.0.1:8080"}
	}
	if c.Solo && !web.Loopback(host) {
		return nil, &failure{exitUse, fmt.Errorf("serve: listen on %s: %s", c.Addr, only), "as in --addr 127.0.0.1:8080"}
	}
	listener, err := net.Listen("tcp", c.Addr)
	if err != nil {
		return nil, &failure{exitRefused, fmt.Errorf("serve: %w", err), "another program has the port: --addr 127.0.0.1:0 takes one that is free"}
	}
	if tcp, ok := listener.Addr().(*net.TCPAddr); c.Solo && (!ok || !tcp.IP.IsLoopback()) {
		listener.Close()
		return nil, &failure{exitUse, fmt.Errorf("serve: %s is %v: %s", c.Addr, listener.Addr(), only), ""}
	}
	return listener, nil
}

// base is the address by which browsers reach the program. Another machine's name is refused
// where nobody is asked who they are, and without https where passwords would be read on
// the way.
func (c *serveCommand) base(listener net.Listener, scheme string) (*url.URL, error) {
	if c.BaseURL == "" {
		base := &url.URL{Scheme: scheme, Host: listener.Addr().String(), Path: "/"}
		if !web.Loopback(base.Hostname()) {
			return nil, &failure{exitUse, errors.New("serve: say by which address browsers reach it"), "as in --base-url https://runs.example.org/"}
		}
		return base, nil
	}
	base, err := url.Parse(c.BaseURL)
	if err != nil || base.Host == "" || base.Scheme != "http" && base.Scheme != "https" || base.Path != "" && base.Path != "/" {
		return nil, &failure{exitUse, fmt.Errorf("serve: read address %q: want a URL without a path", c.BaseURL), "as in --base-url http://localhost:8080/"}
	}
	switch {
	case c.Solo && !web.Loopback(base.Hostname()):
		return nil, &failure{exitUse, fmt.Errorf("serve: %s is another machine's name: --solo asks nobody who they are", c.BaseURL), ""}
	case !web.Loopback(base.Hostname()) && base.Scheme != "https":
		return nil, &failure{exitUse, fmt.Errorf("serve: %s: passwords could be read on the way", c.BaseURL), "use https, by --tls-cert and --tls-key or by a proxy in front of it"}
	}
	base.Path = "/"
	return base, nil
}

// served is the runner whose day comes first. An empty journal gets one; of
// several, none is chosen unless it was named.
func (a *app) served(j *opened) (journal.Runner, error) {
	all, err := j.Runners(a.ctx, journal.Local)
	if err != nil {
		return journal.Runner{}, a.journalFailure(err)
	}
	if len(all) > 1 && a.Runner == "" {
		return journal.Runner{}, nil
	}
	return a.runner(j, true)
}

// clock is the machine's, or stands at noon of --on where the runner lives.
func (a *app) clock(runner journal.Runner) func() time.Time {
	if a.On == 0 {
		return a.now
	}
	noon := a.On.Noon()
	if home, err := time.LoadLocation(runner.Home); err == nil {
		noon = time.Date(noon.Year(), noon.Month(), noon.Day(), 12, 0, 0, 0, home)
	}
	return func() time.Time { return noon }
}

// log writes lines of named values to standard error, as text or json; --quiet
// leaves only what went wrong.
func (a *app) log(format string) *slog.Logger {
	level := slog.LevelInfo
	if a.Quiet {
		level = slog.LevelError
	}
	opt := &slog.HandlerOptions{Level: level}
	if format == "json" {
		return slog.New(slog.NewJSONHandler(a.err, opt))
	}
	return slog.New(slog.NewTextHandler(a.err, opt))
}
