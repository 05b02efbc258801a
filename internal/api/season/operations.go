package season

import (
	"time"

	"whistlestop/internal/api"
	"whistlestop/season/schedule"
)

// makeWithin is how long the making of a schedule may take.
const makeWithin = time.Minute

// Operations is the part of the table that is about the season.
func (s *Service) Operations() []api.Operation {
	day := api.Parameter{Name: "day", About: "only the games of this day at the rinks, YYYY-MM-DD; today: of the rinks' day now"}
	team := api.Parameter{Name: "team", About: "only the games of this team, by its id"}
	division := api.Parameter{Name: "division", About: "only this division, by its id"}
	rink := api.Parameter{Name: "rink", About: "only the games in this rink, by its id"}
	choice := []api.Parameter{
		{Name: "game", About: "this game of the schedule, by its id"},
		{Name: "week", About: "or all games of the week in which this day is, YYYY-MM-DD; weeks begin on Monday"},
	}
	list := []api.Operation{
		{Method: "GET", Path: "/api/season", Handler: api.Ask(s.overview),
			About: "What the season is made of: rinks, divisions, teams."},
		{Method: "GET", Path: "/api/season/league", Who: api.BenchOnly, Handler: api.Ask(s.league),
			About: "The league file as it is kept, with what is wrong with it."},
		{Method: "PUT", Path: "/api/season/league", Who: api.BenchOnly, Handler: api.Take(s.keepLeague), Most: 1 << 20, TooLarge: "season.too_large",
			About: "Checks a league file and keeps it. With a mistake, or where the schedule that is kept would not fit it, nothing is kept."},
		{Method: "GET", Path: "/api/season/league/form", Who: api.BenchOnly, Handler: api.Ask(s.form),
			About: "The settings of the league file for a form, with what may be chosen."},
		{Method: "PUT", Path: "/api/season/league/form", Who: api.BenchOnly, Handler: api.Take(s.keepForm), Most: 1 << 20, TooLarge: "season.too_large",
			About: "Changes settings of the league file: says what is wrong, which lines change, which comments go and what is different in the season; " +
				"with keep it is kept, if nothing is wrong. Every other line stays as it is."},
		{Method: "GET", Path: "/api/season/schedule", Handler: api.Ask(s.schedule), Query: []api.Parameter{day, team, rink},
			About: "The games of the schedule, with the games of the bench that were opened from them."},
		{Method: "PUT", Path: "/api/season/schedule", Who: api.BenchOnly, Handler: api.Ask(s.keepSchedule),
			About:      "Reads a schedule and keeps it in place of the one that is there. The body is the file itself. With a mistake nothing is kept.",
			TakesMedia: "application/octet-stream", Most: schedule.FileMost, TooLarge: "season.too_large"},
		{Method: "POST", Path: "/api/season/schedule", Who: api.BenchOnly, Handler: api.Take(s.makeSchedule), Waits: makeWithin,
			About: "Makes a schedule on the ice of the league file and keeps it. The same file and seed make the same one."},
		{Method: "PUT", Path: "/api/season/incoming", Who: api.BenchOnly, Handler: api.Ask(s.incoming), Query: []api.Parameter{
			{Name: "name", About: "the file's name: its end says what it is (.csv, .xlsx, .ics)"},
			{Name: "keep", About: "take it into the schedule of this mark; new: there is none yet; left out: only say what it would change"}},
			About: "Reads games that somebody else scheduled. The body is the file itself. Games of the schedule stay who they are: what differs is a change " +
				"of the game; what the file does not have stays.",
			TakesMedia: "application/octet-stream", Most: schedule.FileMost, TooLarge: "season.too_large"},
		{Method: "GET", Path: "/api/season/clashes", Who: api.BenchOnly, Handler: api.Ask(s.clashes),
			About: "What is wrong with the schedule, with the games and the people."},
		{Method: "POST", Path: "/api/season/schedule/{scheduled}", Who: api.BenchOnly, Handler: api.Take(s.change),
			About: "Says what a change of a game touches and, with act, changes it. One that breaks a rule is made only with anyway."},
		{Method: "GET", Path: "/api/season/schedule/{scheduled}/lineup", Who: api.BenchOnly, Handler: api.Ask(s.lineup),
			About: "What is known of a game before it is opened: division, place, rosters from the book of teams, who is suspended and why."},
		{Method: "POST", Path: "/api/season/schedule/{scheduled}/open", Who: api.BenchOnly, Handler: api.Take(s.open), Status: api.StatusMade,
			About: "Opens a game of the schedule on the bench. A suspended player in a line-up is refused with the reason, unless a note lets " +
				"the player play: the referee and the league have the last word."},
		{Method: "GET", Path: "/api/season/standings", Handler: api.Ask(s.standings), Query: []api.Parameter{division,
			{Name: "at", About: "as they stood at the end of this day, YYYY-MM-DD"}},
			About: "The tables, with a sentence for each two teams that were equal."},
		{Method: "GET", Path: "/api/season/standings/{team}", Handler: api.Ask(s.lineWhy), Query: []api.Parameter{
			{Name: "at", About: "as it stood at the end of this day, YYYY-MM-DD"}},
			About: "The games behind every number of a team's line of the table, and what parted it from those who were equal."},
		{Method: "POST", Path: "/api/season/what-if", Who: api.BenchOnly, Handler: api.Take(s.whatIf),
			About: "A division's table with picked results of games to come, and where each team may still end. Nothing of it is kept."},
		{Method: "GET", Path: "/api/season/suspensions", Handler: api.Ask(s.suspensions), Query: []api.Parameter{team},
			About: "Who is suspended for which games. The bench gets names, rules and entries; guests get numbers."},
		{Method: "GET", Path: "/api/season/figures", Handler: api.Ask(s.figures), Query: []api.Parameter{division, team},
			About: "What the players and goalkeepers did. The bench gets names, guests get numbers."},
		{Method: "GET", Path: "/api/season/figures/{team}", Handler: api.Ask(s.figuresWhy), Query: []api.Parameter{division,
			{Name: "who", About: "the person's key, as the figures have it"},
			{Name: "name", About: "or the name or number, as the figures show it"},
			{Name: "all", About: "yes: also what the person did for other teams, as the leaders count it"}},
			About: "The games and entries behind the figures of one player or goalkeeper: their counts add up to the figures. The bench gets the " +
				"entries in words, guests the period and the time."},
		{Method: "GET", Path: "/api/season/amendments", Who: api.BenchOnly, Handler: api.Ask(s.amendments),
			About: "Games that were changed after they were sealed, and what that changed for people."},
		{Method: "GET", Path: "/api/season/hand-in", Who: api.BenchOnly, Handler: api.Ask(s.handInList),
			About: "The games that were ended, with when the league must have each: what is late comes first, what was handed in last."},
		{Method: "GET", Path: "/api/season/hand-in/package.zip", Who: api.BenchOnly, Handler: api.Hand("application/zip", s.handInPackage), Query: choice,
			About: "The package of a game or a week for the league: reports, ledgers, seals, incidents, suspensions earned. The same games make the same bytes."},
		{Method: "GET", Path: "/api/season/hand-in/receipt", Who: api.BenchOnly, Handler: api.Ask(s.handInReceipt), Query: choice,
			About: "What such a package holds, its SHA-256, and whether it is in time."},
		{Method: "POST", Path: "/api/season/hand-in", Who: api.BenchOnly, Handler: api.Take(s.handInNote),
			About: "Notes that a package was handed in, with what the league answered. It is refused where the games are others by now than in that package."},
		{Method: "GET", Path: "/api/season/decisions", Who: api.BenchOnly, Handler: api.Ask(s.decisions),
			About: "What the league decided beside the sealed games, as the file is kept."},
		{Method: "PUT", Path: "/api/season/decisions", Who: api.BenchOnly, Handler: api.Take(s.keepDecisions), Most: 1 << 20, TooLarge: "season.too_large",
			About: "Checks the league's decisions and keeps them. With a mistake nothing is kept."},
		{Method: "GET", Path: "/api/season/calendar.ics", Handler: api.Hand("text/calendar", s.calendar), Query: []api.Parameter{team, rink},
			About: "The games as a calendar that other programs may follow (RFC 5545): the league's, a team's or a rink's."},
	}
	return append(list, s.exports(division)...)
}
