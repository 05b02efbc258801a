package crew

import "whistlestop/internal/api"

// listMost bounds a pasted list, in bytes.
const listMost = 2 << 20

// Operations is the part of the table that is about the crew.
func (s *Service) Operations() []api.Operation {
	from := api.Parameter{Name: "from", About: "the first day, YYYY-MM-DD"}
	to := api.Parameter{Name: "to", About: "the last day, YYYY-MM-DD"}
	return []api.Operation{
		{Method: "GET", Path: "/api/crew", Who: api.BenchOnly, Handler: api.Ask(s.overview), About: "How the crew's desk stands."},
		{Method: "GET", Path: "/api/crew/whole.json", Who: api.BenchOnly, Handler: api.Hand("application/json", s.whole),
			About: "The whole desk as one file, with people, links and the season, to keep or to take to another computer or a hub."},
		{Method: "PUT", Path: "/api/crew/whole.json", Who: api.BenchOnly, Handler: api.Ask(s.takeWhole), TakesMedia: "application/octet-stream",
			Most: WholeMost, TooLarge: "season.too_large",
			About: "Takes such a file in where no desk is yet. Codes of answers and tokens of links stay good; addresses that were sent do not change."},
		{Method: "GET", Path: "/api/crew/people", Who: api.BenchOnly, Handler: api.Ask(s.people), About: "The list of those who help."},
		{Method: "PUT", Path: "/api/crew/people", Who: api.BenchOnly, Handler: api.Take(s.keepPeople), Most: listMost, TooLarge: "season.too_large",
			About: "Reads a list as it is pasted and keeps whoever is not there yet. What cannot be read is said with its line."},
		{Method: "PUT", Path: "/api/crew/people/{person}", Who: api.BenchOnly, Handler: api.Take(s.keepPerson),
			About: "Changes somebody of the list; a new family goes through rota and log."},
		{Method: "DELETE", Path: "/api/crew/people/{person}", Who: api.BenchOnly, Handler: api.Ask(s.forget),
			About: "Takes somebody out of everything that is kept, earlier versions too. What they did still counts, for nobody."},
		{Method: "GET", Path: "/api/crew/people/{person}/copy", Who: api.BenchOnly, Handler: api.Hand("application/json", s.copyOf),
			About: "Everything that is kept of somebody, as a file."},
		{Method: "POST", Path: "/api/crew/results", Who: api.BenchOnly, Handler: api.Take(s.keepResults), Most: listMost, TooLarge: "season.too_large",
			About: "Reads codes of practice results out of a text, and brings everybody's levels up to practice and to the seats that they had."},
		{Method: "GET", Path: "/api/crew/rules", Who: api.BenchOnly, Handler: api.Ask(s.rules), About: "Who may sit where."},
		{Method: "PUT", Path: "/api/crew/rules", Who: api.BenchOnly, Handler: api.Take(s.keepRules), About: "Keeps who may sit where."},
		{Method: "PUT", Path: "/api/crew/rules/file", Who: api.BenchOnly, Handler: api.Take(s.keepRulesFile), About: "The same from a crew file."},
		{Method: "POST", Path: "/api/crew/season", Who: api.BenchOnly, Handler: api.Take(s.newSeason),
			About: "Begins the season of the league file: the rota of the one before goes, what people can do stays, everybody is asked whether they stay."},
		{Method: "GET", Path: "/api/crew/missing", Who: api.BenchOnly, Handler: api.Ask(s.missing), About: "What is missing in the next 26 weeks, before anybody is asked."},
		{Method: "GET", Path: "/api/crew/rota", Who: api.BenchOnly, Handler: api.Ask(s.rota), Query: []api.Parameter{from, to}, About: "Who sits where."},
		{Method: "POST", Path: "/api/crew/rota", Who: api.BenchOnly, Handler: api.Take(s.makeRota), Waits: makeWithin,
			About: "Makes the rota of some days. What is accepted or locked stays. The same papers and seed make the same one."},
		{Method: "GET", Path: "/api/crew/rota/making", Who: api.BenchOnly, Handler: api.Ask(s.isMaking), About: "How far the making of a rota is."},
		{Method: "GET", Path: "/api/crew/seats/{game}/{seat}", Who: api.BenchOnly, Handler: api.Ask(s.why),
			Query: []api.Parameter{{Name: "person", About: "why not somebody, by their id"}}, About: "Why a seat is whose it is, and who could take it, the best first."},
		{Method: "POST", Path: "/api/crew/seats/{game}/{seat}", Who: api.BenchOnly, Handler: api.Take(s.seatAct),
			About: "Locks a seat, gives it to somebody, empties it, lets its person change places with another, or notes whether somebody came."},
		{Method: "POST", Path: "/api/crew/seats/{game}/{seat}/ask", Who: api.BenchOnly, Handler: api.Take(s.ask),
			About: "Notes people as asked to take a seat and gives the words for each. The first yes takes it."},
		{Method: "GET", Path: "/api/crew/messages", Who: api.BenchOnly, Handler: api.Ask(s.messages), About: "Who is to hear what now, and what went out."},
		{Method: "POST", Path: "/api/crew/messages", Who: api.BenchOnly, Handler: api.Take(s.send), About: "Prepares messages, or notes that they went or did not arrive."},
		{Method: "PUT", Path: "/api/crew/mail", Who: api.BenchOnly, Handler: api.Take(s.chooseMail),
			About: "Says whether reminders go by mail without a press. Whoever switches it on has seen what would go."},
		{Method: "POST", Path: "/api/crew/answers", Who: api.BenchOnly, Handler: api.Take(s.answers), Most: listMost, TooLarge: "season.too_large",
			About: "Reads answers out of what people sent, pasted whole."},
		{Method: "GET", Path: "/api/crew/balance", Who: api.BenchOnly, Handler: api.Ask(s.balance), About: "What each family did and promised beside its share."},
		{Method: "GET", Path: "/api/crew/balance.csv", Who: api.BenchOnly, Handler: api.Hand("text/csv", s.balanceFile), About: "The same as a table."},
		{Method: "GET", Path: "/api/crew/files/{file}", Who: api.BenchOnly, Handler: api.Hand("application/octet-stream", s.file),
			About: "A file that the commands read: people.csv, crew.toml, rota.json, duties.json."},
		{Method: "GET", Path: "/api/crew/on-duty.json", Who: api.BenchOnly, Handler: api.Hand("application/json", s.handFile), Query: []api.Parameter{from, to},
			About: "Who is on duty in some days, for a bench that does not have the desk: short names, and codes for who came."},
		{Method: "GET", Path: "/api/crew/sheet", Who: api.BenchOnly, Handler: api.Hand("text/html", s.week),
			Query: []api.Parameter{{Name: "day", About: "the first day of the week, YYYY-MM-DD"},
				{Name: "what", About: "slips for people or the balance of the families, in place of the week", Values: []string{"slips", "balance"}},
				{Name: "as", About: "pdf, in place of a page to print", Values: []string{"pdf"}}},
			About: "The week for the wall, without telephone numbers, as a page to print or as a PDF."},
		{Method: "POST", Path: "/api/crew/links", Who: api.BenchOnly, Handler: api.Take(s.makeLink), Status: api.StatusMade,
			About: "Makes a link that opens somebody's own page, or a team's, without an account."},
		{Method: "GET", Path: "/api/crew/mine/{token}", Handler: api.Ask(s.mine), About: "Somebody's own duties. Changes nothing, whoever opens it.",
			Also: map[int]string{api.StatusGone: "The duties of this link are over."}},
		{Method: "POST", Path: "/api/crew/mine/{token}", Handler: api.Take(s.mineAct), About: "Accepts, declines, offers or takes a duty; says when somebody can; asks to be forgotten."},
		{Method: "POST", Path: "/api/crew/mine/{token}/no-mail", Handler: api.Ask(s.noMail), TakesMedia: "application/x-www-form-urlencoded",
			About: "Takes the link's person out of the list of those who get letters, as mail programs do it (RFC 8058)."},
		{Method: "GET", Path: "/api/crew/mine/{token}/calendar.ics", Handler: api.Hand("text/calendar", s.calendar), About: "Somebody's own duties as a calendar (RFC 5545)."},
		{Method: "GET", Path: "/api/crew/team/{token}", Handler: api.Ask(s.team), About: "The seats at a team's games, for the team's manager."},
	}
}
