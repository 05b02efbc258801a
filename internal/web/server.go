package web

import (
	"context"
	"crypto/rand"
	"io/fs"
	"net/http"
	"net/netip"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"golang.org/x/time/rate"

	"whistlestop/crew/onduty"
	"whistlestop/internal/api"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/api/season"
	"whistlestop/internal/paper"
	"whistlestop/internal/web/files"
	"whistlestop/internal/web/limits"
)

// Config is what a server needs beside what the API asks for.
type Config struct {
	laptop.Service
	Pages fs.FS                 // the built front end; without an index.html a plain page says so
	Own   func(netip.Addr) bool // whether an address is this machine's
	Hosts []string              // further names by which the program is reached
}

// Server answers requests. It is safe for use by many goroutines.
type Server struct {
	Config
	handler http.Handler
	pages   *files.Set

	ending      context.Context // done when the server closes
	end         context.CancelFunc
	streams     limits.Streams
	frames      frames
	requests    *limits.Requests
	connections *limits.Connections
	engines     limits.Turns // one for each guest that gets the engine of practice
	metrics     *metrics
	refusals    *rate.Limiter // of lines in the log

	common     *api.Common
	operations []api.Operation
	open       []string // patterns of the paths that pages of other origins may read
}

// New returns a server. Close it when the HTTP server shuts down.
func New(c Config) *Server {
	s := &Server{Config: c, pages: files.New(c.Pages), requests: limits.NewRequests(), connections: limits.NewConnections(c.Own),
		engines:  limits.NewTurns(enginesAtOnce),
		refusals: rate.NewLimiter(refusalRate, refusalBurst)}
	s.ending, s.end = context.WithCancel(context.Background())
	s.metrics = newMetrics(s)
	s.Views, s.Formats = &api.Views{Run: rand.Text()}, formats()
	s.Service = whole(s.Service)
	s.common = s.Common()
	s.operations = s.Service.Operations()
	s.open = openTo(s.operations)
	s.handler = s.rescue(s.secure(s.guard(s.limit(s.routes()))))
	return s
}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Close ends the streams, so that a graceful shutdown does not wait for them.
func (s *Server) Close() { s.end() }

// Limits gives an HTTP server the time limits of this one. A stream sets its own.
func Limits(server *http.Server) {
	server.ReadHeaderTimeout = 5 * time.Second
	server.ReadTimeout = 10 * time.Second
	server.WriteTimeout = 15 * time.Second
	server.IdleTimeout = 60 * time.Second
	server.MaxHeaderBytes = 16 << 10
}

func (s *Server) wrongMethod(allowed []string) http.HandlerFunc {
	allowed = slices.Clone(allowed)
	if slices.Contains(allowed, "GET") {
		allowed = append(allowed, "HEAD")
	}
	slices.Sort(allowed)
	list := strings.Join(allowed, ", ")
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Allow", list)
		s.problem(w, r, api.NewNo(http.StatusMethodNotAllowed, api.WrongMethod, "web.method", "allowed", list))
	}
}

// rescue catches a panic in a handler: one request fails, in plain words, and
// the game goes on.
func (s *Server) rescue(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			caught := recover()
			if caught == nil {
				return
			}
			if caught == http.ErrAbortHandler {
				panic(caught)
			}
			s.Logger.Error("a request failed inside the program", "method", r.Method,
				"path", loggedPath(r), "error", caught, "stack", string(debug.Stack()))
			s.problem(w, r, api.NewNo(api.StatusFaulty, api.Faulty, "bench.faulty"))
		}()
		next.ServeHTTP(w, r)
	})
}

// formats are the forms of a report's file, as the API knows them.
func formats() []laptop.Format {
	list := make([]laptop.Format, len(paper.Formats))
	for i, f := range paper.Formats {
		list[i] = laptop.Format{Name: f.Name, Media: f.Media, Page: f.Page}
	}
	return list
}

// SeasonFormats are those of them that a season's tables are written in too.
func SeasonFormats() (list []season.Format) {
	for _, f := range paper.Formats {
		if f.TakesTables() {
			list = append(list, season.Format{Name: f.Name, Media: f.Media, Page: f.Page})
		}
	}
	return list
}

// whole is the service with every row of the table: where there is no season and no
// crew's desk, with ones that keep nothing.
func whole(s laptop.Service) laptop.Service {
	if s.Season == nil {
		s.Season = &season.Service{Formats: SeasonFormats()}
	}
	if s.Crew == nil {
		s.Crew = &crew.Service{}
	}
	if s.Duties == nil {
		s.Duties = &crew.Bench{Game: func(c *api.Call, game string) (onduty.Wanted, error) {
			_, err := s.Bench.State(c, game)
			return onduty.Wanted{}, err
		}}
	}
	return s
}

// Operations is the table of the API.
func Operations() []api.Operation {
	s := whole(laptop.Service{Formats: formats()})
	return s.Operations()
}
