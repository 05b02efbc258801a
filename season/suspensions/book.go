package suspensions

import (
	_ "embed"
	"maps"
	"slices"
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
	Listed  bool         `toml:"listed"` // a call for which the league's list gives a least number
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
	BlocksAll  bool     `toml:"blocks_all"`  // no game for any team until served
	Postponed  string   `toml:"postponed"`   // next_played or that_game
	Forfeit    string   `toml:"forfeit"`     // serves or does_not_serve
	AddedLater string   `toml:"added_later"` // the same, of a game arranged after the offence
}

// Book is a rule body's or a league's rules of suspension.
type Book struct {
	Source   string             `toml:"source"`
	Attacks  []string           `toml:"aggressive"` // ids of the calls that count as aggressive infractions
	Charges  map[entry.Part]int `toml:"charges"`    // minutes in the record
	Triggers []Trigger          `toml:"trigger"`
	Serving  Serving            `toml:"serving"`
}

// Validate says what is wrong with a book, or which question it leaves open.
func (b Book) Validate() error {
	one := func(name, value string, of ...string) error {
		if !slices.Contains(of, value) {
			return message.New("book.serving", "setting", name, "value", message.Plain(value), "known", of)
		}
		return nil
	}
	for _, err := range []error{
		one("team", b.Serving.Team, "same", "first", "any"),
		one("postponed", b.Serving.Postponed, "next_played", "that_game"),
		one("forfeit", b.Serving.Forfeit, "serves", "does_not_serve"),
		one("added_later", b.Serving.AddedLater, "serves", "does_not_serve"),
	} {
		if err != nil {
			return err
		}
	}
	if len(b.Serving.Kinds) == 0 {
		return message.New("book.kinds")
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
