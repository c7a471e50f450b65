package web

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"
)

// What a connection may take before a request, and how long those under way may
// go on when the program is stopped; project defaults.
const (
	headerTime = 5 * time.Second
	idleTime   = 2 * time.Minute
	maxHeader  = 32 << 10
	stopTime   = 10 * time.Second
)

// Serve answers on the listener until ctx ends, then lets what is under way
// finish, for ten seconds at most. It closes the listener.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	server := &http.Server{
		Handler: s, ReadHeaderTimeout: headerTime, IdleTimeout: idleTime, MaxHeaderBytes: maxHeader,
		ErrorLog: slog.NewLogLogger(s.Log.Handler(), slog.LevelWarn),
	}
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(l) }()
	select {
	case err := <-failed:
		return fmt.Errorf("serve: %w", err)
	case <-ctx.Done():
	}
	stopping, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopTime)
	defer cancel()
	err := server.Shutdown(stopping)
	if errors.Is(err, context.DeadlineExceeded) {
		s.Log.Warn("stop: requests were still under way", "after", stopTime)
		err = server.Close()
	}
	if err != nil {
		return fmt.Errorf("stop serving: %w", err)
	}
	return nil
}
