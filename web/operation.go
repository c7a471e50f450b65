package web

import (
	"context"
	"fmt"
	"net/http"
	"net/netip"
	"runtime"
	"time"
)

// Operation is how a server stands in its network. The zero value is one that is
// reached directly and by plain HTTP.
type Operation struct {
	// Metrics counts what is answered; nil: nobody will ask.
	Metrics *Metrics
	// HTTPS says that browsers reach the server by HTTPS, its own or a proxy's. They are
	// told to use nothing else.
	HTTPS bool
	// Origins are other addresses of this server, as https://logbook.example, from which
	// a browser may post. New panics if one is none: CheckOrigin says so before.
	Origins []string
	// Proxies are the networks whose word is believed on where a request is from.
	Proxies []netip.Prefix
}

// strict is for how long browsers use nothing but HTTPS: a year, the example of RFC
// 6797 (6.2).
const strict = "max-age=31536000"

// healthPath is answered to whoever asks, whatever name they call the server by.
const healthPath = "/health"

// operated is what comes before every route.
func (s *Server) operated(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		// A browser that was told so of this machine's own name would not reach what else
		// is served under it.
		if s.HTTPS && !Loopback(hostOf(r.Host)) {
			w.Header().Set("Strict-Transport-Security", strict)
		}
		if r.URL.Path == healthPath {
			s.health(w, r)
			return
		}
		if from, ok := s.client(r); ok {
			r.RemoteAddr = netip.AddrPortFrom(from, 0).String()
		}
		next.ServeHTTP(w, r)
	})
}

// healthTime is how long the journal may take to be read; project default.
const healthTime = 2 * time.Second

// health says whether requests can be answered, and nothing of why not: that is in
// the log.
func (s *Server) health(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.WriteHeader(http.StatusMethodNotAllowed)
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), healthTime)
	defer cancel()
	if err := s.Journal.Ready(ctx); err != nil {
		s.Log.Error("answer whether all is well", "error", err)
		w.WriteHeader(http.StatusServiceUnavailable)
		fmt.Fprintln(w, "not ok")
		return
	}
	fmt.Fprintln(w, "ok")
}

// CheckOrigin fails if the text is not the origin of an address: scheme, host and
// port, and nothing else.
func CheckOrigin(origin string) error {
	return http.NewCrossOriginProtection().AddTrustedOrigin(origin)
}

// protection refuses what another site makes a browser send.
func (s *Server) protection() *http.CrossOriginProtection {
	p := http.NewCrossOriginProtection()
	for _, origin := range s.Origins {
		if err := p.AddTrustedOrigin(origin); err != nil {
			panic("web: New: " + err.Error())
		}
	}
	return p
}

// panicText is what the log may hold of a panic: the runtime's own words, which know
// nobody, else the kind of it. The stack says where it was.
func panicText(v any) string {
	if err, ok := v.(runtime.Error); ok {
		return err.Error()
	}
	return fmt.Sprintf("%T", v)
}
