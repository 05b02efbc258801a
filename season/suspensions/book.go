package suspensions

import (
	_ "embed"
	"maps"
	"slices"
	"strings"
	"sync"

	"whistlestop/game/datafile"
	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// Trigger is one rule that costs games: what has to happen, and how many. What is
// left out of it does not matter.
type Trigger struct {
	Why string `toml:"why"` // rule number, as people cite it

	Age     string       `toml:"age"`      // youth or adult only
	Parts   []entry.Part `toml:"parts"`    // a call with all of these
	Fights  bool         `toml:"fighting"` // a call for fighting
	Attacks bool         `toml:"aggressive"`
	Listed  bool         `toml:"listed"` // a call of the book's list: costs the least number there. Without the list only what a call itself says
	Last    int          `toml:"last_minutes"`

	InGame          int   `toml:"in_game"`         // so many such parts of one person in a game
	Penalties       int   `toml:"penalties"`       // so many penalties of one person in a game
	Minutes         int   `toml:"minutes"`         // so many penalty minutes of one person in a game
	Unsportsmanlike bool  `toml:"unsportsmanlike"` // one of them for conduct
	TeamPenalties   int   `toml:"team_penalties"`  // so many of a team in a game: for its head coach
	TeamMajors      int   `toml:"team_majors"`     //
	UsedSuspended   bool  `toml:"used_suspended"`  // a suspended player took part: for the head coach
	SeasonMinutes   int   `toml:"season_minutes"`  // more than so many over the season
	EachFurther     int   `toml:"each_further"`    // and again after so many more
	SeasonCount     bool  `toml:"over_season"`     // Season says what the n-th of a season costs
	Season          []int `toml:"season"`          // games for the first, second...; the last for all that follow; -1: until a ruling

	Games   int  `toml:"games"`    // -1: until a ruling
	Adds    bool `toml:"adds"`     // on top of what else the game costs; otherwise the most counts
	AnyTeam bool `toml:"any_team"` // the next games of any team of the person
}

// untilRuling is the number of games of a suspension that only a ruling ends.
const untilRuling = -1

// Serving is how suspensions are served. Every question has to be answered: there is
// no default that nobody sees.
type Serving struct {
	Team       string   `toml:"team"`        // same, first (of first approval) or any
	Kinds      []string `toml:"kinds"`       // of games that serve
	Elsewhere  string   `toml:"elsewhere"`   // until served, for other teams: may_play or no_game
	Postponed  string   `toml:"postponed"`   // next_played or that_game
	Forfeit    string   `toml:"forfeit"`     // serves or does_not_serve
	Abandoned  string   `toml:"abandoned"`   // the same, of a game that was begun and not ended
	AddedLater string   `toml:"added_later"` // the same, of a game arranged after the offence
	Several    string   `toml:"several"`     // one_after_the_other or together
	Playoffs   string   `toml:"playoffs"`    // as_any_game, or apart: each kind serves its own
	SeasonEnd  string   `toml:"season_end"`  // what is left then: carried_over or lapses
	Coaches    string   `toml:"coaches"`     // may_coach_others or no_team
	Counts     string   `toml:"counts"`      // who has to know: team, league or office

	// BlocksAll is how books said Elsewhere before they named its answers.
	BlocksAll *bool `toml:"blocks_all"`
}

// Questions are the settings of Serving and their answers, in the order in which a
// league is asked.
var Questions = []struct {
	Setting string
	Answers []string
	value   func(*Serving) *string
}{
	{"team", []string{"same", "first", "any"}, func(s *Serving) *string { return &s.Team }},
	{"elsewhere", []string{"may_play", "no_game"}, func(s *Serving) *string { return &s.Elsewhere }},
	{"postponed", []string{"next_played", "that_game"}, func(s *Serving) *string { return &s.Postponed }},
	{"forfeit", []string{"serves", "does_not_serve"}, func(s *Serving) *string { return &s.Forfeit }},
	{"abandoned", []string{"serves", "does_not_serve"}, func(s *Serving) *string { return &s.Abandoned }},
	{"added_later", []string{"serves", "does_not_serve"}, func(s *Serving) *string { return &s.AddedLater }},
	{"several", []string{"one_after_the_other", "together"}, func(s *Serving) *string { return &s.Several }},
	{"playoffs", []string{"as_any_game", "apart"}, func(s *Serving) *string { return &s.Playoffs }},
	{"season_end", []string{"carried_over", "lapses"}, func(s *Serving) *string { return &s.SeasonEnd }},
	{"coaches", []string{"may_coach_others", "no_team"}, func(s *Serving) *string { return &s.Coaches }},
	{"counts", []string{"team", "league", "office"}, func(s *Serving) *string { return &s.Counts }},
}

// Kinds of games that a book or a league may name.
var Kinds = []string{"league", "tournament", "playoff", "exhibition"}

// Validate says which question is left open, or what is no answer.
func (s Serving) Validate() error {
	s = s.filled()
	for _, q := range Questions {
		if value := *q.value(&s); !slices.Contains(q.Answers, value) {
			return message.New("book.serving", "setting", q.Setting, "value", message.Plain(value), "known", strings.Join(q.Answers, ", "))
		}
	}
	if len(s.Kinds) == 0 {
		return message.New("book.kinds")
	}
	for _, kind := range s.Kinds {
		if !slices.Contains(Kinds, kind) {
			return message.New("book.kind", "kind", message.Plain(kind), "known", strings.Join(Kinds, ", "))
		}
	}
	return nil
}

// filled answers Elsewhere where an older book said it by its former name.
func (s Serving) filled() Serving {
	if s.Elsewhere == "" && s.BlocksAll != nil {
		s.Elsewhere = "may_play"
		if *s.BlocksAll {
			s.Elsewhere = "no_game"
		}
	}
	return s
}

// Book is a rule body's or a league's rules of suspension.
type Book struct {
	Source   string             `toml:"source"`
	Attacks  []string           `toml:"aggressive"` // ids of the calls that count as aggressive infractions
	Charges  map[entry.Part]int `toml:"charges"`    // minutes in the record
	Least    map[string]int     `toml:"least"`      // the league's list: games that a call costs at least, by the call's id
	Triggers []Trigger          `toml:"trigger"`
	Serving  Serving            `toml:"serving"`
}

// Validate says what is wrong with a book, or which question it leaves open.
func (b Book) Validate() error {
	if err := b.Serving.Validate(); err != nil {
		return err
	}
	for _, call := range slices.Sorted(maps.Keys(b.Least)) {
		if games := b.Least[call]; games < 1 {
			return message.New("book.least", "call", message.Plain(call), "games", games)
		}
	}
	if len(b.Least) > 0 && !slices.ContainsFunc(b.Triggers, func(t Trigger) bool { return t.Listed }) {
		return message.New("book.least_unused")
	}
	for _, t := range b.Triggers {
		if t.Why == "" {
			return message.New("book.trigger_why")
		}
		if !slices.Contains([]string{"", "youth", "adult"}, t.Age) {
			return message.New("book.age", "trigger", t.Why, "age", message.Plain(t.Age))
		}
		if t.SeasonCount != (len(t.Season) > 0) || t.Games < untilRuling || t.SeasonMinutes > 0 && t.EachFurther < 1 {
			return message.New("book.games", "trigger", t.Why)
		}
		for _, part := range t.Parts {
			if !slices.Contains(entry.Parts, part) {
				return message.New("book.part", "trigger", t.Why, "part", message.Plain(part))
			}
		}
	}
	return nil
}

//go:embed books.toml
var text []byte

// Books are the ready-made books by their id, each with its source.
func Books() map[string]Book { return maps.Clone(ready()) }

// Text is the file of the ready-made books: a league may begin its own with one of them.
func Text() []byte { return slices.Clone(text) }

var ready = sync.OnceValue(func() map[string]Book {
	list, err := ReadBooks(text, "books.toml")
	if err != nil {
		panic(err) // the file is part of the program
	}
	return list
})

// ReadBooks reads a file of books. Its errors name the line, or the book, and the reason.
func ReadBooks(text []byte, name string) (map[string]Book, error) {
	var list map[string]Book
	if err := datafile.Decode(text, name, &list); err != nil {
		return nil, err
	}
	for _, id := range slices.Sorted(maps.Keys(list)) {
		if err := list[id].Validate(); err != nil {
			return nil, message.At(name, datafile.LineOf(text, id), message.Because(err, "file.in_table", "table", id))
		}
	}
	return list, nil
}
