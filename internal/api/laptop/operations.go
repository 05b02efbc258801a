package laptop

import (
	"slices"
	"strings"

	"whistlestop/game/card"
	"whistlestop/game/rulebook"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/internal/seats"
)

// Operations is the table of everything that can be asked of the bench.
func (s *Service) Operations() []api.Operation {
	return slices.Concat(api.Operations(), s.shells(), s.games(), s.reports(), s.people(), s.devices(), s.files(), s.walls(), s.beside())
}

// shells are the operations that each shell has to bring by itself.
func (s *Service) shells() []api.Operation {
	return []api.Operation{
		{Method: "GET", Path: "/api/openapi.json", Open: true, About: "This description.", Handler: api.Handler{Gives: map[string]any{}}},
		{Method: "GET", Path: "/api/games/{game}/stream", Open: true, Handler: api.Handler{GivesMedia: "text/event-stream"},
			About: "The state of a game now and after every entry, as server-sent events. Every state is whole: whoever comes back " +
				"needs nothing that was missed, so Last-Event-ID may be sent and changes nothing. With changes=yes a whole state comes " +
				"first, and then only what changed: a change goes onto any state from its from up to its seq. A beat comes every two seconds.",
			Query: []api.Parameter{
				{Name: "view", About: "public asks for what anybody may see, whoever asks", Values: []string{"public"}},
				{Name: "changes", About: "yes: after the first state only what changed", Values: []string{"yes"}},
			},
			Events: map[string]any{
				"state": api.Snapshot{}, "change": api.Snapshot{}, "beat": Beat{}, "seats": seats.List{}, "session": api.Session{},
				"revoked": struct{}{}, "full": Full{},
			}},
		{Method: "GET", Path: "/metrics", Who: api.BenchOnly, Handler: api.Handler{GivesMedia: "text/plain"},
			About: "Counts of requests, streams and connections in the text format of Prometheus. No game, device or person is named."},
	}
}

func (s *Service) games() []api.Operation {
	return []api.Operation{
		{Method: "GET", Path: "/api/health", Handler: api.Ask(s.health), About: "Says whether the bench can keep entries.",
			Also: map[int]string{api.StatusUnavailable: "Entries cannot be kept at the moment."}},
		{Method: "POST", Path: "/api/games", Who: api.BenchOnly, Handler: api.Take(s.open), Status: api.StatusMade,
			About: "Opens a game. Opening the same game again changes nothing."},
		{Method: "PUT", Path: "/api/divisions", Who: api.BenchOnly, Handler: api.Take(s.keepDivision),
			About: "Keeps a division of the league's own as a file beside the games, made from another one. What differs from that one " +
				"gets the source that is given; the rest keeps its own."},
	}
}

func (s *Service) reports() []api.Operation {
	times := []api.Parameter{{Name: "times", About: "how the report writes times; as the division says if it is not said",
		Values: []string{string(rulebook.TimesElapsed), string(rulebook.TimesRemaining)}}}
	list := []api.Operation{
		{Method: "GET", Path: "/api/games/{game}/report", Who: api.GameSeats, Reading: bench.ReadReport, Handler: api.Ask(s.report),
			About: "The official report as a document.", Query: times},
		{Method: "GET", Path: "/api/games/{game}/audit", Who: api.GameSeats, Reading: bench.ReadReport, Handler: api.Ask(s.audit),
			About: "What does not add up in the report.", Query: times},
		{Method: "POST", Path: "/api/games/{game}/seal", Who: api.BenchOnly, Handler: api.Take(s.seal),
			About: "Closes the report, signed with the bench's key."},
		{Method: "GET", Path: "/api/games/{game}/verify", Who: api.GameSeats, Reading: bench.ReadReport, Handler: api.Ask(s.verify),
			About: "Says whether the ledger of a game holds together."},
		{Method: "GET", Path: "/api/games/{game}/sharing", Who: api.GameSeats, Handler: api.Ask(s.sharing),
			About: "Says whether anybody may read the page for parents."},
		{Method: "PUT", Path: "/api/games/{game}/sharing", Who: api.BenchOnly, Handler: api.Take(s.share),
			About: "Lets anybody read the page for parents, or nobody."},
		{Method: "GET", Path: "/api/games/{game}/names-end", Who: api.BenchOnly, Handler: api.Ask(s.namesEnd),
			About: "Says when the names of a sealed game's people end at this bench, because its association's hub says so."},
		{Method: "POST", Path: "/api/games/{game}/names-end/keep", Who: api.BenchOnly, Handler: api.Ask(s.keepNames),
			About: "Keeps the names of a game at this bench."},
	}
	for _, format := range s.Formats {
		list = append(list, api.Operation{
			Method: "GET", Path: "/api/games/{game}/report." + format.Name, Who: api.GameSeats, Reading: bench.ReadReport,
			Handler: api.Hand(strings.Split(format.Media, ";")[0], s.reportFile(format)),
			About:   "The official report as a file.", Query: append(slices.Clone(times),
				api.Parameter{Name: "paper", About: "of a PDF", Values: []string{"a4", "letter"}},
				api.Parameter{Name: "picture", About: "yes: with the picture of the whole game", Values: []string{"yes"}},
				api.Parameter{Name: "names", About: "yes: with the names of players, on the page for parents", Values: []string{"yes"}}, inLanguage),
		})
	}
	return list
}

// people are the operations about rosters, and about whoever wants to be named no
// more.
func (s *Service) people() []api.Operation {
	return []api.Operation{
		{Method: "POST", Path: "/api/rosters/read", Who: api.AnySeat, Reading: bench.ReadRosters, Handler: api.Ask(s.readRoster),
			About:      "Reads a roster as a league sends it and checks it. The body is the file itself.",
			TakesMedia: "application/octet-stream", Most: rosterMost, TooLarge: "roster.file_too_large",
			Query: []api.Parameter{
				{Name: "division", About: "the division to hold it against"}, {Name: "game", About: "the game whose division it is"},
				{Name: "team", About: "the team, where the file does not name it"},
			}},
		{Method: "GET", Path: "/api/teams", Who: api.BenchOnly, Handler: api.Ask(s.teams), About: "Lists the last roster of every team."},
		{Method: "PUT", Path: "/api/teams", Who: api.BenchOnly, Handler: api.Take(s.keepTeam),
			About: "Keeps a roster as the last one of its team."},
		{Method: "DELETE", Path: "/api/teams/{team}", Who: api.BenchOnly, Handler: api.Ask(s.forgetTeam),
			About: "Takes a team out of the book."},
		{Method: "POST", Path: "/api/withdrawals", Who: api.BenchOnly, Handler: api.Take(s.withdrawName),
			About: "Says where a person is named and, with act, takes the name out of all of it: ledgers, copies, team book, devices. " +
				"Games, seals and figures stay as they are."},
		{Method: "POST", Path: "/api/copies/end-names", Who: api.BenchOnly, Handler: api.Take(s.endNames),
			About: "Says which copies there are and, with act, takes the names of people out of all of them, now and when a stick is seen next. " +
				"The bench keeps them."},
	}
}

// devices are the operations by which devices become seats and stop being them.
func (s *Service) devices() []api.Operation {
	return []api.Operation{
		{Method: "DELETE", Path: "/api/session", Who: api.AnySeat, Handler: api.Ask(s.leave),
			About: "Gives the seat of the device back. Its streams end at once."},
		{Method: "POST", Path: "/api/join", Handler: api.Take(s.join), Status: api.StatusWaits,
			About: "Asks to be a seat, with the token or the code of an invite. A person at the bench decides."},
		{Method: "POST", Path: "/api/join/{request}", Waits: PollFor,
			Handler: api.Handler{Takes: requestSecretJSON{}, Gives: pairedJSON{}, Do: s.poll},
			About: "Waits up to 25 seconds for the bench's decision. A device that is let in gets the cookie whistlestop_seat, " +
				"over TLS __Host-whistlestop_seat.",
			Also: map[int]string{api.StatusWaits: "Nobody has decided yet: ask again."}},
		{Method: "GET", Path: "/api/games/{game}/seats", Who: api.BenchOnly, Handler: api.Ask(s.seats),
			About: "Lists invites, requests and seats of a game."},
		{Method: "POST", Path: "/api/games/{game}/seats/approve", Who: api.BenchOnly, Handler: api.Take(s.approve),
			About: "Lets a device be a seat: the one it asked for, or another."},
		{Method: "POST", Path: "/api/games/{game}/seats/refuse", Who: api.BenchOnly, Handler: api.Take(s.refuse), About: "Turns a device away."},
		{Method: "POST", Path: "/api/games/{game}/seats/revoke", Who: api.BenchOnly, Handler: api.Take(s.revoke),
			About: "Takes a seat away from a device. Its streams end at once."},
		{Method: "POST", Path: "/api/games/{game}/seats/count", Who: api.BenchOnly, Handler: api.Take(s.letCount),
			About: "Lets a device count beside the one that sits in the same seat already."},
		{Method: "POST", Path: "/api/games/{game}/handed", Status: api.StatusWaits,
			Handler: api.Ask(s.handOver).Taking(api.Entries{}), // who asks is looked at before what is sent
			About: "Hands over entries that a device made while it was a seat of the game, after the seat was taken away. " +
				"Its cookie of then says who it was. A person at the bench decides; nothing counts before."},
		{Method: "POST", Path: "/api/games/{game}/handed/{handed}", Who: api.BenchOnly, Handler: api.Take(s.decideHanded),
			About: "Takes what a device handed over into its game, with the rights of the seat that it had, or leaves it out."},
		{Method: "POST", Path: "/api/games/{game}/invites", Who: api.BenchOnly, Handler: api.Take(s.invite), Status: api.StatusMade,
			About: "Offers a seat, once, for ten minutes."},
		{Method: "DELETE", Path: "/api/games/{game}/invites/{invite}", Who: api.BenchOnly, Handler: api.Ask(s.withdraw),
			About: "Takes an invite back."},
	}
}

// files are the operations on copies and rink cards.
func (s *Service) files() []api.Operation {
	return []api.Operation{
		{Method: "GET", Path: "/api/copies", Who: api.BenchOnly, Handler: api.Ask(s.copies), About: "How the further copies of the games stand."},
		{Method: "PUT", Path: "/api/hub", Who: api.BenchOnly, Handler: api.Take(s.pair),
			About: "Pairs the bench with the hub of a link, after the hub was asked; an empty link with none."},
		{Method: "POST", Path: "/api/restore", Who: api.BenchOnly, Handler: api.Ask(s.restore),
			About:      "Takes games over from a copy. The body is the file itself.",
			TakesMedia: "application/octet-stream", Most: copyMost, TooLarge: "restore.too_large"},
		{Method: "GET", Path: "/api/proposals", Who: api.BenchOnly, Handler: api.Ask(s.proposals),
			About: "Lists entries of copies that follow a game here and that nothing shows this bench to have written."},
		{Method: "POST", Path: "/api/proposals/{proposal}", Who: api.BenchOnly, Handler: api.Take(s.decide),
			About: "Takes what a copy proposes into its game, or declines it. A sealed game takes nothing."},
		{Method: "GET", Path: "/api/cards", Who: api.AnySeat, Reading: bench.ReadCards, Handler: api.Ask(s.cards),
			About: "Lists the rink cards that are kept."},
		{Method: "POST", Path: "/api/cards", Who: api.BenchOnly, Handler: api.Ask(s.keepCard), Status: api.StatusMade,
			About: "Keeps a rink card, which is sent as its file.", TakesMedia: "text/plain", WrongMedia: "card.not_text",
			Most: card.FileMost, TooLarge: "card.large"},
		{Method: "GET", Path: "/api/cards/{file}", Who: api.AnySeat, Reading: bench.ReadCards,
			Handler: api.Hand("application/octet-stream", s.cardFile),
			About:   "A rink card as its file (.toml), printed (.pdf), or the photo of its console (.jpg).",
			Query:   []api.Parameter{{Name: "paper", About: "of a printed card", Values: []string{"a4", "letter"}}, inLanguage}},
	}
}

// walls are the operations on what the Wall shows beside a game.
func (s *Service) walls() []api.Operation {
	return []api.Operation{
		{Method: "GET", Path: "/api/wall", Handler: api.Ask(s.wall), About: "Says which picture the Wall shows in the breaks."},
		{Method: "GET", Path: "/api/wall/picture", Handler: api.Hand("image/*", s.wallPicture), About: "The picture that the Wall shows in the breaks."},
		{Method: "PUT", Path: "/api/wall/picture", Who: api.BenchOnly, Handler: api.Ask(s.keepWallPicture),
			About: "Keeps a picture for the breaks, a PNG or a JPEG, in place of the one before. The body is the file itself. It is read and " +
				"written anew: nothing goes on but its points.",
			TakesMedia: "application/octet-stream", Most: pictureMost, TooLarge: "wall_picture.too_large"},
		{Method: "DELETE", Path: "/api/wall/picture", Who: api.BenchOnly, Handler: api.Ask(s.removeWallPicture),
			About: "Takes the picture of the breaks away."},
	}
}

// inLanguage is for files: a link to one brings no header of ours.
var inLanguage = api.Parameter{Name: "language", About: "the language to write in, as a tag of BCP 47; as the header Accept-Language says if it is not said, and English where there is none of them"}
