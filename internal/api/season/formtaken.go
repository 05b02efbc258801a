package season

import (
	"strconv"
	"strings"

	"github.com/BurntSushi/toml"

	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// named is a finding for each rink and division that edits take away while something
// else of the season still names it. It is at the row as it was before them.
func named(c *api.Call, f files, text []byte, edits []league.Edit) []fileFindingJSON {
	var before, after league.League // as far as they can be read: a mistake elsewhere does not hide this
	if toml.Unmarshal(f.leagueText, &before) != nil || toml.Unmarshal(text, &after) != nil {
		return nil
	}
	var list []fileFindingJSON
	for _, e := range edits {
		if !e.Remove || e.Key != "" {
			continue
		}
		what, by := "", ""
		switch {
		case e.Table == "rink" && e.At < len(before.Rinks):
			r := before.Rinks[e.At]
			if _, still := after.Rink(r.ID); still {
				continue
			}
			what, by = r.Name, naming(c, after.NamingRink(r.ID), gamesOf(f.games, func(g schedule.Game) bool { return g.Place != nil && g.Place.Rink == r.ID }))
		case e.Table == "division" && e.At < len(before.Divisions):
			d := before.Divisions[e.At]
			if _, still := after.Division(d.ID); still {
				continue
			}
			what, by = d.Name, naming(c, after.NamingDivision(d.ID), gamesOf(f.games, func(g schedule.Game) bool { return g.Division == d.ID }))
		}
		if by != "" {
			list = append(list, fileFindingJSON{Mistake: true, Table: e.Table, At: e.At, Text: say(c, "season.still_named", "what", message.Plain(what), "by", message.Plain(by))})
		}
	}
	return list
}

func gamesOf(games []schedule.Game, wanted func(schedule.Game) bool) (count int) {
	for _, g := range games {
		if wanted(g) {
			count++
		}
	}
	return count
}

// naming says what names something; empty: nothing does.
func naming(c *api.Call, by league.Naming, games int) string {
	var list []string
	if by.Ice > 0 {
		list = append(list, say(c, "season.named_by_ice", "count", strconv.Itoa(by.Ice)))
	}
	if len(by.Teams) > 0 {
		list = append(list, say(c, "season.named_by_teams", "teams", message.Plain(strings.Join(by.Teams, ", "))))
	}
	if len(by.Drives) > 0 {
		list = append(list, say(c, "season.named_by_drives", "rinks", message.Plain(strings.Join(by.Drives, ", "))))
	}
	if games > 0 {
		list = append(list, say(c, "season.named_by_games", "count", strconv.Itoa(games)))
	}
	return strings.Join(list, "; ")
}

// fresh are the lines of a text that another has not.
func fresh(before, after []byte) []string {
	had := map[string]int{}
	for line := range strings.SplitSeq(string(before), "\n") {
		had[strings.TrimSpace(line)]++
	}
	list := []string{}
	for line := range strings.SplitSeq(string(after), "\n") {
		key := strings.TrimSpace(line)
		if had[key]--; had[key] < 0 && key != "" {
			list = append(list, line)
		}
	}
	return list
}
