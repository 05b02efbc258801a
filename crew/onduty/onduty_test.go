package onduty

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"whistlestop/crew/duties"
)

var (
	clock = Seat{ID: "clock", Kind: "clock", There: 585, Name: "Maren H", Came: "AAAA-2222", Missed: "BBBB-2222", Unmarked: "CCCC-2222"}
	book  = Seat{ID: "book", Kind: "book", There: 585, Name: "Ida V", Mark: duties.Came, Came: "AAAA-3333", Missed: "BBBB-3333", Unmarked: "CCCC-3333"}
	whole = File{Version: 1, League: "Harbour League", Games: []Game{
		{ID: "u14-001", Day: 20730, Start: 600, Home: "Kelp Bay", Visitors: "Northmole", Seats: []Seat{clock, book}},
		{ID: "u14-002", Day: 20731, Start: 600, Home: "Kelp Bay", Visitors: "Northmole", Seats: []Seat{clock}},
		{ID: "u14-003", Day: 20732, Start: 600, Home: "Kelp Bay", Visitors: "Northmole", Seats: []Seat{clock}},
		{ID: "u14-004", Day: 20732, Start: 900, Home: "Kelp Bay", Visitors: "Northmole", Seats: []Seat{clock}},
	}}
)

func Example() {
	text, _ := whole.Keep()
	file, _ := Read(text)
	game, _ := file.Find(Wanted{Schedule: "u14-001"})
	noted := Noted{}.With(game.ID, game.Seats[0], duties.Came)
	fmt.Println(game.Seats[0].Name, noted.Of(game.ID, game.Seats[0]))
	fmt.Print(noted.Codes(game.ID))
	// Output:
	// Maren H came
	// AAAA-2222
}

func TestAFileIsReadWholeOrNotAtAll(t *testing.T) {
	text, err := whole.Keep()
	if err != nil {
		t.Fatal(err)
	}
	if got, err := Read(text); err != nil || !reflect.DeepEqual(got, whole) {
		t.Fatal(got, err)
	}
	for name, change := range map[string][2]string{
		"another form":     {`"version": 1`, `"version": 2`},
		"a field too many": {`"league"`, `"phone": "1", "league"`},
		"no code":          {`"AAAA-2222"`, `""`},
		"no such mark":     {`"mark": "came"`, `"mark": "asked"`},
		"a long name":      {`"Maren H"`, `"` + strings.Repeat("n", textMost+1) + `"`},
		"cut off":          {`]`, ``},
	} {
		if _, err := Read([]byte(strings.Replace(string(text), change[0], change[1], 1))); err == nil {
			t.Errorf("%s: it is read", name)
		}
	}
}

// A game opened by hand is found by day and teams, but not where two games fit.
func TestFind(t *testing.T) {
	for _, c := range []struct {
		wanted Wanted
		id     string
	}{
		{Wanted{Schedule: "u14-003", Day: 1}, "u14-003"},
		{Wanted{Schedule: "u12-001", Day: 20730, Home: "Kelp Bay", Visitors: "Northmole"}, ""},
		{Wanted{Day: 20731, Home: "kelp bay ", Visitors: "Northmole"}, "u14-002"},
		{Wanted{Day: 20731, Home: "Northmole", Visitors: "Kelp Bay"}, ""},
		{Wanted{Day: 20732, Home: "Kelp Bay", Visitors: "Northmole"}, ""},
		{Wanted{}, ""},
	} {
		if game, known := whole.Find(c.wanted); game.ID != c.id || known != (c.id != "") {
			t.Errorf("%+v: %q %v", c.wanted, game.ID, known)
		}
	}
}

// What the bench noted holds over the file, the last of it, and only of the person of
// whom it was noted.
func TestNoted(t *testing.T) {
	n, err := ReadNoted(nil)
	if err != nil || n.Of("u14-001", clock) != "" || n.Of("u14-001", book) != duties.Came {
		t.Fatal(n, err)
	}
	n = n.With("u14-001", clock, duties.Missed).With("u14-001", clock, duties.Came).With("u14-001", book, duties.Unmarked)
	if n.Of("u14-001", clock) != duties.Came || n.Of("u14-001", book) != "" || n.Of("u14-002", clock) != "" {
		t.Errorf("%+v", n)
	}
	other := clock
	other.Name, other.Came, other.Missed, other.Unmarked = "Jon H", "AAAA-4444", "BBBB-4444", "CCCC-4444"
	if n.Of("u14-001", other) != "" {
		t.Error("what was noted of one is said of another")
	}
	if got := n.With("u14-001", other, duties.Came).Codes(""); got != "AAAA-2222\nCCCC-3333\nAAAA-4444\n" {
		t.Errorf("%q", got)
	}
	text, err := n.Keep()
	if again, err2 := ReadNoted(text); err != nil || err2 != nil || !reflect.DeepEqual(again, n) {
		t.Error(again, err, err2)
	}
	if _, err := ReadNoted([]byte(`{"version":2,"lines":[]}`)); err == nil {
		t.Error("another form is read")
	}
}
