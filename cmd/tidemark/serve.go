package main

import (
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/url"
	"time"

	"tidemark/ingest"
	"tidemark/load/journal"
	"tidemark/web"
)

type serveCommand struct {
	Addr    string `default:"127.0.0.1:8080" placeholder:"HOST:PORT" help:"Where to listen; port 0 takes any that is free."`
	BaseURL string `name:"base-url" placeholder:"URL" help:"Under which address browsers reach it, if that is another."`
	Solo    bool   `help:"One person on this machine, without a sign-in."`

	Emergency string `placeholder:"NUMBER" env:"TIDEMARK_EMERGENCY" help:"The emergency number where the runners live, as 112: pages with cautions name it."`

	operationFlags
}

func (*serveCommand) examples() string {
	return `  tidemark serve --solo
  tidemark serve --solo --addr 127.0.0.1:9000 --db club.db --runner "Edda Quill"
  tidemark serve --solo --log json --metrics-addr 127.0.0.1:9090
  tidemark serve --print-unit service | sudo tee /etc/systemd/system/tidemark.service`
}

// Run serves the journal until it is interrupted.
func (c *serveCommand) Run(a *app) error {
	if c.PrintUnit != "" {
		return a.printUnit(c.PrintUnit)
	}
	if !c.Solo {
		return &failure{exitUse, errors.New("serve: there is no sign-in yet, so only one person on this machine can be served"), "tidemark serve --solo"}
	}
	listener, err := c.listen()
	if err != nil {
		return err
	}
	defer listener.Close()
	if err := c.checkBase(); err != nil {
		return err
	}
	log := a.log(c.Log)
	around, err := c.operate(a, log, listener)
	if err != nil {
		return err
	}
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	runner, err := a.served(j)
	if err != nil {
		return err
	}
	server := web.New(web.Options{
		Journal: j.Journal, Now: a.clock(runner), Log: log, Runner: runner.ID, Limits: ingest.DefaultLimits, Emergency: c.Emergency, Operation: around.web,
	})
	address := c.BaseURL
	if address == "" {
		address = around.scheme + "://" + listener.Addr().String() + "/"
	}
	if around.metrics != nil {
		fmt.Fprintf(a.out, "Metrics are at http://%s/metrics.\n", around.metrics.listener.Addr())
	}
	fmt.Fprintf(a.out, "The logbook is at %s until Ctrl-C.\n", address)
	return around.serve(a.ctx, server)
}

// listen opens the address, which must be this machine's own: whoever reaches it
// may do everything.
func (c *serveCommand) listen() (net.Listener, error) {
	const only = "--solo asks nobody who they are, so it listens on this machine alone"
	host, _, err := net.SplitHostPort(c.Addr)
	if err != nil {
		return nil, &failure{exitUse, fmt.Errorf("serve: read address %q: want HOST:PORT", c.Addr), "as in --addr 127.0.0.1:8080"}
	}
	if !web.Loopback(host) {
		return nil, &failure{exitUse, fmt.Errorf("serve: listen on %s: %s", c.Addr, only), "as in --addr 127.0.0.1:8080"}
	}
	listener, err := net.Listen("tcp", c.Addr)
	if err != nil {
		return nil, &failure{exitRefused, fmt.Errorf("serve: %w", err), "another program has the port: --addr 127.0.0.1:0 takes one that is free"}
	}
	if tcp, ok := listener.Addr().(*net.TCPAddr); !ok || !tcp.IP.IsLoopback() {
		listener.Close()
		return nil, &failure{exitUse, fmt.Errorf("serve: %s is %v: %s", c.Addr, listener.Addr(), only), ""}
	}
	return listener, nil
}

// checkBase refuses the name of another machine as listen does its address.
func (c *serveCommand) checkBase() error {
	if c.BaseURL == "" {
		return nil
	}
	base, err := url.Parse(c.BaseURL)
	if err != nil || base.Host == "" {
		return &failure{exitUse, fmt.Errorf("serve: read address %q: want a URL", c.BaseURL), "as in --base-url http://localhost:8080/"}
	}
	if !web.Loopback(base.Hostname()) {
		return &failure{exitUse, fmt.Errorf("serve: %s is another machine's name: --solo asks nobody who they are", c.BaseURL), ""}
	}
	return nil
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
