package office

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/record/person"
)

// File is where something is kept: only its owner may read it. Read returns nil
// for a file that is not there; Write returns when the file is safe.
type File interface {
	Read() ([]byte, error)
	Write(text []byte) error
}

// teamsMost is how many teams are kept. A league has some hundred; the file must
// stay small enough to be read.
const teamsMost = 300

// ErrFull is returned when too many teams are kept.
var ErrFull = errors.New("too many teams are kept")

// Office is safe for use by many goroutines.
type Office struct {
	teams, shared File
	mutex         sync.Mutex
}

// New returns the office of two files, which need not be there yet.
func New(teams, shared File) *Office { return &Office{teams: teams, shared: shared} }

// Teams lists the teams by name.
func (o *Office) Teams() ([]entry.Team, error) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	var list []entry.Team
	err := load(o.teams, &list)
	return list, err
}

// KeepTeam keeps a roster in place of the team's last one. Names that differ only
// in capital letters and spaces are one team.
func (o *Office) KeepTeam(team entry.Team) error {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	var list []entry.Team
	if err := load(o.teams, &list); err != nil {
		return err
	}
	list = slices.DeleteFunc(list, func(t entry.Team) bool { return same(t.Name, team.Name) })
	if len(list) >= teamsMost {
		return ErrFull
	}
	list = append(list, team)
	slices.SortFunc(list, func(a, b entry.Team) int {
		return cmp.Or(cmp.Compare(plain(a.Name), plain(b.Name)), cmp.Compare(a.Name, b.Name))
	})
	return save(o.teams, list)
}

// ForgetTeam takes a team out of the book: names of children are not kept for
// longer than they are needed.
func (o *Office) ForgetTeam(name string) error {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	var list []entry.Team
	if err := load(o.teams, &list); err != nil {
		return err
	}
	return save(o.teams, slices.DeleteFunc(list, func(t entry.Team) bool { return same(t.Name, name) }))
}

// Forget takes a person out of the book, and returns the names of the teams that
// had the person.
func (o *Office) Forget(who person.Person) ([]string, error) { return o.without(who, true) }

// Mentions returns the names of the teams that have a person.
func (o *Office) Mentions(who person.Person) ([]string, error) { return o.without(who, false) }

func (o *Office) without(who person.Person, write bool) ([]string, error) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	var list []entry.Team
	if err := load(o.teams, &list); err != nil {
		return nil, err
	}
	names := []string{}
	for i, team := range list {
		players := slices.DeleteFunc(slices.Clone(team.Players), func(p entry.Player) bool { return who.In(p.Name) })
		staff := slices.DeleteFunc(slices.Clone(team.Staff), func(o entry.Official) bool { return who.In(o.Name) })
		if len(players)+len(staff) < len(team.Players)+len(team.Staff) {
			names = append(names, team.Name)
			list[i].Players, list[i].Staff = players, staff
		}
	}
	if !write || len(names) == 0 {
		return names, nil
	}
	return names, save(o.teams, list)
}

// Shared reports whether anybody may read the report of a game.
func (o *Office) Shared(game string) (bool, error) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	var list []string
	err := load(o.shared, &list)
	return slices.Contains(list, game), err
}

// Share says whether anybody may read the report of a game.
func (o *Office) Share(game string, on bool) error {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	var list []string
	if err := load(o.shared, &list); err != nil {
		return err
	}
	list = slices.DeleteFunc(list, func(id string) bool { return id == game })
	if on {
		list = append(list, game)
	}
	slices.Sort(list)
	return save(o.shared, list)
}

func plain(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

func same(a, b string) bool { return plain(a) == plain(b) }

// load reads a file strictly. A damaged one is an error and stays as it is.
func load[T any](file File, into *[]T) error {
	raw, err := file.Read()
	if err != nil || raw == nil {
		return err
	}
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.DisallowUnknownFields()
	return decoder.Decode(into)
}

func save[T any](file File, list []T) error {
	if list == nil {
		list = []T{}
	}
	raw, err := json.MarshalIndent(list, "", "  ")
	if err != nil {
		return err
	}
	return file.Write(append(raw, '\n'))
}
