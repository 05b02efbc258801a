package tally

import (
	"slices"

	"whistlestop/season/figures"
)

// Behind is one thing that a figure of somebody's season counts: a game, and the entry
// of its ledger where there is one.
type Behind struct {
	Figure string `json:"figure"` // as the columns of the figures are named: goals, plus_minus, late_lost
	Game   string `json:"game"`
	Team   string `json:"team"`
	Ledger string `json:"ledger"`
	Entry  string `json:"entry,omitempty"`
	Count  int    `json:"count"` // how much of the figure it is
}

// Behind lists the games and entries behind the figures of a person, in the order of
// the schedule: their counts add up to the person's lines.
func (t *Tally) Behind(key string) []Behind {
	list := []Behind{}
	who := figures.Person(key)
	for _, id := range t.order {
		if g := t.games[id]; g.figures {
			b := behind{tally: t, game: g, who: who, of: t.figuresOf(g)}
			list = append(list, b.all()...)
		}
	}
	return list
}

// behind is one game looked through for one person.
type behind struct {
	tally *Tally
	game  *game
	who   figures.Person
	of    figures.Game
	list  []Behind
}

func (b *behind) add(figure string, side figures.Side, entry string, count int) {
	b.list = append(b.list, Behind{
		Figure: figure, Game: b.game.ID, Team: sideTeam(b.game, int(side)), Ledger: b.game.facts.Ledger, Entry: entry, Count: count,
	})
}

func (b *behind) all() []Behind {
	keeps := false
	for _, k := range b.of.Keepers {
		if k.Who == b.who {
			keeps = true
			b.keeper(k)
		}
	}
	for _, s := range b.of.Skaters {
		if s.Who == b.who {
			b.add("played", s.Side, "", 1)
			if s.Minutes > 0 {
				b.minutes(s.Side, int(s.Minutes))
			}
		}
	}
	b.goals(keeps)
	return b.list
}

func (b *behind) keeper(k figures.Keeper) {
	if k.Seconds > 0 {
		b.add("played", k.Side, "", 1)
		if k.Minutes > 0 {
			b.minutes(k.Side, k.Minutes)
		}
		if k.Against > 0 {
			b.add("against", k.Side, "", k.Against)
		}
		if k.Shots > 0 {
			b.add("shots", k.Side, "", k.Shots)
		}
	}
	results := map[figures.Result]string{figures.Win: "won", figures.Loss: "lost", figures.LateLoss: "late_lost", figures.Draw: "drawn"}
	if who, result := b.of.Decision(k.Side); who == b.who && result != figures.NoDecision {
		b.add(results[result], k.Side, "", 1)
	}
	if who, shut := b.of.Shutout(k.Side); shut && who == b.who {
		b.add("shutouts", k.Side, "", 1)
	}
}

// minutes are penalty minutes, with the entry where one call made them all.
func (b *behind) minutes(side figures.Side, minutes int) {
	var entries []string
	for i, c := range b.tally.people.callsOf(b.game.facts, int(side)) {
		if c.Who != "" && b.tally.callKey(b.game, int(side), c) == string(b.who) {
			entries = append(entries, b.game.facts.PenaltyEntries[side][i])
		}
	}
	entry := ""
	if len(entries) == 1 {
		entry = entries[0]
	}
	b.add("minutes", side, entry, minutes)
}

func (b *behind) goals(keeps bool) {
	winning, won := b.of.Winning()
	if b.tally.figures.LeadKept {
		winning, won = b.of.LeadKept()
	}
	for i, goal := range b.of.Goals {
		entry := b.game.facts.GoalEntries[i]
		if goal.By == b.who {
			b.add("goals", goal.Side, entry, 1)
			for _, kind := range []struct {
				is     bool
				figure string
			}{{goal.PowerPlay, "power_play"}, {goal.ShortHanded, "short_handed"}, {won && i == winning, "winning"}} {
				if kind.is && !keeps {
					b.add(kind.figure, goal.Side, entry, 1)
				}
			}
		}
		for _, who := range goal.Assists {
			if who == b.who {
				b.add("assists", goal.Side, entry, 1)
			}
		}
		if keeps || goal.PowerPlay || goal.PenaltyShot {
			continue
		}
		if slices.Contains(goal.Plus, b.who) {
			b.add("plus_minus", goal.Side, entry, 1)
		}
		if slices.Contains(goal.Minus, b.who) {
			b.add("plus_minus", 1-goal.Side, entry, -1)
		}
	}
}
