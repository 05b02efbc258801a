package tally

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"whistlestop/game/message"
	"whistlestop/season/standings"
)

// Change is something that is different for people between two values of a season.
type Change struct {
	Who  string      `json:"who,omitempty"`  // the person's key
	Team string      `json:"team,omitempty"` // by its id
	Game string      `json:"game,omitempty"`
	Say  message.Say `json:"say"`
}

// Changes lists what a later value of a season has changed for people: results,
// places, what is owed and served, and figures. Nothing is undone without a line here.
func Changes(before, after Season) []Change {
	c := &changes{before: before, after: after, list: []Change{}}
	c.results()
	c.suspensions()
	c.places()
	c.skaters()
	c.keepers()
	return c.list
}

type changes struct {
	before, after Season
	list          []Change
}

func (c *changes) add(who, team, game, key string, pairs ...string) {
	c.list = append(c.list, Change{Who: who, Team: team, Game: game, Say: message.Say{Key: key, Args: message.Pairs(pairs...)}})
}

// teamNames are the teams' names by id.
func (s Season) teamNames() map[string]string {
	names := map[string]string{}
	for _, d := range s.Divisions {
		for _, p := range d.Places {
			names[p.Team] = p.Name
		}
	}
	return names
}

func gameText(g Game, names map[string]string) string {
	name := func(id string) string { return cmp.Or(names[id], id) }
	return message.Nested("tally.game_name", "home", name(g.Home), "visitors", name(g.Visitors), "id", g.ID)
}

// results are games whose result or state is another one.
func (c *changes) results() {
	was := map[string]Game{}
	for _, g := range c.before.Games {
		was[g.ID] = g
	}
	names := c.after.teamNames()
	score := func(r *Result) string {
		if r == nil {
			return "@tally.no_result"
		}
		home, visitors := strconv.Itoa(r.Goals[0]), strconv.Itoa(r.Goals[1])
		if r.How == standings.Regulation {
			return message.Nested("tally.score", "home", home, "visitors", visitors)
		}
		return message.Nested("tally.score_how", "home", home, "visitors", visitors, "how", "@tally.how."+string(r.How))
	}
	for _, g := range c.after.Games {
		old, known := was[g.ID]
		if !known {
			continue
		}
		switch a, b := old.Result, g.Result; {
		case (a == nil) != (b == nil), a != nil && (a.Goals != b.Goals || a.How != b.How):
			c.add("", "", g.ID, "tally.changed_result", "game", gameText(g, names), "was", score(a), "is", score(b))
		case a != nil && a.Counts != b.Counts && b.Counts:
			c.add("", "", g.ID, "tally.changed_counts", "game", gameText(g, names))
		case a != nil && a.Counts != b.Counts:
			c.add("", "", g.ID, "tally.changed_counts_not", "game", gameText(g, names))
		case old.State != g.State:
			c.add("", "", g.ID, "tally.changed_state", "game", gameText(g, names), "was", "@schedule.state."+string(old.State), "is", "@schedule.state."+string(g.State))
		}
	}
}

// suspensions are what somebody owes now and did not, or no longer, and in which games.
func (c *changes) suspensions() {
	type key struct {
		who, game, why string
		nth            int
	}
	index := func(list []Suspension) map[key]Suspension {
		of := map[key]Suspension{}
		for _, s := range list {
			k := key{s.Who, s.Game, s.Why, 0}
			for _, taken := of[k]; taken; _, taken = of[k] {
				k.nth++
			}
			of[k] = s
		}
		return of
	}
	old, now := index(c.before.Suspensions), index(c.after.Suspensions)
	keys := make([]key, 0, len(old)+len(now))
	for k := range old {
		keys = append(keys, k)
	}
	for k := range now {
		if _, both := old[k]; !both {
			keys = append(keys, k)
		}
	}
	slices.SortFunc(keys, func(a, b key) int {
		return cmp.Or(cmp.Compare(a.who, b.who), cmp.Compare(a.game, b.game), cmp.Compare(a.why, b.why), a.nth-b.nth)
	})
	for _, k := range keys {
		a, was := old[k]
		b, is := now[k]
		switch {
		case !was:
			c.add(k.who, b.Team, k.game, "tally.changed_owes", "who", b.Name, "games", gamesText(b), "why", b.Why)
		case !is && len(a.Served) > 0:
			c.add(k.who, a.Team, k.game, "tally.changed_served_for_nothing", "who", a.Name, "why", a.Why, "served", strconv.Itoa(len(a.Served)))
		case !is:
			c.add(k.who, a.Team, k.game, "tally.changed_owes_not", "who", a.Name, "games", gamesText(a), "why", a.Why)
		default:
			c.suspension(a, b)
		}
	}
}

func gamesText(s Suspension) string {
	if s.Ruling {
		return "@tally.until_ruling"
	}
	return strconv.Itoa(s.Games)
}

func (c *changes) suspension(a, b Suspension) {
	if gamesText(a) != gamesText(b) {
		c.add(b.Who, b.Team, b.Game, "tally.changed_length", "who", b.Name, "why", b.Why, "was", gamesText(a), "is", gamesText(b))
	}
	for _, served := range a.Served {
		if !slices.ContainsFunc(b.Served, func(s Served) bool { return s.Game == served.Game }) {
			c.add(b.Who, b.Team, served.Game, "tally.changed_served_not", "who", b.Name, "why", b.Why, "game", served.Game)
		}
	}
	for _, served := range b.Served {
		if !slices.ContainsFunc(a.Served, func(s Served) bool { return s.Game == served.Game }) {
			c.add(b.Who, b.Team, served.Game, "tally.changed_served", "who", b.Name, "why", b.Why, "game", served.Game)
		}
	}
	served := func(game string) bool {
		return slices.ContainsFunc(b.Served, func(s Served) bool { return s.Game == game })
	}
	for _, game := range a.Next {
		if !slices.Contains(b.Next, game) && !served(game) {
			c.add(b.Who, b.Team, game, "tally.changed_free", "who", b.Name, "why", b.Why, "game", game)
		}
	}
	for _, game := range b.Next {
		if !slices.Contains(a.Next, game) {
			c.add(b.Who, b.Team, game, "tally.changed_out", "who", b.Name, "why", b.Why, "game", game)
		}
	}
}

// places are teams that stand elsewhere, or have other points.
func (c *changes) places() {
	was := map[string]Place{}
	for _, d := range c.before.Divisions {
		for _, p := range d.Places {
			was[p.Team] = p
		}
	}
	for _, d := range c.after.Divisions {
		for _, p := range d.Places {
			if old, known := was[p.Team]; known && (old.Place != p.Place || old.Points != p.Points) {
				c.add("", p.Team, "", "tally.changed_place", "team", p.Name, "division", d.Name, "place_was", strconv.Itoa(old.Place),
					"place", strconv.Itoa(p.Place), "points_was", strconv.Itoa(old.Points), "points", strconv.Itoa(p.Points))
			}
		}
	}
}

// figure is one figure before and after.
type figure struct {
	key     string
	was, is int
}

func (c *changes) figures(who, team, name string, list []figure) {
	var changed []string
	for _, f := range list {
		if f.was != f.is {
			changed = append(changed, message.Nested("tally.figure", "figure", "@command.figures."+f.key, "was", strconv.Itoa(f.was), "is", strconv.Itoa(f.is)))
		}
	}
	for _, one := range changed {
		c.add(who, team, "", "tally.changed_figure", "who", name, "figure", one)
	}
}

func (c *changes) skaters() {
	was := map[string]Skater{}
	for _, l := range c.before.Skaters {
		was[fmt.Sprint(l.Line)] = l
	}
	pairs := func(a, b Skater) []figure {
		return []figure{
			{"played", a.Played, b.Played}, {"goals", a.Goals, b.Goals}, {"assists", a.Assists, b.Assists},
			{"minutes", a.Minutes, b.Minutes}, {"plus_minus", a.PlusMinus(), b.PlusMinus()}, {"power_play", a.PowerPlay, b.PowerPlay},
			{"short_handed", a.ShortHanded, b.ShortHanded}, {"winning", a.Winning, b.Winning},
		}
	}
	seen := map[string]bool{}
	for _, l := range c.after.Skaters {
		key := fmt.Sprint(l.Line)
		seen[key] = true
		c.figures(string(l.Who), string(l.Team), l.Name, pairs(was[key], l))
	}
	for _, l := range c.before.Skaters {
		if !seen[fmt.Sprint(l.Line)] {
			c.figures(string(l.Who), string(l.Team), l.Name, pairs(l, Skater{}))
		}
	}
}

func (c *changes) keepers() {
	was := map[string]Keeper{}
	for _, l := range c.before.Keepers {
		was[fmt.Sprint(l.Line)] = l
	}
	pairs := func(a, b Keeper) []figure {
		return []figure{
			{"played", a.Played, b.Played}, {"won", a.Wins, b.Wins}, {"lost", a.Losses, b.Losses}, {"late_lost", a.LateLosses, b.LateLosses},
			{"drawn", a.Draws, b.Draws}, {"shutouts", a.Shutouts, b.Shutouts}, {"against", a.Against, b.Against}, {"shots", a.Shots, b.Shots},
		}
	}
	seen := map[string]bool{}
	for _, l := range c.after.Keepers {
		key := fmt.Sprint(l.Line)
		seen[key] = true
		c.figures(string(l.Who), string(l.Team), l.Name, pairs(was[key], l))
	}
	for _, l := range c.before.Keepers {
		if !seen[fmt.Sprint(l.Line)] {
			c.figures(string(l.Who), string(l.Team), l.Name, pairs(l, Keeper{}))
		}
	}
}

// Of keeps the changes of a person, or of a team with its people.
func Of(list []Change, key string) []Change {
	return slices.DeleteFunc(slices.Clone(list), func(c Change) bool { return c.Who != key && c.Team != key })
}
