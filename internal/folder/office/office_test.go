package office_test

import (
	"errors"
	"fmt"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/office"
	"whistlestop/record/person"
)

// memory is a file that is not on disk.
type memory struct{ text []byte }

func (m *memory) Read() ([]byte, error) { return m.text, nil }

func (m *memory) Write(text []byte) error { m.text = text; return nil }

func team(name string, numbers ...entry.Jersey) entry.Team {
	t := entry.Team{Name: name}
	for _, n := range numbers {
		t.Players = append(t.Players, entry.Player{Number: n})
	}
	return t
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func TestTheLastRosterIsKept(t *testing.T) {
	teams := &memory{}
	o := office.New(teams, &memory{})
	must(t, o.KeepTeam(team("Millrace", "7")))
	must(t, o.KeepTeam(team("Kelp Bay", "1", "2")))
	must(t, o.KeepTeam(team("kelp  bay", "9")))
	list, err := office.New(teams, &memory{}).Teams()
	must(t, err)
	if len(list) != 2 || list[0].Name != "kelp  bay" || list[0].Players[0].Number != "9" || list[1].Name != "Millrace" {
		t.Errorf("%+v", list)
	}
	must(t, o.ForgetTeam("KELP BAY"))
	if list, err := o.Teams(); err != nil || len(list) != 1 {
		t.Errorf("%+v %v", list, err)
	}
	for i := range 299 {
		must(t, o.KeepTeam(team(fmt.Sprint("Team ", i))))
	}
	if err := o.KeepTeam(team("One more")); !errors.Is(err, office.ErrFull) {
		t.Errorf("%v", err)
	}
	must(t, o.KeepTeam(team("Millrace", "8"))) // in place of the old one
}

func TestShares(t *testing.T) {
	shared := &memory{}
	o := office.New(&memory{}, shared)
	if on, err := o.Shared("a"); on || err != nil {
		t.Errorf("shared by default (%v)", err)
	}
	must(t, o.Share("a", true))
	must(t, o.Share("b", true))
	must(t, o.Share("b", false))
	again := office.New(&memory{}, shared)
	if a, _ := again.Shared("a"); !a {
		t.Error("a is forgotten")
	}
	if b, _ := again.Shared("b"); b {
		t.Error("b is still shared")
	}
	shared.text = []byte("damaged")
	if on, err := o.Shared("a"); on || err == nil {
		t.Error("a damaged file shares")
	}
	if err := o.Share("c", true); err == nil || string(shared.text) != "damaged" {
		t.Error("a damaged file was written over")
	}
}

func TestAPersonIsTakenOutOfTheBook(t *testing.T) {
	teams := &memory{}
	o := office.New(teams, &memory{})
	of := func(name string, people ...string) entry.Team {
		t := entry.Team{Name: name, Staff: []entry.Official{{Name: people[0]}}}
		for _, one := range people[1:] {
			t.Players = append(t.Players, entry.Player{Name: one})
		}
		return t
	}
	must(t, o.KeepTeam(of("Kelp Bay", "Petra Windle", "Rowan Tidewell", "Idris Calloway")))
	must(t, o.KeepTeam(of("Millrace", "rowan tidewell", "Ines Holt")))
	must(t, o.KeepTeam(of("Northmole", "Ada Brook", "Rowan Tide")))
	who, _ := person.Named("Rowan Tidewell")
	for _, act := range []func(person.Person) ([]string, error){o.Mentions, o.Mentions, o.Forget} {
		if names, err := act(who); err != nil || fmt.Sprint(names) != "[Kelp Bay Millrace]" {
			t.Errorf("%v, %v", names, err)
		}
	}
	if names, err := o.Forget(who); err != nil || len(names) != 0 {
		t.Errorf("again: %v, %v", names, err)
	}
	list, err := o.Teams()
	must(t, err)
	if len(list) != 3 || len(list[0].Players) != 1 || len(list[1].Staff) != 0 || len(list[1].Players) != 1 || len(list[2].Players) != 1 {
		t.Errorf("the book is %+v", list)
	}
}
