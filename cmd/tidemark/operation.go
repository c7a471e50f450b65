package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/netip"
	"os"
	"runtime/debug"
	"strings"

	"github.com/prometheus/client_golang/prometheus"

	"tidemark/web"
	"tidemark/web/letter"
)

// operationFlags say how serve stands in its network and what it tells its host.
type operationFlags struct {
	Log         string         `enum:"text,json" default:"text" help:"How the lines of the log are written: text or json."`
	MetricsAddr string         `name:"metrics-addr" placeholder:"HOST:PORT" help:"Where on this machine metrics are told; nowhere by default."`
	TLSCert     string         `name:"tls-cert" and:"tls" type:"path" placeholder:"FILE" help:"Serve HTTPS with this certificate and those that sign it, as PEM; read again when it changes."`
	TLSKey      string         `name:"tls-key" and:"tls" type:"path" placeholder:"FILE" help:"The certificate's key, as PEM."`
	TrustOrigin []string       `name:"trust-origin" sep:"none" placeholder:"ORIGIN" help:"Another address of this server, as https://logbook.example, from which a browser may send; may be repeated."`
	TrustProxy  []netip.Prefix `name:"trust-proxy" sep:"none" placeholder:"CIDR" help:"A network of proxies that are believed on where a request is from, as 127.0.0.1/32; may be repeated."`
	PrintUnit   string         `name:"print-unit" enum:"service,backup,timer," default:"" placeholder:"UNIT" help:"Print a unit for systemd and end: service, backup or timer."`
}

// operation is what stands around the pages while they are served.
type operation struct {
	web      web.Operation
	listener net.Listener // of the pages, with TLS if there are files for it
	metrics  *metricsServer
	letters  *letter.Metrics // nil: none are told
	scheme   string
}

// operate makes ready what the flags say. The listener of the pages is the
// caller's to close.
func (c *serveCommand) operate(a *app, log *slog.Logger, pages net.Listener) (*operation, error) {
	o := &operation{listener: pages, scheme: "http"}
	o.web = web.Operation{Origins: c.TrustOrigin, Proxies: c.TrustProxy, HTTPS: strings.HasPrefix(c.BaseURL, "https://")}
	for _, origin := range c.TrustOrigin {
		if err := web.CheckOrigin(origin); err != nil {
			return nil, &failure{exitUse, fmt.Errorf("serve: trust origin: %w", err), "as in --trust-origin https://logbook.example"}
		}
	}
	if c.TLSCert != "" {
		files, err := newKeyPair(c.TLSCert, c.TLSKey, log)
		if err != nil {
			return nil, &failure{exitUse, fmt.Errorf("serve: %w", err), "both files as PEM: the certificate with those that sign it, and its key"}
		}
		o.listener, o.scheme, o.web.HTTPS = tls.NewListener(pages, files.config()), "https", true
	}
	if c.MetricsAddr == "" {
		return o, nil
	}
	journal, err := a.path()
	if err != nil {
		return nil, err
	}
	registry := prometheus.NewRegistry()
	o.web.Metrics, o.letters = web.NewMetrics(registry), letter.NewMetrics(registry)
	o.metrics, err = c.listenMetrics(registry, journal, log)
	return o, err
}

// listenMetrics opens the listener of the metrics, on this machine alone: who uses
// the logbook when is nobody else's business.
func (c *serveCommand) listenMetrics(registry *prometheus.Registry, journal string, log *slog.Logger) (*metricsServer, error) {
	host, _, err := net.SplitHostPort(c.MetricsAddr)
	if err != nil || !web.Loopback(host) {
		return nil, &failure{exitUse, fmt.Errorf("serve: tell metrics at %q: want an address of this machine, HOST:PORT", c.MetricsAddr), "as in --metrics-addr 127.0.0.1:9090"}
	}
	listener, err := net.Listen("tcp", c.MetricsAddr)
	if err != nil {
		return nil, &failure{exitRefused, fmt.Errorf("serve: tell metrics: %w", err), ""}
	}
	if tcp, ok := listener.Addr().(*net.TCPAddr); !ok || !tcp.IP.IsLoopback() {
		return nil, errors.Join(&failure{exitUse, fmt.Errorf("serve: tell metrics: %s is not this machine alone", listener.Addr()), ""}, listener.Close())
	}
	return newMetricsServer(listener, registry, journal, log), nil
}

// heapGrowth lets the heap grow to four times what is in use, of which there is little:
// at 200 requests a second the server took 1.07 cores with it and 1.17 with the
// runtime's own 100.
const heapGrowth = 300 // %

// serve answers until ctx ends.
func (o *operation) serve(ctx context.Context, pages *web.Server) error {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(heapGrowth)
	}
	if o.metrics != nil {
		defer o.metrics.start()()
	}
	return pages.Serve(ctx, o.listener)
}
