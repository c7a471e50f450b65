package letter

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"net/mail"
	"os"
	"strconv"
	"strings"
	"sync/atomic"
	"time"

	gomail "github.com/wneessen/go-mail"
)

// Security is how the way to a mail server is kept from others' eyes.
type Security string

// The ways.
const (
	STARTTLS Security = "starttls" // RFC 3207, never without
	TLS      Security = "tls"      // from the first byte on (RFC 8314)
	Plain    Security = "none"     // to this machine alone
)

// Server is where letters are handed in (RFC 6409).
type Server struct {
	Host           string
	Port           int
	Security       Security
	User, Password string // empty: it asks for none
	From           *mail.Address
	Roots          *x509.CertPool // that its certificate is held against; nil: the machine's
	Timeout        time.Duration  // for the connection, and again for the letter; 0: 30 s
}

// Bounds of a conversation with a server: how long it may be silent, and how many bytes it
// may say. Project defaults.
const (
	serverTime = 30 * time.Second
	serverSays = 1 << 20
)

// Fault is why a letter did not go.
type Fault struct {
	Err     error
	Logged  string // the same without an address, and without the words of a server that may hold one
	Refused bool   // for good, as far as the server is concerned (RFC 5321, 4.2.1)
	Server  bool   // it is not there, hangs, or hears nobody from here
}

func (f *Fault) Error() string { return f.Err.Error() }

func (f *Fault) Unwrap() error { return f.Err }

// Send hands a letter in, and returns nil if the server took it, whatever happened after
// that.
func (s *Server) Send(ctx context.Context, m *Message) *Fault {
	ctx, done := context.WithCancel(ctx)
	defer done()
	silent := new(atomic.Bool)
	client, err := s.client(ctx, silent)
	if err != nil {
		return &Fault{Err: fmt.Errorf("prepare letter: %w", err), Logged: "prepare letter: " + err.Error(), Server: true}
	}
	msg, err := s.message(m)
	if err != nil {
		return &Fault{Err: fmt.Errorf("write letter: %w", err), Logged: "write letter", Refused: true}
	}
	connection, err := client.DialToSMTPClientWithContext(ctx)
	if err != nil {
		err = fmt.Errorf("reach mail server %s: %w", s.address(), err)
		return &Fault{Err: err, Logged: err.Error(), Server: true}
	}
	err = client.SendWithSMTPClient(connection, msg)
	_ = client.CloseWithSMTPClient(connection) // it said already what became of the letter
	if err == nil || msg.IsDelivered() {
		return nil
	}
	return faultOf(err, silent.Load())
}

// faultOf tells apart why a server did not take a letter.
func faultOf(err error, silent bool) *Fault {
	f := &Fault{Err: fmt.Errorf("hand in letter: %w", err), Logged: "hand in letter", Server: silent}
	if said, ok := errors.AsType[*gomail.SendError](err); ok {
		f.Logged = fmt.Sprintf("hand in letter: %s: %d", said.Reason, said.ErrorCode())
		f.Server = silent && said.ErrorCode() == 0 || said.Reason == gomail.ErrSMTPMailFrom // it is us whom it will not hear
		f.Refused = !f.Server && said.ErrorCode() >= 500
	}
	return f
}

// Check reaches the server, and says who we are if it asks; it hands nothing in.
func (s *Server) Check(ctx context.Context) error {
	ctx, done := context.WithCancel(ctx)
	defer done()
	client, err := s.client(ctx, new(atomic.Bool))
	if err != nil {
		return err
	}
	connection, err := client.DialToSMTPClientWithContext(ctx)
	if err != nil {
		return fmt.Errorf("reach mail server %s: %w", s.address(), err)
	}
	return client.CloseWithSMTPClient(connection)
}

func (s *Server) address() string { return net.JoinHostPort(s.Host, strconv.Itoa(s.Port)) }

func (s *Server) timeout() time.Duration {
	if s.Timeout > 0 {
		return s.Timeout
	}
	return serverTime
}

// client speaks to the server until ctx ends, and sets silent if it says nothing for too
// long.
func (s *Server) client(ctx context.Context, silent *atomic.Bool) (*gomail.Client, error) {
	secure := &tls.Config{ServerName: s.Host, RootCAs: s.Roots, MinVersion: tls.VersionTLS12}
	policy := map[Security]gomail.TLSPolicy{
		STARTTLS: gomail.TLSMandatory, TLS: gomail.TLSOpportunistic /* it is encrypted before */, Plain: gomail.NoTLS,
	}[s.Security]
	options := []gomail.Option{
		gomail.WithPort(s.Port), gomail.WithTimeout(s.timeout()), gomail.WithTLSConfig(secure), gomail.WithTLSPolicy(policy),
		gomail.WithDialContextFunc(func(dialing context.Context, network, address string) (net.Conn, error) {
			var dialer net.Dialer
			raw, err := dialer.DialContext(dialing, network, address)
			if err != nil {
				return nil, err
			}
			context.AfterFunc(ctx, func() { raw.Close() })
			return s.secured(dialing, &bounded{raw, serverSays, silent}, secure)
		}),
	}
	if s.User != "" {
		options = append(options, gomail.WithSMTPAuth(gomail.SMTPAuthAutoDiscover), gomail.WithUsername(s.User), gomail.WithPassword(s.Password))
	}
	return gomail.NewClient(s.Host, options...)
}

// secured encrypts a connection where that comes first.
func (s *Server) secured(ctx context.Context, c net.Conn, with *tls.Config) (net.Conn, error) {
	if s.Security != TLS {
		return c, nil
	}
	encrypted := tls.Client(c, with)
	return encrypted, encrypted.HandshakeContext(ctx)
}

// bounded is a connection from which so many bytes can be read: a server that talks on fills
// no memory.
type bounded struct {
	net.Conn
	left   int
	silent *atomic.Bool // set where nothing came in time
}

func (b *bounded) Read(p []byte) (int, error) {
	if b.left <= 0 {
		return 0, errors.New("the mail server says too much")
	}
	n, err := b.Conn.Read(p[:min(len(p), b.left)])
	b.left -= n
	if errors.Is(err, os.ErrDeadlineExceeded) {
		b.silent.Store(true)
	}
	return n, err
}

func (s *Server) message(m *Message) (*gomail.Msg, error) {
	msg := gomail.NewMsg(gomail.WithNoDefaultUserAgent())
	msg.FromMailAddress(s.From)
	if err := msg.To(m.To); err != nil {
		return nil, err
	}
	msg.Subject(m.Subject)
	msg.SetDateWithValue(m.At.Time())
	msg.SetMessageIDWithValue(m.ID)
	msg.SetGenHeader("Auto-Submitted", "auto-generated") // RFC 3834: nobody's absence answers it
	switch {
	case strings.HasPrefix(m.Stop, "https:"):
		if err := msg.SetListUnsubscribeOneClick(m.Stop); err != nil {
			return nil, err
		}
	case m.Stop != "":
		msg.SetListUnsubscribe(m.Stop)
	}
	msg.SetBodyString(gomail.TypeTextPlain, m.Text)
	return msg, nil
}
