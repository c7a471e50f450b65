package letter

import (
	"bufio"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"io"
	"math/big"
	"mime"
	"mime/quotedprintable"
	"net"
	"net/mail"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/emersion/go-sasl"
	"github.com/emersion/go-smtp"
)

// office is a mail server of this machine that keeps what it takes.
type office struct {
	mu       sync.Mutex
	letters  []string
	from, to []string
	refuse   func(from, to string) error // asked of each letter's addresses
	password string                      // empty: it asks for none
}

func (o *office) NewSession(*smtp.Conn) (smtp.Session, error) { return &visit{office: o}, nil }

func (o *office) got() []string {
	o.mu.Lock()
	defer o.mu.Unlock()
	return append([]string(nil), o.letters...)
}

// visit is one letter that is handed in.
type visit struct {
	office   *office
	from, to string
	known    bool
}

func (v *visit) AuthMechanisms() []string { return []string{sasl.Plain} }

func (v *visit) Auth(string) (sasl.Server, error) {
	return sasl.NewPlainServer(func(_, user, password string) error {
		if user != "tidemark" || password != v.office.password {
			return smtp.ErrAuthFailed
		}
		v.known = true
		return nil
	}), nil
}

func (v *visit) Mail(from string, _ *smtp.MailOptions) error {
	if v.office.password != "" && !v.known {
		return smtp.ErrAuthRequired
	}
	v.from = from
	return nil
}

func (v *visit) Rcpt(to string, _ *smtp.RcptOptions) error {
	v.to = to
	if v.office.refuse != nil {
		return v.office.refuse(v.from, to)
	}
	return nil
}

func (v *visit) Data(r io.Reader) error {
	text, err := io.ReadAll(r)
	v.office.mu.Lock()
	defer v.office.mu.Unlock()
	v.office.letters, v.office.from, v.office.to = append(v.office.letters, string(text)), append(v.office.from, v.from), append(v.office.to, v.to)
	return err
}

func (*visit) Reset()        {}
func (*visit) Logout() error { return nil }

// opened serves an office at a port of this machine.
func opened(t *testing.T, o *office, security Security) *Server {
	t.Helper()
	server := smtp.NewServer(o)
	server.Domain, server.AllowInsecureAuth, server.ReadTimeout, server.WriteTimeout = "localhost", false, 10*time.Second, 10*time.Second
	to := &Server{Host: "localhost", Security: security, From: &mail.Address{Name: "tidemark", Address: "logbook@example.org"}, Timeout: 5 * time.Second}
	server.TLSConfig, to.Roots = certificate(t)
	if security == Plain {
		server.TLSConfig = nil
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	to.Port = l.Addr().(*net.TCPAddr).Port
	if security == TLS {
		l = tls.NewListener(l, server.TLSConfig)
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		_ = server.Serve(l) // until Close
	}()
	t.Cleanup(func() {
		_ = server.Close()
		_ = l.Close() // Serve may not have begun
		<-done
	})
	return to
}

// certificate is one of localhost that signs itself.
func certificate(t *testing.T) (*tls.Config, *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "localhost"}, DNSNames: []string{"localhost"},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageDigitalSignature,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(cert)
	return &tls.Config{Certificates: []tls.Certificate{{Certificate: [][]byte{der}, PrivateKey: key}}}, roots
}

func message() *Message {
	return &Message{
		To: "edda@example.org", Subject: "Something to look at – für Ümit", Text: "Good evening, Жанна.\n.\nA line with a dot alone stood above.\n",
		ID: "abc@logbook.example", Stop: "https://logbook.example/letters/stop/XYZ", At: 1_772_366_400_000,
	}
}

// TestSend: a letter arrives as it was written, by each way to a server.
func TestSend(t *testing.T) {
	for _, security := range []Security{STARTTLS, TLS, Plain} {
		t.Run(string(security), func(t *testing.T) {
			o := &office{}
			s := opened(t, o, security)
			if security != Plain {
				o.password, s.User, s.Password = "secret", "tidemark", "secret"
			}
			if fault := s.Send(t.Context(), message()); fault != nil {
				t.Fatal(fault)
			}
			if len(o.got()) != 1 || o.from[0] != "logbook@example.org" || o.to[0] != "edda@example.org" {
				t.Fatalf("%q from %q to %q", o.letters, o.from, o.to)
			}
			checkArrived(t, o.letters[0])
		})
	}
}

// checkArrived reads a letter by the standard library, which did not write it.
func checkArrived(t *testing.T, text string) {
	t.Helper()
	read, err := mail.ReadMessage(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{
		"From": `"tidemark" <logbook@example.org>`, "To": "<edda@example.org>", "Message-Id": "<abc@logbook.example>", "Date": "Sun, 01 Mar 2026 12:00:00 +0000",
		"Auto-Submitted": "auto-generated", "List-Unsubscribe": "<https://logbook.example/letters/stop/XYZ>", "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
	}
	for key, value := range want {
		if got := read.Header.Get(key); got != value {
			t.Errorf("%s: %q, want %q", key, got, value)
		}
	}
	subject, err := new(mime.WordDecoder).DecodeHeader(read.Header.Get("Subject"))
	if subject != message().Subject || err != nil {
		t.Errorf("subject %q, %v", subject, err)
	}
	body, err := io.ReadAll(quotedprintable.NewReader(read.Body))
	if got := strings.ReplaceAll(string(body), "\r\n", "\n"); strings.TrimSpace(got) != strings.TrimSpace(message().Text) || err != nil {
		t.Errorf("text %q, %v", got, err)
	}
}

// TestSendFaults: a server that refuses, hangs, hides or lies is told apart, and in time.
func TestSendFaults(t *testing.T) {
	status := func(code int) func(string, string) error {
		return func(string, string) error {
			return &smtp.SMTPError{Code: code, EnhancedCode: smtp.EnhancedCode{code / 100, 1, 1}, Message: "<EDDA@example.org> no Edda here"}
		}
	}
	for _, c := range []struct {
		name            string
		server          func(*testing.T) *Server
		refused, unseen bool
	}{
		{"refuses for good", func(t *testing.T) *Server { return opened(t, &office{refuse: status(550)}, STARTTLS) }, true, false},
		{"refuses for now", func(t *testing.T) *Server { return opened(t, &office{refuse: status(451)}, STARTTLS) }, false, false},
		{"is not there", func(t *testing.T) *Server {
			s := opened(t, &office{}, Plain)
			s.Port = closedPort(t)
			return s
		}, false, true},
		{"wants a password", func(t *testing.T) *Server { return opened(t, &office{password: "secret"}, STARTTLS) }, false, true},
		{"knows another password", func(t *testing.T) *Server {
			s := opened(t, &office{password: "secret"}, STARTTLS)
			s.User, s.Password = "tidemark", "wrong"
			return s
		}, false, true},
		{"is somebody else", func(t *testing.T) *Server {
			s := opened(t, &office{}, STARTTLS)
			s.Roots = x509.NewCertPool()
			return s
		}, false, true},
		{"offers no encryption", func(t *testing.T) *Server {
			s := opened(t, &office{}, Plain)
			s.Security = STARTTLS
			return s
		}, false, true},
		{"says nothing", func(t *testing.T) *Server { return scripted(t) }, false, true},
		{"hangs after the letter", func(t *testing.T) *Server {
			return scripted(t, "220 here", "250 hello", "250 ok", "250 ok", "250 ok", "354 go on")
		}, false, true},
		{"hangs up after the letter", func(t *testing.T) *Server {
			return scripted(t, "220 here", "250 hello", "250 ok", "250 ok", "250 ok", "354 go on", "")
		}, false, false},
		{"says what is no answer", func(t *testing.T) *Server { return scripted(t, "tidings of joy") }, false, true},
		{"says no after the letter", func(t *testing.T) *Server {
			return scripted(t, "220 here", "250 hello", "250 ok", "250 ok", "250 ok", "354 go on", "554 no")
		}, true, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := c.server(t)
			s.Timeout = 2 * time.Second
			fault := s.Send(t.Context(), message())
			if fault == nil || fault.Refused != c.refused || fault.Server != c.unseen {
				t.Fatalf("%+v, want refused %v, server %v", fault, c.refused, c.unseen)
			}
			if strings.Contains(strings.ToLower(fault.Logged), "edda") {
				t.Errorf("the log would name somebody: %s", fault.Logged)
			}
		})
	}
}

// TestSendEndless: a server that talks on is left before it fills the memory, long before
// the time is over.
func TestSendEndless(t *testing.T) {
	s := endless(t)
	s.Timeout = time.Hour
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute) // an end to waiting, no measure
	defer cancel()
	if fault := s.Send(ctx, message()); fault == nil || !strings.Contains(fault.Error(), "says too much") {
		t.Errorf("%v", fault)
	}
}

// TestSendTaken: what the server took is sent, even if it says nonsense from then on.
func TestSendTaken(t *testing.T) {
	for _, then := range [][]string{{""}, {"500 what"}, {"nonsense"}} {
		s := scripted(t, append([]string{"220 here", "250 hello", "250 ok", "250 ok", "250 ok", "354 go on", "250 taken"}, then...)...)
		if fault := s.Send(t.Context(), message()); fault != nil {
			t.Errorf("then %q: %v", then, fault)
		}
	}
}

// TestSendInterrupted: the end of the program does not wait for a server that hangs.
func TestSendInterrupted(t *testing.T) {
	s := scripted(t, "220 here", "250 hello", "250 ok")
	s.Timeout = time.Minute
	ctx, cancel := context.WithCancel(t.Context())
	time.AfterFunc(200*time.Millisecond, cancel)
	ended := make(chan *Fault, 1)
	go func() { ended <- s.Send(ctx, message()) }()
	select {
	case fault := <-ended:
		if fault == nil {
			t.Error("sent")
		}
	case <-time.After(30 * time.Second):
		t.Error("it still waits")
	}
}

func closedPort(t *testing.T) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

// listening calls f with each connection to a port of this machine.
func listening(t *testing.T, f func(net.Conn)) *Server {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go f(c)
		}
	}()
	return &Server{Host: "localhost", Port: l.Addr().(*net.TCPAddr).Port, Security: Plain, From: &mail.Address{Address: "logbook@example.org"}, Timeout: 2 * time.Second}
}

// scripted is a server that gives these answers and then is silent; an empty one hangs up.
// A letter's text is one question.
func scripted(t *testing.T, answers ...string) *Server {
	t.Helper()
	return listening(t, func(c net.Conn) {
		defer c.Close()
		r := bufio.NewReader(c)
		for i, answer := range answers {
			if answer == "" {
				return
			}
			if _, err := io.WriteString(c, answer+"\r\n"); err != nil {
				return
			}
			for end := strings.HasPrefix(answer, "354"); i < len(answers); {
				line, err := r.ReadString('\n')
				if err != nil {
					return
				}
				if !end || line == ".\r\n" {
					break
				}
			}
		}
		_, _ = io.Copy(io.Discard, r)
	})
}

// endless is a server whose greeting has no end.
func endless(t *testing.T) *Server {
	t.Helper()
	return listening(t, func(c net.Conn) {
		defer c.Close()
		for {
			if _, err := io.WriteString(c, strings.Repeat("220-on and on", 500)); err != nil {
				return
			}
		}
	})
}
