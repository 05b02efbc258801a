package web

import (
	"net/http"
	"slices"
	"strings"

	"whistlestop/game/rulebook"
	"whistlestop/internal/answer"
	"whistlestop/internal/bench"
	"whistlestop/internal/paper"
	"whistlestop/internal/seats"
	"whistlestop/record/report"
	"whistlestop/record/seal"
)

// Operation is what can be asked of the API, for its published description.
// Takes and Gives are values of the types that travel as JSON; where something
// else travels, the media type says so.
type Operation struct {
	Method, Path string
	Who          string // who may ask, in words
	About        string
	Query        []Parameter
	Takes        any
	TakesMedia   string // "" for JSON
	Gives        any
	GivesMedia   string
	Status       int            // of the usual answer
	Also         map[int]string // further answers that are no problem
	Events       map[string]any // of a stream: the data of each event
}

// Parameter is one that may stand in the query.
type Parameter struct {
	Name, About string
	Values      []string // the set, where it is closed
}

// Problem returns a value of the type of every answer that says no.
func Problem() any { return answer.Problem{} }

// who says in words who may ask.
var who = map[access]string{
	anyone: "anybody", gameSeats: "the bench and the seats of the game",
	anySeat: "the bench and every seat", benchOnly: "the bench: the computer that the program runs on",
}

// whoMay says in words who may use a route.
func whoMay(r route) string {
	readers := bench.Readers(r.reading)
	if len(readers) == 0 {
		return who[r.who]
	}
	names := make([]string, len(readers))
	for i, seat := range readers {
		names[i] = string(seat)
	}
	return who[r.who] + ", of these " + strings.Join(names, ", ")
}

// Operations describes every route of the API.
func Operations() []Operation {
	view := []Parameter{{Name: "view", About: "public asks for what anybody may see, whoever asks", Values: []string{"public"}}}
	changesOnly := Parameter{Name: "changes", About: "yes: after the first state only what changed", Values: []string{"yes"}}
	times := []Parameter{{Name: "times", About: "how the report writes times; as the division says if it is not said",
		Values: []string{string(rulebook.TimesElapsed), string(rulebook.TimesRemaining)}}}
	list := []Operation{
		{Method: "GET", Path: "/api/health", About: "Says whether the bench can keep entries.", Gives: healthJSON{},
			Also: map[int]string{http.StatusServiceUnavailable: "Entries cannot be kept at the moment."}},
		{Method: "GET", Path: "/api/time", About: "Says the bench's time, to measure a clock against.", Gives: answer.Time{},
			Query: []Parameter{{Name: "sent", About: "anything; keeps answers out of caches"}}},
		{Method: "GET", Path: "/api/session", About: "Says to a device who it is at the bench.", Gives: answer.Session{}},
		{Method: "DELETE", Path: "/api/session", About: "Gives the seat of the device back. Its streams end at once.", Gives: struct{}{}},
		{Method: "GET", Path: "/api/openapi.json", About: "This description.", Gives: map[string]any{}},
		{Method: "GET", Path: "/api/divisions", About: "Lists the divisions that a game can be opened with.", Gives: divisionsJSON{}},
		{Method: "PUT", Path: "/api/divisions", Takes: keepDivisionJSON{}, Gives: rulebook.Division{},
			About: "Keeps a division of the league's own as a file beside the games, made from another one. What differs from that one " +
				"gets the source that is given; the rest keeps its own."},
		{Method: "GET", Path: "/api/codes", About: "Lists the codes that divisions follow, with their calls.", Gives: answer.Codes{}},
		{Method: "GET", Path: "/api/games", About: "Lists the games, the newest first.", Gives: answer.Games{}},
		{Method: "POST", Path: "/api/games", About: "Opens a game. Opening the same game again changes nothing.",
			Takes: openingJSON{}, Gives: openedJSON{}, Status: http.StatusCreated},
		{Method: "GET", Path: "/api/games/{game}", Query: view, Gives: answer.Snapshot{},
			About: "The newest state of a game: whole for the bench and the Book, what its work needs for every other seat of the game, " +
				"the public view for everybody else."},
		{Method: "GET", Path: "/api/games/{game}/stream", Query: append(slices.Clone(view), changesOnly), GivesMedia: "text/event-stream",
			About: "The state of a game now and after every entry, as server-sent events. Every state is whole: whoever comes back " +
				"needs nothing that was missed, so Last-Event-ID may be sent and changes nothing. With changes=yes a whole state comes " +
				"first, and then only what changed: a change goes onto any state from its from up to its seq. A beat comes every two seconds.",
			Events: map[string]any{
				"state": answer.Snapshot{}, "change": answer.Snapshot{}, "beat": beatJSON{}, "seats": seats.List{}, "session": answer.Session{}, "revoked": struct{}{}, "full": fullJSON{},
			}},
		{Method: "GET", Path: "/api/games/{game}/ledger.jsonl", GivesMedia: "application/jsonl",
			About: "The ledger of a game, one entry a line. After an entry come the texts about people that lie beside it, each on a line, " +
				"as far as whoever asks may see them.",
			Query: []Parameter{
				{Name: "after", About: "only the lines after the entry with this number"},
				{Name: "texts", About: "inside: each entry with its texts in it, to read; not to be kept, since it is in no chain", Values: []string{"inside"}},
			}},
		{Method: "GET", Path: "/api/games/{game}/slot", About: "When the game will likely end.", Gives: answer.EndOfSlot{},
			Query: []Parameter{
				{Name: "start_ms", About: "start of the ice slot, milliseconds of Unix time"},
				{Name: "length_ms", About: "length of the ice slot, milliseconds"},
			}},
		{Method: "GET", Path: "/api/games/{game}/announcements", About: "What is to be said over the loudspeaker.", Gives: answer.Announcements{}},
		{Method: "POST", Path: "/api/games/{game}/preview", About: "Says what drafts would do, and changes nothing.",
			Takes: answer.Entries{}, Gives: answer.Previewed{}},
		{Method: "POST", Path: "/api/games/{game}/entries", Takes: answer.Entries{}, Gives: answer.Posted{},
			About: "Posts entries, all or none. Posting the same ids again changes nothing and is answered as before. An edit of an " +
				"entry that was edited after the state with the number saw is refused with both versions (409, stale). " +
				"Whoever says which state it has (have and run) is answered with what changed. A device posts as its seat, whatever the entries say."},
		{Method: "GET", Path: "/metrics", GivesMedia: "text/plain",
			About: "Counts of requests, streams and connections in the text format of Prometheus. No game, device or person is named."},
		{Method: "GET", Path: "/api/games/{game}/report", About: "The official report as a document.", Query: times, Gives: report.Document{}},
		{Method: "GET", Path: "/api/games/{game}/audit", About: "What does not add up in the report.", Query: times, Gives: auditJSON{}},
		{Method: "POST", Path: "/api/rosters/read", About: "Reads a roster as a league sends it and checks it. The body is the file itself.",
			TakesMedia: "application/octet-stream", Gives: rosterReadJSON{}, Query: []Parameter{
				{Name: "division", About: "the division to hold it against"}, {Name: "game", About: "the game whose division it is"},
				{Name: "team", About: "the team, where the file does not name it"},
			}},
		{Method: "GET", Path: "/api/teams", About: "Lists the last roster of every team.", Gives: teamsJSON{}},
		{Method: "PUT", Path: "/api/teams", About: "Keeps a roster as the last one of its team.", Takes: keptTeamJSON{}, Gives: teamsJSON{}},
		{Method: "DELETE", Path: "/api/teams/{team}", About: "Takes a team out of the book.", Gives: teamsJSON{}},
		{Method: "POST", Path: "/api/withdrawals", Takes: withdrawJSON{}, Gives: Withdrawal{},
			About: "Says where a person is named and, with act, takes the name out of all of it: ledgers, copies, team book, devices. " +
				"Games, seals and figures stay as they are."},
		{Method: "POST", Path: "/api/games/{game}/seal", About: "Closes the report, signed with the bench's key.", Takes: missingJSON{}, Gives: closedJSON{}},
		{Method: "GET", Path: "/api/games/{game}/verify", About: "Says whether the ledger of a game holds together.", Gives: seal.Verdict{}},
		{Method: "GET", Path: "/api/games/{game}/sharing", About: "Says whether anybody may read the page for parents.", Gives: sharingJSON{}},
		{Method: "PUT", Path: "/api/games/{game}/sharing", About: "Lets anybody read the page for parents, or nobody.", Takes: shareJSON{}, Gives: sharingJSON{}},
		{Method: "POST", Path: "/api/join", Takes: joinJSON{}, Gives: askedJSON{}, Status: http.StatusAccepted,
			About: "Asks to be a seat, with the token or the code of an invite. A person at the bench decides."},
		{Method: "POST", Path: "/api/join/{request}", Takes: requestSecretJSON{}, Gives: pairedJSON{},
			About: "Waits up to 25 seconds for the bench's decision. A device that is let in gets the cookie whistlestop_seat, over TLS __Host-whistlestop_seat.",
			Also:  map[int]string{http.StatusAccepted: "Nobody has decided yet: ask again."}},
		{Method: "GET", Path: "/api/games/{game}/seats", About: "Lists invites, requests and seats of a game.", Gives: seats.List{}},
		{Method: "POST", Path: "/api/games/{game}/seats/approve", About: "Lets a device be a seat: the one it asked for, or another.",
			Takes: decideJSON{}, Gives: seats.List{}},
		{Method: "POST", Path: "/api/games/{game}/seats/refuse", About: "Turns a device away.", Takes: requestNameJSON{}, Gives: seats.List{}},
		{Method: "POST", Path: "/api/games/{game}/seats/revoke", About: "Takes a seat away from a device. Its streams end at once.",
			Takes: sessionNameJSON{}, Gives: seats.List{}},
		{Method: "POST", Path: "/api/games/{game}/seats/count", Takes: sessionNameJSON{}, Gives: seats.List{},
			About: "Lets a device count beside the one that sits in the same seat already."},
		{Method: "POST", Path: "/api/games/{game}/handed", Takes: answer.Entries{}, Gives: struct{}{}, Status: http.StatusAccepted,
			About: "Hands over entries that a device made while it was a seat of the game, after the seat was taken away. " +
				"Its cookie of then says who it was. A person at the bench decides; nothing counts before."},
		{Method: "POST", Path: "/api/games/{game}/handed/{handed}", Takes: decisionJSON{}, Gives: seats.List{},
			About: "Takes what a device handed over into its game, with the rights of the seat that it had, or leaves it out."},
		{Method: "POST", Path: "/api/games/{game}/invites", About: "Offers a seat, once, for ten minutes.",
			Takes: offerJSON{}, Gives: newInviteJSON{}, Status: http.StatusCreated},
		{Method: "DELETE", Path: "/api/games/{game}/invites/{invite}", About: "Takes an invite back.", Gives: seats.List{}},
		{Method: "GET", Path: "/api/copies", About: "How the further copies of the games stand.", Gives: CopyReport{}},
		{Method: "POST", Path: "/api/restore", About: "Takes games over from a copy. The body is the file itself.",
			TakesMedia: "application/octet-stream", Gives: takenOverJSON{}},
		{Method: "GET", Path: "/api/proposals", Gives: proposalsJSON{},
			About: "Lists entries of copies that follow a game here and that nothing shows this bench to have written."},
		{Method: "POST", Path: "/api/proposals/{proposal}", Takes: decisionJSON{}, Gives: bench.Restored{},
			About: "Takes what a copy proposes into its game, or declines it. A sealed game takes nothing."},
		{Method: "GET", Path: "/api/cards", About: "Lists the rink cards that are kept.", Gives: cardsJSON{}},
		{Method: "POST", Path: "/api/cards", About: "Keeps a rink card, which is sent as its file.",
			TakesMedia: "text/plain", Gives: cardFileJSON{}, Status: http.StatusCreated},
		{Method: "GET", Path: "/api/cards/{file}", About: "A rink card as its file (.toml) or printed (.pdf).", GivesMedia: "application/octet-stream",
			Query: []Parameter{{Name: "paper", About: "of a printed card", Values: []string{"a4", "letter"}}}},
	}
	for _, format := range paper.Formats {
		list = append(list, Operation{
			Method: "GET", Path: "/api/games/{game}/report." + format.Name, GivesMedia: strings.Split(format.Media, ";")[0],
			About: "The official report as a file.", Query: append(times,
				Parameter{Name: "paper", About: "of a PDF", Values: []string{"a4", "letter"}},
				Parameter{Name: "picture", About: "yes: with the picture of the whole game", Values: []string{"yes"}},
				Parameter{Name: "names", About: "yes: with the names of players, on the page for parents", Values: []string{"yes"}}),
		})
	}
	rights := map[string]string{}
	for _, r := range (&Server{}).routeTable() {
		rights[r.method+" "+r.path] = whoMay(r)
	}
	for i, o := range list {
		list[i].Who = rights[o.Method+" "+o.Path]
		if o.Status == 0 {
			list[i].Status = http.StatusOK
		}
	}
	return list
}
