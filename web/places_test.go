package web_test

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"tidemark/load/journal"
	"tidemark/web"
)

// held is a store whose views wait until they are let go on.
type held struct {
	journal.Store
	begun, goOn chan struct{}
}

func (h *held) View(ctx context.Context, do func(journal.Tx) error) error {
	select {
	case h.begun <- struct{}{}:
	default:
	}
	<-h.goOn
	return h.Store.View(ctx, do)
}

// Who asks while as many pages are made as may be is told to come again, and what was
// begun is finished.
func TestTooManyAtOnce(t *testing.T) {
	s := newSite(t)
	h := &held{s.store, make(chan struct{}, 1), make(chan struct{})}
	s.store = h
	s.journal = s.onClock(func() time.Time { return noon })
	s.operated(web.Operation{}).server.SetPlaces(1, time.Millisecond)
	first := make(chan int)
	go func() {
		w := httptest.NewRecorder()
		s.server.ServeHTTP(w, request("GET", s.base()+"/races", nil))
		first <- w.Code
	}()
	<-h.begun
	w := s.do(request("GET", s.base()+"/races", nil))
	if w.Code != http.StatusServiceUnavailable || w.Header().Get("Retry-After") != "5" {
		t.Errorf("%d, %v; want 503 and when to come again", w.Code, w.Header())
	}
	wantIn(t, w.Body.String(), "try again in a moment")
	close(h.goOn)
	if status := <-first; status != http.StatusOK {
		t.Errorf("what was begun ended with status %d", status)
	}
	s.get(s.base() + "/races")
}

// A form that does not come, and an answer that is not taken, hold up nobody.
func TestSlowLines(t *testing.T) {
	s := newSite(t)
	s.server.SetPlaces(1, time.Minute)
	server := httptest.NewServer(s.server)
	defer server.Close()
	conn, err := net.Dial("tcp", server.Listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	fmt.Fprintf(conn, "POST %s/races HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 1000\r\n\r\nday=", s.base())
	taken := make(chan struct{})
	slow := s.server.Paced(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.WriteHeader(http.StatusOK)
		<-taken
	}))
	go slow.ServeHTTP(httptest.NewRecorder(), request("GET", "/", nil))
	for range 3 {
		r, err := http.Get(server.URL + s.base() + "/races")
		if err != nil {
			t.Fatal(err)
		}
		r.Body.Close()
		if r.StatusCode != http.StatusOK {
			t.Errorf("status %d", r.StatusCode)
		}
	}
	close(taken)
}
