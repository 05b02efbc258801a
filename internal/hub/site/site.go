package site

import (
	"context"
	"io"
	"io/fs"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strings"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/counted"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/oidc"
	"whistlestop/internal/hub/passkeys"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/rooms"
	"whistlestop/internal/hub/roots"
	"whistlestop/internal/web/files"
)

// Store is what the shell asks of the database itself.
type Store interface {
	ledgers.Store
	Associations(ctx context.Context) ([]office.Association, error)
	Found(ctx context.Context, a office.Association, note ledgers.Note) error
	Log(ctx context.Context, association string, after, most int) ([]office.Logged, error)
	// Origins returns the pages of others that may show the games.
	Origins(ctx context.Context, association string) ([]string, error)
	// LetOrigin lets one in, or no longer.
	LetOrigin(ctx context.Context, association, origin string, in bool, note ledgers.Note) error
	// Reopened and Reopen: see reports.Store.
	Reopened(ctx context.Context, association string) (map[string]int, error)
	Reopen(ctx context.Context, at ledgers.Where, versions int, note ledgers.Note) error
	// LogEnds returns the places of the first and the newest line of the log that are
	// there; 0: there is none.
	LogEnds(ctx context.Context, association string) (first, newest int, err error)
	// LastDone returns when something was done last by the log; 0: never.
	LastDone(ctx context.Context, association, what string) (entry.Millis, error)
	Seen(ctx context.Context, association, id string, at entry.Millis) error
	// Switches returns what the association turned on.
	Switches(ctx context.Context, association string) (map[office.Switch]bool, error)
	// Turn turns one on or off.
	Turn(ctx context.Context, association string, what office.Switch, on bool, note ledgers.Note) error
	// Names returns the names of players that are kept of a game, NamedGames the games that
	// have some; KeepNames keeps these and no others. The others take some out: by their commitments, by how they are shown, and
	// those from lines of version 1; two return the games that had some.
	Names(ctx context.Context, at ledgers.Where) ([]ledgers.Name, error)
	NamedGames(ctx context.Context, association string) ([]string, error)
	KeepNames(ctx context.Context, at ledgers.Where, list []ledgers.Name) error
	ForgetNames(ctx context.Context, at ledgers.Where, commitments []string) error
	ForgetNaming(ctx context.Context, association, naming string) ([]string, error)
	ForgetOlder(ctx context.Context, association string) ([]string, error)
}

// WriteReport writes the report of a ledger in a format by its name, and returns the type
// of its media.
type WriteReport func(out io.Writer, ledger []entry.Entry, format string, words api.Words) (media string, err error)

// Config is what a hub's shell needs.
type Config struct {
	Store       Store
	Office      *office.Office
	People      *people.Desk
	Sender      people.Sender // nil: no mail goes out
	Other       *oidc.Service // by which people sign in too; nil: none
	Forgot      func()        // somebody was deleted; nil: nobody has to know
	Live        *live.Games
	Association string
	Address     string // by which others reach the hub, such as https://hub.example; no slash at the end
	Now         func() entry.Millis
	Logger      *slog.Logger
	Languages   api.Languages
	Pages       fs.FS                        // the built front end
	QR          func(string) (string, error) // a text as SVG
	Report      WriteReport                  // nil: reports are not written here
	Crews       http.Handler                 // the crew's desks, below /crew/; nil: there are none
	Seasons     Seasons                      // the season of the association; nil: there is none
	Names       *counted.Names               // how players are named; nil: they have numbers
	Rooms       *rooms.Rooms                 // in which phones speak with benches in browsers, of all associations

	// Around is put around what answers a route, to follow some of the requests; nil: nobody does.
	Around func(route string, next http.HandlerFunc) http.HandlerFunc
	// Outbox says how many changes wait to be told to other hubs over the same database,
	// and since when the oldest does; nil: the hub is alone with its own file.
	Outbox func(ctx context.Context) (rows int, oldest time.Duration, err error)
	// Checked says when the chain of every game of the hub was followed, of how many games,
	// and how many did not hold; nil: nobody follows them.
	Checked func() (at entry.Millis, games, bad int)
	// Roots gives followers proofs of where ledgers ended; nil: the hub has no key for it.
	Roots *roots.Keeper
	// BusAway reports whether hubs cannot tell each other anything at the moment; nil: they
	// always can.
	BusAway func() bool
}

// Site answers requests. It is safe for use by many goroutines.
type Site struct {
	Config
	handler http.Handler
	front   *files.Set
	limits  *limits
	keys    *passkeys.Keys  // nil: browsers cannot have passkeys here
	letters sync.WaitGroup  // on their way
	streams sync.WaitGroup  // that outlive their requests
	ending  context.Context // done when the site closes
	end     context.CancelFunc

	season seasonKept

	mutex sync.Mutex
	seen  map[string]entry.Millis // when a token's showing was noted last
	began entry.Millis
}

// New returns the shell of a hub. Close it when the HTTP server shuts down.
func New(c Config) *Site {
	s := &Site{Config: c, front: files.New(c.Pages), limits: newLimits(c.Now), seen: map[string]entry.Millis{}, began: c.Now()}
	s.ending, s.end = context.WithCancel(context.Background())
	if s.keyed() {
		keys, err := passkeys.New(s.host(), c.Address, c.People)
		if err != nil {
			c.Logger.Error("there are no passkeys by this address", "address", c.Address, "error", err)
		} else {
			s.keys = keys
		}
	}
	// Forms are only taken from pages of our own: another page's post is refused here.
	s.handler = s.rescue(s.secure(http.NewCrossOriginProtection().Handler(s.routes())))
	return s
}

// ServeHTTP answers one request.
func (s *Site) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Close ends the streams.
func (s *Site) Close() { s.end() }

// Wait waits for what is under way beside requests, after the HTTP server has ended.
func (s *Site) Wait() {
	s.streams.Wait()
	s.letters.Wait()
	s.Live.Close()
}

// Limits gives an HTTP server the time limits of this one. A stream sets its own.
func Limits(server *http.Server) {
	server.ReadHeaderTimeout = 5 * time.Second
	server.ReadTimeout = 20 * time.Second
	server.WriteTimeout = 30 * time.Second
	server.IdleTimeout = 90 * time.Second
	server.MaxHeaderBytes = 16 << 10
}

// policy lets the pages send forms too, and here only.
var policy = strings.Replace(files.Policy, "form-action 'none'", "form-action 'self'", 1)

// formMost is how many bytes a form may bring (ours).
const formMost = 64 << 10

// secure sets the headers that every answer carries. Nothing of a hub is for search
// engines, and what has a token in its address is told to nobody.
func (s *Site) secure(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		files.Secure(h)
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Robots-Tag", "noindex, nofollow")
		h.Set("Cache-Control", "no-store")
		if !strings.HasPrefix(r.URL.Path, "/v1/") && !strings.HasPrefix(r.URL.Path, "/crew/") { // which have limits of their own
			r.Body = http.MaxBytesReader(w, r.Body, formMost)
		}
		next.ServeHTTP(w, r)
	})
}

// rescue catches a panic in a handler: one request fails, in plain words.
func (s *Site) rescue(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			caught := recover()
			if caught == nil {
				return
			}
			if caught == http.ErrAbortHandler {
				panic(caught)
			}
			s.Logger.Error("a request failed inside the program", "method", r.Method, "pattern", r.Pattern,
				"error", caught, "stack", string(debug.Stack()))
			s.problem(w, r, api.NewNo(api.StatusFaulty, api.Faulty, "hub.faulty"))
		}()
		next.ServeHTTP(w, r)
	})
}
