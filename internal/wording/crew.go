package wording

import (
	"strconv"
	"strings"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
)

// Seat names a seat: the usual ones by the words of the bench.
func Seat(w Words, id string) string {
	switch id {
	case "clock", "book", "box", "box_home", "box_visitors", "shots", "voice":
		return Say(w, "crew.seat."+id)
	}
	return id
}

// PeopleFindings say what is wrong with a list of people.
func PeopleFindings(w Words, list []people.Finding) []string {
	var lines []string
	for _, f := range list {
		lines = append(lines, Say(w, "people."+string(f.Kind), "line", strconv.Itoa(f.Line), "column", f.Column, "text", f.Text))
	}
	return lines
}

// Crew says things of a rota.
type Crew struct {
	Words Words
	Rota  desk.Rota
}

func (c Crew) say(key string, pairs ...string) string { return Say(c.Words, key, pairs...) }

// Game names a game of the plan by its place there.
func (c Crew) Game(game int) string {
	g := c.Rota.Plan.Games[game]
	return c.say("command.crew.game", "day", g.Day.String(), "start", g.Start.String(), "home", c.Rota.League.TeamName(g.Teams[0]), "visitors", c.Rota.League.TeamName(g.Teams[1]), "id", g.ID)
}

// slot is what a sentence needs to name a slot.
func (c Crew) slot(slot int) []string {
	s := c.Rota.Plan.Slots[slot]
	return []string{"seat", Seat(c.Words, s.Seat.ID), "game", c.Game(s.Game)}
}

func (c Crew) of(slot int, key string, pairs ...string) string {
	return c.say(key, append(c.slot(slot), pairs...)...)
}

// Reason is why somebody may not take a seat.
func (c Crew) Reason(reason seating.Reason) string { return c.say("crew.reason." + string(reason)) }

// Reasons counts how many people each reason keeps from a slot; once people were
// asked, also how many other duties keep.
func (c Crew) Reasons(slot int, asked bool) string {
	out, busy := c.Rota.Plan.WhyEmpty(slot)
	var list []string
	for _, reason := range seating.Reasons {
		if n := out[reason]; n > 0 {
			list = append(list, c.say("command.crew.counted", "count", strconv.Itoa(n), "reason", c.Reason(reason)))
		}
	}
	if busy > 0 && asked {
		list = append(list, c.say("command.crew.counted", "count", strconv.Itoa(busy), "reason", c.say("crew.reason.busy")))
	}
	return strings.Join(list, "; ")
}

// Empty says that nobody sits in a slot, and why.
func (c Crew) Empty(slot int) string {
	return c.of(slot, "command.crew.empty", "reasons", c.Reasons(slot, true))
}

// Missing says which seats few people can take, and how many seats there are.
func (c Crew) Missing(list []desk.Few) []string {
	var lines []string
	for _, one := range list {
		lines = append(lines, c.of(one.Slot, "command.crew.few", "count", strconv.Itoa(one.Can), "reasons", c.Reasons(one.Slot, false)))
	}
	plan := c.Rota.Plan
	return append(lines, c.say("command.crew.missing", "seats", strconv.Itoa(len(plan.Slots)), "few", strconv.Itoa(len(list)), "people", strconv.Itoa(len(plan.People)), "families", strconv.Itoa(len(plan.Families))))
}

// Made says what came of making a rota: whom to ask, what is empty, how good it is,
// and what each family has. Known: there was one that people knew.
func (c Crew) Made(made desk.Made, file string, known bool) []string {
	var lines []string
	for _, b := range made.Broken {
		reason := c.Reason(b.Reason)
		if b.Reason == "" {
			reason = c.say("crew.rule.learner")
		}
		lines = append(lines, c.of(b.Slot, "command.crew.broken", "name", c.Rota.Plan.People[b.Person].Name, "reason", reason))
	}
	for _, slot := range made.Empty {
		lines = append(lines, c.Empty(slot))
	}
	lines = append(lines, c.say("command.crew.made", "file", file, "seats", strconv.Itoa(len(c.Rota.Plan.Slots)), "empty", strconv.Itoa(len(made.Empty)), "cost", strconv.Itoa(made.Cost), "bound", strconv.Itoa(made.Bound)))
	if known {
		lines = append(lines, c.say("command.crew.changed", "count", strconv.Itoa(made.Changed)))
	}
	for _, s := range c.Rota.Shares() {
		lines = append(lines, c.say("command.crew.family", "family", s.Family, "share", strconv.Itoa(s.Share), "duties", strconv.Itoa(s.Duties)))
	}
	return lines
}

// Why says how somebody stands to a slot.
func (c Crew) Why(slot int, why desk.Why) string {
	switch why.Verdict {
	case desk.Sits:
		return c.of(slot, "command.crew.taken", "name", why.Name)
	case desk.Barred:
		return c.of(slot, "command.crew.why", "name", why.Name, "reason", c.Reason(why.Reason))
	case desk.Against:
		return c.of(slot, "command.crew.why", "name", why.Name, "reason", c.say("crew.rule."+why.Rule))
	case desk.Could:
		return c.of(slot, "command.crew.could", "name", why.Name, "share", strconv.Itoa(why.Share.Share), "duties", strconv.Itoa(why.Share.Duties))
	case desk.Empty:
	}
	return c.Empty(slot)
}

// Next says who could take a slot, the best first.
func (c Crew) Next(slot int, list []desk.Choice) []string {
	if len(list) == 0 {
		return []string{c.of(slot, "command.crew.none", "reasons", c.Reasons(slot, true))}
	}
	var lines []string
	for i, one := range list {
		lines = append(lines, c.say("command.crew.next", "place", strconv.Itoa(i+1), "name", c.Rota.Plan.People[one.Person].Name, "share", strconv.Itoa(one.Share.Share), "duties", strconv.Itoa(one.Share.Duties)))
	}
	return lines
}

// Table is the rota as rows, under titles: all of it, or one person's.
func (c Crew) Table(name string) [][]string {
	lines := [][]string{titles(c.Words, "command.crew.column.", "day", "there", "game", "rink", "seat", "name", "family", "accepted")}
	plan := c.Rota.Plan
	for i, slot := range plan.Slots {
		game, who := plan.Games[slot.Game], duties.Who{}
		if v := c.Rota.Who[i]; v != rota.Nobody {
			who = duties.Who{Name: plan.People[v].Name, Family: plan.People[v].Family}
		}
		if name != "" && who.Name != name {
			continue
		}
		answer := ""
		if c.Rota.Accepted[i] {
			answer = c.say("command.crew.yes")
		}
		lines = append(lines, []string{
			game.Day.String(), desk.There(plan, i).String(), c.Game(slot.Game), c.Rota.League.RinkName(game.Rink), Seat(c.Words, slot.Seat.ID), who.Name, who.Family, answer,
		})
	}
	return lines
}
