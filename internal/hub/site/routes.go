package site

import (
	"errors"
	"net/http"

	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// guard is who a route lets through.
type guard int

// The guards. A route without one is a mistake, which a test finds.
const (
	unguarded guard = iota
	anybody         // it shows nothing, or its own secret opens it
	benches         // a paired bench, by its token
	followers       // the link of a team
	signedIn        // whoever is signed in, about themself
	byRight         // whose right reaches far enough; the handler narrows it where that is not all
)

// route is a row of the table of all that a hub answers.
type route struct {
	pattern string
	guard   guard
	right   people.Right // of byRight
	reach   people.Reach
	fresh   bool // the sign-in must be of the last minutes
	handle  http.HandlerFunc
}

// callerHandler answers somebody who is signed in.
type callerHandler func(w http.ResponseWriter, r *http.Request, c people.Caller)

func (s *Site) open(pattern string, handle http.HandlerFunc) route {
	return route{pattern: pattern, guard: anybody, handle: handle}
}

func (s *Site) forBench(pattern string, handle benchHandler) route {
	return route{pattern: pattern, guard: benches, handle: s.bench(handle)}
}

func (s *Site) forTeam(pattern string, handle func(w http.ResponseWriter, r *http.Request, token office.Token)) route {
	return route{pattern: pattern, guard: followers, handle: s.team(handle)}
}

// signedIn lets through whoever is signed in, about themself.
func (s *Site) signedIn(pattern string, handle callerHandler) route {
	return s.guarded(route{pattern: pattern, guard: signedIn}, handle)
}

// need lets through whose right reaches at least so far. Where that is people.Own the
// handler asks what exactly is meant: Caller.May.
func (s *Site) need(pattern string, right people.Right, reach people.Reach, handle callerHandler) route {
	return s.guarded(route{pattern: pattern, guard: byRight, right: right, reach: reach}, handle)
}

// fresh is need, for what wants a sign-in of the last minutes: people, exports,
// deletion.
func (s *Site) fresh(pattern string, right people.Right, reach people.Reach, handle callerHandler) route {
	return s.guarded(route{pattern: pattern, guard: byRight, right: right, reach: reach, fresh: true}, handle)
}

func (s *Site) guarded(row route, handle callerHandler) route {
	row.handle = func(w http.ResponseWriter, r *http.Request) {
		c, err := s.caller(w, r)
		switch {
		case err != nil:
			s.failPage(w, r, err)
		case c.Person == "":
			s.signInFirst(w, r)
		case row.guard == byRight && c.Reach(row.right) < row.reach:
			s.refusePage(w, r, c)
		case row.fresh && !c.Fresh:
			s.again(w, r, c)
		default:
			handle(w, r, c)
		}
	}
	return row
}

// caller is who is signed in; nobody has the zero Caller.
func (s *Site) caller(w http.ResponseWriter, r *http.Request) (people.Caller, error) {
	cookie, err := r.Cookie(s.cookieName())
	if err != nil || s.People == nil {
		return people.Caller{}, nil
	}
	c, err := s.People.Known(r.Context(), cookie.Value, origin(r), s.keys != nil)
	if errors.Is(err, people.ErrGone) {
		// That of another association stays: its own site knows whether it is good.
		if association, _ := people.Split(cookie.Value); association == s.Association || association == "" {
			s.setCookie(w, "", -1)
		}
		return people.Caller{}, nil
	}
	return c, err
}

// table is all that a hub answers.
func (s *Site) table() []route {
	rows := []route{
		s.forBench("GET /v1/bench", s.whoAmI),
		s.forBench("GET /v1/ledgers/{game}", s.head),
		s.forBench("POST /v1/ledgers/{game}/entries", s.entries),
		s.forBench("GET /v1/ledgers/{game}/hashes", s.hashes),
		s.forBench("PUT /v1/ledgers/{game}/names", s.names),
		s.open("GET /follow/{token}", s.teamPage), // the same page for every token
		s.forTeam("GET /v1/follow/{token}", s.teamGames),
		s.forTeam("GET /v1/follow/{token}/games/{game}/stream", s.stream),
		s.forTeam("GET /v1/follow/{token}/games/{game}/time", s.time),
		s.forTeam("GET /v1/follow/{token}/games/{game}/proof", s.proof),
		s.open("GET /{$}", s.home),
		s.open("GET /pair", s.pairPage), // what is in the link never comes here
		s.open("GET /status", s.status), // numbers of things and no names
		s.open("GET /hub.css", s.own("hub"+".css", "text/css; charset=utf-8")),
		s.open("GET /pair.js", s.own("pair.js", "text/javascript; charset=utf-8")),
		s.open("GET /practice/", s.practice), // and real games, which lie in the browser
		s.open("/", s.asset),
		s.open("/v1/", s.noSuch),
		s.open("/crew/", s.crews),             // its rows have guards of their own: a link's token, or Coordinates
		s.signedIn("GET /admin", s.adminPage), // each sees what their rights reach
		s.need("POST /admin/name", people.ChangeSettings, people.All, s.rename),
		s.need("POST /admin/bench", people.ChangeSettings, people.All, s.pairBench),
		s.need("POST /admin/team", people.ChangeSettings, people.All, s.linkTeam),
		s.need("POST /admin/revoke", people.ChangeSettings, people.All, s.revoke),
		s.need("POST /admin/choose", people.DecideLedger, people.All, s.choose),
		s.need("POST /admin/handover", people.DecideLedger, people.All, s.handOver),
	}
	rows = append(rows, s.peopleRoutes()...)
	rows = append(rows, s.passkeyRoutes()...)
	rows = append(rows, s.linkRoutes()...)
	rows = append(rows, s.logRoutes()...)
	rows = append(rows, s.reportRoutes()...)
	rows = append(rows, s.tableRoutes()...)
	rows = append(rows, s.otherRoutes()...)
	rows = append(rows, s.roomRoutes()...)
	return append(rows, s.embedRoutes()...)
}

func (s *Site) routes() *http.ServeMux {
	mux := http.NewServeMux()
	for _, row := range s.table() {
		if row.guard == unguarded {
			panic("no guard: " + row.pattern)
		}
		handle := http.HandlerFunc(row.handle)
		if s.Around != nil {
			handle = s.Around(row.pattern, handle)
		}
		mux.HandleFunc(row.pattern, handle)
	}
	return mux
}
