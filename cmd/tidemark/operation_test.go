package main

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/json"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

// certify writes a certificate for this machine that signs itself, with its key.
func certify(t *testing.T, cert, key string, serial int64) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{
		SerialNumber: big.NewInt(serial), Subject: pkix.Name{CommonName: "invented"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(24 * time.Hour), IsCA: true, BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &private.PublicKey, private)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	put(t, cert, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}))
	put(t, key, pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret}))
}

// TestTLS serves by a certificate in files, takes new ones while it runs, and keeps
// the last that was whole.
func TestTLS(t *testing.T) {
	dir := t.TempDir()
	db, cert, key := filepath.Join(dir, "a.db"), filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	certify(t, cert, key, 11)
	p := started(t, "serve", "--solo", "--addr", "127.0.0.1:0", "--db", db, "--tls-cert", cert, "--tls-key", key)
	if !strings.HasPrefix(p.address, "https://") {
		t.Fatalf("the address is told as %s", p.address)
	}
	host := strings.TrimSuffix(strings.TrimPrefix(p.address, "https://"), "/")
	dial := func(most uint16) (serial int64, version uint16, err error) {
		conn, err := tls.Dial("tcp", host, &tls.Config{InsecureSkipVerify: true, MinVersion: tls.VersionTLS10, MaxVersion: most})
		if err != nil {
			return 0, 0, err
		}
		defer conn.Close()
		state := conn.ConnectionState()
		return state.PeerCertificates[0].SerialNumber.Int64(), state.Version, nil
	}
	for most, want := range map[uint16]uint16{tls.VersionTLS13: tls.VersionTLS13, tls.VersionTLS12: tls.VersionTLS12, tls.VersionTLS11: 0} {
		if _, got, err := dial(most); got != want || (err == nil) != (want != 0) {
			t.Errorf("at most %s: %s, %v", tls.VersionName(most), tls.VersionName(got), err)
		}
	}

	pool := x509.NewCertPool()
	pool.AppendCertsFromPEM(readFile(t, cert))
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}, ForceAttemptHTTP2: true}}
	r, err := client.Get(p.address)
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != http.StatusOK || r.ProtoMajor != 2 {
		t.Errorf("%s by %s, want 200 by HTTP/2", r.Status, r.Proto)
	}
	kept := newLedger()
	runner := onlyRunner(t, db)
	h := newHand(p.address, string(runner.ID), load.DayOf(time.Now()), kept)
	h.client.Transport = client.Transport
	if err := h.upload(1, 3); err != nil {
		t.Errorf("upload by HTTP/2: %v", err)
	}
	if err := h.race(1); err != nil {
		t.Errorf("form by HTTP/2: %v", err)
	}

	for _, step := range []struct {
		name   string
		change func()
		want   int64
	}{
		{"a new one", func() { certify(t, cert, key, 22) }, 22},
		{"a new key without its certificate", func() { certify(t, filepath.Join(dir, "other.pem"), key, 33) }, 22},
		{"and then the certificate", func() { put(t, cert, readFile(t, filepath.Join(dir, "other.pem"))) }, 33},
		{"nonsense", func() { put(t, cert, []byte("no certificate")) }, 33},
		{"nothing", func() { must(t, os.Remove(cert)) }, 33},
		{"one again", func() { certify(t, cert, key, 44) }, 44},
	} {
		step.change()
		if got, _, err := dial(tls.VersionTLS13); got != step.want || err != nil {
			t.Errorf("%s: serial %d, %v; want %d", step.name, got, err, step.want)
		}
	}
	if got := p.log.String(); !strings.Contains(got, "go on with the certificate of before") {
		t.Errorf("the log does not tell of it:\n%s", got)
	}
}

func readFile(t *testing.T, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	must(t, err)
	return b
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// onlyRunner is the one runner of a journal that others may have open.
func onlyRunner(t *testing.T, db string) journal.Runner {
	t.Helper()
	store, err := sqlite.Open(t.Context(), db, sqlite.Options{ReadOnly: true})
	must(t, err)
	defer store.Close()
	all, err := journal.New(store, func() load.Instant { return 0 }, versions).Runners(t.Context(), journal.Local)
	if err != nil || len(all) != 1 {
		t.Fatalf("%d runners, %v", len(all), err)
	}
	return all[0]
}

// TestMetricsAddress tells metrics at an address of their own, in both open formats,
// and not where the pages are.
func TestMetricsAddress(t *testing.T) {
	p := started(t, "serve", "--solo", "--addr", "127.0.0.1:0", "--metrics-addr", "127.0.0.1:0")
	pageAt(t, p.address)
	ask := func(address, host, accept string) (int, string, string) {
		r, err := http.NewRequest(http.MethodGet, address, nil)
		must(t, err)
		r.Header.Set("Accept", accept)
		if host != "" {
			r.Host = host
		}
		answer, err := http.DefaultClient.Do(r)
		must(t, err)
		defer answer.Body.Close()
		b, err := io.ReadAll(answer.Body)
		must(t, err)
		return answer.StatusCode, answer.Header.Get("Content-Type"), string(b)
	}
	for accept, kind := range map[string]string{"": "text/plain; version=0.0.4", "application/openmetrics-text; version=1.0.0": "application/openmetrics-text; version=1.0.0"} {
		status, contentType, text := ask(p.metrics, "", accept)
		if status != http.StatusOK || !strings.HasPrefix(contentType, kind) {
			t.Errorf("asked for %q: %d, %s", accept, status, contentType)
		}
		for _, want := range []string{`tidemark_http_requests_total{method="GET",route="/",status="200"} 1`, `tidemark_journal_bytes{file="journal"} `, `tidemark_journal_bytes{file="log"} `, "go_goroutines ", "tidemark_panics_total 0"} {
			if !strings.Contains(text, "\n"+want) {
				t.Errorf("asked for %q: not told: %s", accept, want)
			}
		}
		if strings.Contains(text, `tidemark_journal_bytes{file="journal"} 0`) {
			t.Error("the journal takes no room")
		}
	}
	if status, _, text := ask(p.metrics, "elsewhere.example", ""); status != http.StatusMisdirectedRequest || strings.Contains(text, "go_") {
		t.Errorf("under another name: %d\n%s", status, text)
	}
	if status, _, _ := ask(p.address+"metrics", "", ""); status != http.StatusNotFound {
		t.Errorf("among the pages: %d, want 404", status)
	}
	if status, _, text := ask(p.address+"health", "elsewhere.example", ""); status != http.StatusOK || text != "ok\n" {
		t.Errorf("health: %d %q", status, text)
	}
}

// TestLogAsJSON reads each line of the log as an object.
func TestLogAsJSON(t *testing.T) {
	p := started(t, "serve", "--solo", "--addr", "127.0.0.1:0", "--log", "json")
	pageAt(t, p.address)
	must(t, p.Process.Signal(os.Interrupt))
	must(t, p.Wait()) // and with it all that is written
	n := 0
	for line := range strings.Lines(p.log.String()) {
		var fields struct{ Msg, Route string }
		if err := json.Unmarshal([]byte(line), &fields); err != nil || fields.Msg != "request" || fields.Route != "/" {
			t.Errorf("%+v, %v in %s", fields, err, line)
		}
		n++
	}
	if n != 1 {
		t.Errorf("%d lines, want 1", n)
	}
}

// TestUnits prints the units and lets systemd read them, where it is there.
func TestUnits(t *testing.T) {
	dir := t.TempDir()
	var paths []string
	for name, want := range map[string]string{"service": "tidemark.service", "backup": "tidemark-backup.service", "timer": "tidemark-backup.timer"} {
		out := tell(t, "serve", "--print-unit", name)
		if !strings.HasPrefix(out, "[Unit]\n") || !strings.HasSuffix(out, "\n") {
			t.Errorf("%s is no unit:\n%s", name, out)
		}
		// What a unit starts must be there to be verified.
		out = strings.ReplaceAll(out, "/usr/local/bin/tidemark", link(t, t.TempDir()))
		path := filepath.Join(dir, want)
		put(t, path, []byte(out))
		paths = append(paths, path)
	}
	if _, err := exec.LookPath("systemd-analyze"); err != nil {
		t.Skip("systemd-analyze is not there: the units are not verified")
	}
	var said bytes.Buffer
	cmd := exec.Command("systemd-analyze", append([]string{"verify", "--man=no"}, paths...)...)
	cmd.Stdout, cmd.Stderr = &said, &said
	if err := cmd.Run(); err != nil || strings.Contains(said.String(), dir) {
		t.Errorf("verify: %v\n%s", err, &said)
	}
}
