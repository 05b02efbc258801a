package crews

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/web/carry"
)

// Prefix is where the desks are, below the hub's address.
const Prefix = "/crew/"

// Desk is one association's.
type Desk struct {
	Operations []api.Operation
	Close      func() error
}

// ErrNone says that there is no such association.
var ErrNone = errors.New("no such association")

// Act is what somebody wants of a desk, for whoever decides whether they may.
type Act struct {
	Association string
	Season      bool // it is about the season; otherwise about the crew
	Writes      bool // it changes something
	Fresh       bool // it hands people's data out, or takes people out: whoever asks shows anew who they are
}

// Counted is what is counted, by somebody's address or by a link.
type Counted int

// What is counted.
const (
	Link  Counted = iota // a link was used: by its token
	Guess                // a link was tried that is none: by the address
)

// Config is what the desks need.
type Config struct {
	// Open opens the desk of an association. It returns ErrNone for one that is not there.
	Open func(ctx context.Context, association string) (*Desk, error)
	// Runs returns who asks, for whoever may, and otherwise what they are told.
	Runs func(r *http.Request, act Act) (office.By, error)
	// Let reports whether one more is let; the token is that of a link.
	Let  func(r *http.Request, what Counted, association, token string) bool
	Page http.HandlerFunc // the one page that all screens are made of
	// Files are further files that a page needs below its own path, by their names: what
	// shows reminders counts for the pages beside it.
	Files map[string]http.HandlerFunc
	// Refuse answers a person's browser that asked for a page it may not have.
	Refuse    func(w http.ResponseWriter, r *http.Request, err error)
	Address   string // of the hub
	Now       func() entry.Millis
	Logger    *slog.Logger
	Languages api.Languages
}

// Desks are the desks of all associations. They are safe for use by many goroutines.
type Desks struct {
	Config
	ending context.Context // done when the desks close
	end    context.CancelFunc

	mutex  sync.Mutex
	open   map[string]*opened
	closed bool
}

// opened is a desk that is in use.
type opened struct {
	*Desk
	mux *http.ServeMux
}

// New returns the desks; none is opened yet.
func New(c Config) *Desks {
	s := &Desks{Config: c, open: map[string]*opened{}}
	s.ending, s.end = context.WithCancel(context.Background())
	return s
}

// Close ends the long questions and closes every desk. The HTTP server has ended by then.
func (s *Desks) Close() error {
	s.end()
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.closed = true
	var errs []error
	for _, one := range s.open {
		errs = append(errs, one.Close())
	}
	s.open = map[string]*opened{}
	return errors.Join(errs...)
}

// AddressOf is the address of an association's desk, without a slash at the end.
func (s *Desks) AddressOf(association string) string { return s.Address + Prefix + association }

// ServeHTTP answers one request below Prefix.
func (s *Desks) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	association, _, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, Prefix), "/")
	one, err := s.desk(r.Context(), association)
	switch {
	case errors.Is(err, ErrNone):
		s.Refuse(w, r, api.NotThere("web.no_page"))
	case err != nil:
		s.fail(w, r, err)
	default:
		one.mux.ServeHTTP(w, r)
	}
}

// desk is that of an association, opened when it is asked for first.
func (s *Desks) desk(ctx context.Context, association string) (*opened, error) {
	if !named(association) {
		return nil, ErrNone
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if one := s.open[association]; one != nil {
		return one, nil
	}
	if s.closed {
		return nil, api.NotNow("hub.unavailable")
	}
	// Opening must not end with the request that happened to come first.
	desk, err := s.Open(context.WithoutCancel(ctx), association)
	if err != nil {
		return nil, err
	}
	one := &opened{desk, s.routes(association, desk)}
	s.open[association] = one
	return one, nil
}

// Wake opens the desk of an association before anybody asks for it.
func (s *Desks) Wake(ctx context.Context, association string) error {
	_, err := s.desk(ctx, association)
	return err
}

// named: an id of an association is short, of letters and digits, and names no path.
func named(association string) bool {
	const most = 64
	if association == "" || len(association) > most {
		return false
	}
	for _, b := range []byte(association) {
		if (b < 'a' || b > 'z') && (b < '0' || b > '9') && b != '-' {
			return false
		}
	}
	return true
}

// routes leads requests to the operations and pages of one desk.
func (s *Desks) routes(association string, desk *Desk) *http.ServeMux {
	mux, root := http.NewServeMux(), Prefix+association
	for _, o := range append(desk.Operations, session) {
		mux.HandleFunc(o.Method+" "+root+o.Path, s.answer(association, &o))
	}
	for _, page := range []string{"/mine", "/team"} {
		mux.HandleFunc("GET "+root+page, s.Page)
	}
	for name, file := range s.Files {
		mux.HandleFunc("GET "+root+"/"+name, file)
	}
	for _, page := range []string{"/desk", "/season"} {
		mux.HandleFunc("GET "+root+page, func(w http.ResponseWriter, r *http.Request) {
			if _, err := s.Runs(r, Act{Association: association, Season: page == "/season"}); err != nil {
				s.Refuse(w, r, err)
				return
			}
			s.Page(w, r)
		})
	}
	// Mail programs that do not know the way out of a list (RFC 8058) open its address for
	// their reader: that shows the page, where a press does it.
	mux.HandleFunc("GET "+root+"/api/crew/mine/{token}/no-mail", func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, root+"/mine#"+url.PathEscape(r.PathValue("token")), http.StatusSeeOther)
	})
	mux.HandleFunc(root+"/api/", func(w http.ResponseWriter, r *http.Request) { s.fail(w, r, api.NotThere("web.no_api")) })
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) { s.Refuse(w, r, api.NotThere("web.no_page")) })
	return mux
}

// session says to a page of a coordinator that it is one.
var session = api.Operation{Method: "GET", Path: "/api/session", Handler: api.Ask(func(c *api.Call) (api.Session, error) { return c.Session(), nil })}

// byLink reports whether an operation is for whoever has a link. Every other one is for
// those who run the desk, also where a bench answers anybody.
func byLink(o *api.Operation) bool { return strings.Contains(o.Path, "{token}") }

// fresh: a whole desk, everything about somebody, and forgetting somebody.
func fresh(o *api.Operation) bool {
	return o.Method == http.MethodDelete || strings.HasSuffix(o.Path, "/whole.json") || strings.HasSuffix(o.Path, "/copy")
}

// takenWithin is how long an answer may take on its way, after a long question.
const takenWithin = 30 * time.Second

// answer answers requests of an operation.
func (s *Desks) answer(association string, o *api.Operation) http.HandlerFunc {
	link := byLink(o)
	act := Act{association, strings.HasPrefix(o.Path, "/api/season"), o.Method != http.MethodGet, fresh(o)}
	return func(w http.ResponseWriter, r *http.Request) {
		c := s.call(w, r, association, o)
		if link {
			if !s.Let(r, Link, association, r.PathValue("token")) {
				s.fail(w, r, tooOften())
				return
			}
		} else {
			by, err := s.Runs(r, act)
			if err != nil {
				s.fail(w, r, err)
				return
			}
			c.Here, c.Person, c.Network = true, by.Who, by.From
		}
		if o.Waits > 0 {
			ctx, cancel := context.WithCancel(r.Context())
			defer cancel()
			defer context.AfterFunc(s.ending, cancel)()
			c.Context = ctx
		}
		status, file, err := o.Run(c)
		var no *api.No
		if link && errors.As(err, &no) && no.Kind == api.Missing && no.Status == api.StatusMissing && !s.Let(r, Guess, association, "") {
			err = tooOften()
		}
		if err != nil {
			s.fail(w, r, err)
			return
		}
		if err := carry.Send(w, status, file); err != nil {
			s.Logger.Debug("an answer was not taken", "pattern", r.Pattern, "error", err)
		}
	}
}

// call is a request as the API knows it.
func (s *Desks) call(w http.ResponseWriter, r *http.Request, association string, o *api.Operation) *api.Call {
	return &api.Call{
		Context: r.Context(), Caller: api.Caller{Base: s.AddressOf(association), Secure: strings.HasPrefix(s.Address, "https://")},
		Words: carry.Words(r, s.Languages), Now: s.Now(), Part: r.PathValue,
		Query: func(name string) string { return r.URL.Query().Get(name) },
		Body: func() ([]byte, error) {
			raw, err := carry.Body(w, r, o)
			if o.Waits > 0 {
				if err := carry.Wait(w, o.Waits, takenWithin); err != nil {
					s.Logger.Debug("a long question keeps the usual limits", "error", err)
				}
			}
			return raw, err
		},
	}
}

// againAfter is the seconds after which whoever was too fast may ask again.
const againAfter = 20

func tooOften() *api.No {
	no := api.NewNo(api.StatusTooMany, api.TooMany, "hub.too_often")
	no.Again = againAfter
	return no
}

// fail answers with what was said against a request. Its address is in no log: it may
// have the token of a link.
func (s *Desks) fail(w http.ResponseWriter, r *http.Request, err error) {
	words := carry.Words(r, s.Languages)
	problem, known := api.Why(words, err)
	if !known {
		s.Logger.Error("a request failed", "pattern", r.Pattern, "error", err)
	}
	var no *api.No
	if errors.As(err, &no) && no.Again > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(no.Again))
	}
	w.Header().Set("Content-Language", words.Language())
	if err := carry.Send(w, problem.Status, problem.File()); err != nil {
		s.Logger.Debug("an answer was not taken", "pattern", r.Pattern, "error", err)
	}
}
