package web

import (
	"context"
	"crypto/rand"
	"io/fs"
	"log/slog"
	"net/http"
	"net/netip"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"golang.org/x/time/rate"

	"whistlestop/game/rules"
	"whistlestop/internal/answer"
	"whistlestop/internal/bench"
	"whistlestop/internal/seats"
	"whistlestop/record/seal"
)

// Words are the texts for people by their keys.
type Words = answer.Words

// Config is what a server needs.
type Config struct {
	Bench *bench.Bench
	Seats *seats.Register
	Cards Cards // the rink cards that are kept
	// Divisions are the league's own; nil: only those of the program.
	Divisions Divisions
	Print     PrintCard                  // prints one
	Report    WriteReport                // writes the report of a game
	Shares    Shares                     // which reports anybody may read
	Keys      Keys                       // the bench's key, which seals reports
	Pins      func() ([]seal.Pin, error) // the keys of benches that are known; nil: none
	Teams     Teams                      // the last roster of every team

	Rosters ReadRoster            // reads what leagues send
	Pages   fs.FS                 // the built front end; without an index.html a plain page says so
	Words   Words                 //
	Own     func(netip.Addr) bool // whether an address is this machine's
	Hosts   []string              // further names by which the program is reached
	Logger  *slog.Logger

	Copies   func() CopyReport                                               // how the further copies stand; nil: there are none
	ReadCopy func(content []byte) (games []CopiedGame, torn bool, err error) // reads a copy that is sent; nil: none can be

	// Proposals keeps what copies propose; nil: nothing is kept.
	Proposals Proposals
	// Withdrawals takes names out; nil: nothing can be taken out.
	Withdrawals Withdrawals

	// Reach returns the address by which other devices reach the bench, such as
	// "http://192.168.7.20:8480", and whether they do. It may be nil: they do not.
	Reach func() (address string, shared bool)
	// Healthy says why entries cannot be kept at the moment. It may be nil.
	Healthy func(context.Context) error
	// QR draws a text as the SVG of a QR code.
	QR func(text string) (string, error)
}

// Server answers requests. It is safe for use by many goroutines.
type Server struct {
	Config
	handler http.Handler
	pages   *pages

	ending    context.Context // done when the server closes
	end       context.CancelFunc
	turnstile turnstile
	frames    frames
	crowd     *crowd
	gate      *gate
	engines   chan struct{} // a token for each guest that gets the engine of practice
	metrics   *metrics
	run       string        // of this bench, by which a client knows another one
	refusals  *rate.Limiter // of lines in the log
}

// New returns a server. Close it when the HTTP server shuts down.
func New(c Config) *Server {
	s := &Server{Config: c, pages: newPages(c.Pages), crowd: newCrowd(), gate: newGate(c.Own),
		engines:  make(chan struct{}, enginesAtOnce),
		refusals: rate.NewLimiter(refusalRate, refusalBurst), run: rand.Text()}
	s.ending, s.end = context.WithCancel(context.Background())
	s.metrics = newMetrics(s)
	s.handler = s.rescue(s.secure(s.guard(s.hold(s.routes()))))
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
		s.problem(w, r, http.StatusMethodNotAllowed, kindMethod, s.text("web.method", "allowed", list))
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
				"path", r.URL.Path, "error", caught, "stack", string(debug.Stack()))
			s.problem(w, r, http.StatusInternalServerError, kindFaulty, s.text("bench.faulty"))
		}()
		next.ServeHTTP(w, r)
	})
}

// text returns a text of the catalogue; pairs are the names of gaps and what
// fills them.
func (s *Server) text(key string, pairs ...string) string {
	return s.Words.Text(key, rules.Pairs(pairs...))
}
