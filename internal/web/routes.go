package web

import (
	_ "embed"
	"net/http"

	"whistlestop/internal/bench"
	"whistlestop/internal/paper"
)

// description is the API as OpenAPI 3.1, made by tools/contract.
//
//go:embed openapi.json
var description []byte

func (s *Server) openAPI(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-cache")
	s.write(w, r, description)
}

// route is one thing that the server does, and who may ask for it.
type route struct {
	method, path string
	who          access
	handle       http.HandlerFunc
	reading      bench.Reading // what a seat must be allowed to read; empty: every seat may
}

func (s *Server) routeTable() []route {
	table := []route{
		{"GET", "/api/health", anyone, s.health, ""},
		{"GET", "/api/time", anyone, s.time, ""},
		{"GET", "/api/session", anyone, s.session, ""},
		{"DELETE", "/api/session", anySeat, s.leave, ""},
		{"GET", "/api/openapi.json", anyone, s.openAPI, ""},
		{"GET", "/api/divisions", anyone, s.divisions, ""},
		{"PUT", "/api/divisions", benchOnly, s.keepDivision, ""},
		{"GET", "/api/codes", anyone, s.codes, ""},
		{"GET", "/api/games", anyone, s.games, ""},
		{"POST", "/api/games", benchOnly, s.open, ""},
		{"GET", "/api/games/{game}", anyone, s.state, ""},
		{"GET", "/api/games/{game}/stream", anyone, s.stream, ""},
		{"GET", "/api/games/{game}/ledger.jsonl", gameSeats, s.ledger, bench.ReadCopy},
		{"GET", "/api/games/{game}/slot", gameSeats, s.slot, bench.ReadSlot},
		{"GET", "/api/games/{game}/announcements", gameSeats, s.announcements, bench.ReadAnnouncements},
		{"POST", "/api/games/{game}/preview", gameSeats, s.preview, ""},
		{"POST", "/api/games/{game}/entries", gameSeats, s.post, ""},

		{"GET", "/api/games/{game}/report", gameSeats, s.report, bench.ReadReport},
		{"GET", "/api/games/{game}/audit", gameSeats, s.audit, bench.ReadReport},
		{"POST", "/api/games/{game}/seal", benchOnly, s.seal, ""},
		{"GET", "/api/games/{game}/verify", gameSeats, s.verify, bench.ReadReport},
		{"GET", "/api/games/{game}/sharing", gameSeats, s.sharing, ""},
		{"PUT", "/api/games/{game}/sharing", benchOnly, s.share, ""},

		{"POST", "/api/rosters/read", anySeat, s.readRoster, bench.ReadRosters},
		{"GET", "/api/teams", benchOnly, s.teams, ""},
		{"PUT", "/api/teams", benchOnly, s.keepTeam, ""},
		{"DELETE", "/api/teams/{team}", benchOnly, s.forgetTeam, ""},

		{"POST", "/api/withdrawals", benchOnly, s.withdrawName, ""},

		{"POST", "/api/join", anyone, s.join, ""},
		{"POST", "/api/join/{request}", anyone, s.poll, ""},
		{"GET", "/api/games/{game}/seats", benchOnly, s.seats, ""},
		{"POST", "/api/games/{game}/seats/approve", benchOnly, s.approve, ""},
		{"POST", "/api/games/{game}/seats/refuse", benchOnly, s.refuse, ""},
		{"POST", "/api/games/{game}/seats/revoke", benchOnly, s.revoke, ""},
		{"POST", "/api/games/{game}/seats/count", benchOnly, s.letCount, ""},
		{"POST", "/api/games/{game}/handed", anyone, s.handOver, ""},
		{"POST", "/api/games/{game}/handed/{handed}", benchOnly, s.decideHanded, ""},
		{"POST", "/api/games/{game}/invites", benchOnly, s.invite, ""},
		{"DELETE", "/api/games/{game}/invites/{invite}", benchOnly, s.withdraw, ""},

		{"GET", "/api/copies", benchOnly, s.copies, ""},
		{"POST", "/api/restore", benchOnly, s.restore, ""},
		{"GET", "/api/proposals", benchOnly, s.proposals, ""},
		{"POST", "/api/proposals/{proposal}", benchOnly, s.decide, ""},

		{"GET", "/api/cards", anySeat, s.cards, bench.ReadCards},
		{"POST", "/api/cards", benchOnly, s.keepCard, ""},
		{"GET", "/api/cards/{file}", anySeat, s.cardFile, bench.ReadCards},

		{"GET", "/metrics", benchOnly, s.metricsPage, ""},
		{"GET", "/{$}", anyone, s.page, ""},
		{"GET", "/bench", anyone, s.page, ""},
		{"GET", "/bench/{game}", anyone, s.page, ""},
		{"GET", "/box", anyone, s.page, ""},
		{"GET", "/box/{game}", anyone, s.page, ""},
		{"GET", "/wall", anyone, s.page, ""},
		{"GET", "/wall/{game}", anyone, s.page, ""},
		{"GET", "/join", anyone, s.page, ""},
		{"GET", "/seat", anyone, s.page, ""},
		{"GET", "/follow", anyone, s.page, ""},
		{"GET", "/follow/{game}", anyone, s.page, ""},
		{"GET", "/report/{game}", anyone, s.page, ""},
		{"GET", "/report/{game}/shared", anyone, s.shared, ""},
		{"GET", "/practice", anyone, s.practicePage, ""},
		{"GET", "/practice/", anyone, s.practice, ""},
	}
	for _, format := range paper.Formats {
		table = append(table, route{"GET", "/api/games/{game}/report." + format.Name, gameSeats, s.reportFile, bench.ReadReport})
	}
	return table
}

func (s *Server) routes() *http.ServeMux {
	mux := http.NewServeMux()
	methods := map[string][]string{}
	for _, r := range s.routeTable() {
		name := r.method + " " + r.path
		mux.HandleFunc(name, s.metrics.measured(name, s.admit(r.who, r.reading, r.handle)))
		methods[r.path] = append(methods[r.path], r.method)
	}
	for path, allowed := range methods {
		mux.HandleFunc(path, s.wrongMethod(allowed))
	}
	mux.HandleFunc("/", s.asset)
	mux.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		s.problem(w, r, http.StatusNotFound, kindMissing, s.text("web.no_api"))
	})
	return mux
}
