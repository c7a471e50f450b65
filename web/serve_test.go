package web_test

import (
	"context"
	"io"
	"net"
	"net/http"
	"testing"
	"time"
)

// An upload that is under way when the program is stopped is finished, while
// nobody else is let in.
func TestStopLetsUploadsFinish(t *testing.T) {
	s := newSite(t)
	whole := s.uploading([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -7), 30)})
	body, err := io.ReadAll(whole.Body)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	listener := &hearing{Listener: plain, least: int64(len(body) / 4), heard: make(chan struct{})}
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	stopped := make(chan error, 1)
	go func() { stopped <- s.server.Serve(ctx, listener) }()

	reader, writer := io.Pipe()
	answers := make(chan *http.Response, 1)
	go func() {
		defer close(answers)
		r, err := http.Post("http://"+listener.Addr().String()+s.base()+"/add", whole.Header.Get("Content-Type"), reader)
		if err != nil {
			t.Error(err)
			return
		}
		answers <- r
	}()
	if _, err := writer.Write(body[:len(body)/2]); err != nil {
		t.Fatal(err)
	}
	<-listener.heard
	stop()
	for refused := false; !refused; time.Sleep(time.Millisecond) {
		conn, err := net.Dial("tcp", listener.Addr().String())
		if refused = err != nil; !refused {
			conn.Close()
		}
	}
	if _, err := writer.Write(body[len(body)/2:]); err != nil {
		t.Fatal(err)
	}
	writer.Close()
	r, ok := <-answers
	if !ok {
		t.Fatal("the upload was not answered")
	}
	defer r.Body.Close()
	page, err := io.ReadAll(r.Body)
	if err != nil || r.StatusCode != http.StatusOK {
		t.Errorf("status %d, %v", r.StatusCode, err)
	}
	wantIn(t, string(page), `<span class="most">1</span> added`)
	if err := <-stopped; err != nil {
		t.Errorf("stopped: %v", err)
	}
}

// hearing is a listener that tells when so many bytes were read from it.
type hearing struct {
	net.Listener
	least int64
	heard chan struct{}
}

func (l *hearing) Accept() (net.Conn, error) {
	conn, err := l.Listener.Accept()
	return &heardConn{Conn: conn, of: l}, err
}

type heardConn struct {
	net.Conn
	of   *hearing
	read int64
}

func (c *heardConn) Read(b []byte) (int, error) {
	n, err := c.Conn.Read(b)
	if before := c.read; before < c.of.least && before+int64(n) >= c.of.least {
		close(c.of.heard)
	}
	c.read += int64(n)
	return n, err
}
