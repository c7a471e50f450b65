// Package web is the program in the browser: server, routes, and one file a page
// with its handler, its page struct and its form. Pages are rendered on the
// server and work without scripts; scripts only add.
//
// It asks the journal and the pure packages, and never a store. What numbers
// mean is the business of load, how they are said that of web/words.
package web

import (
	"log/slog"
	"net/http"
	"net/url"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/prometheus/client_golang/prometheus"
	"golang.org/x/sync/semaphore"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
)

// Options are what a server is made of.
type Options struct {
	Journal *journal.Journal
	Now     func() time.Time
	Log     *slog.Logger

	// Runner is whose day the first page shows. Without one it is the only
	// runner, or a list to choose from.
	Runner journal.RunnerID
	// Accounts says that people sign in. Without, there is one local person, who may do
	// everything; whoever starts the server sees to it that nobody else can reach it.
	Accounts bool
	// Base is the address by which browsers reach the program; nil: this machine's own.
	Base *url.URL
	// Version is that of the program.
	Version string
	// Letters wakes whoever sends letters, when one is due at once; nil: none are sent.
	Letters func()
	// Limits bound what is read of a file.
	Limits ingest.Limits
	// Emergency is the number to call in an emergency where the runners live; empty: the
	// pages say only that it is to be called.
	Emergency string

	Operation
}

// Server answers requests.
type Server struct {
	Options
	templates templates
	assets    assets
	handler   http.Handler
	uploads   *semaphore.Weighted // under way
	places    places
	readTime  time.Duration // for the body of a form
	pause     time.Duration // in which something of an upload must come
	passwords passwords
	tries     tries

	description *huma.OpenAPI // of the API
}

// New returns a server. It panics if a template or an asset is broken, which
// only a change of the program can do.
func New(o Options) *Server {
	s := &Server{Options: o, uploads: semaphore.NewWeighted(uploadsAtOnce), places: newPlaces(), readTime: readTime, pause: uploadPause, passwords: newPasswords(), tries: newTries()}
	if s.Metrics == nil {
		s.Metrics = NewMetrics(prometheus.NewRegistry())
	}
	s.assets = loadAssets()
	s.templates = parseTemplates(s.assets, s.Emergency)
	s.handler = s.operated(s.routes())
	return s
}

// ServeHTTP implements http.Handler.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

func (s *Server) instant() load.Instant { return load.InstantOf(s.Now()) }

// intake is how files of a runner are read.
func (s *Server) intake(r journal.Runner) (intake.Options, error) {
	home, err := time.LoadLocation(r.Home)
	return intake.Options{Limits: s.Limits, Now: s.instant(), Home: home}, err
}
