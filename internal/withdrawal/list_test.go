package withdrawal

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/privatefile"
)

// What was noted is there after a start, once, whatever was noted of a game before.
func TestTheListGrowsAndIsReadAgain(t *testing.T) {
	file := privatefile.At(filepath.Join(t.TempDir(), ListFile))
	list, err := ReadList(file)
	if err != nil || len(list.Games()) != 0 {
		t.Fatalf("%v, %v", list.Games(), err)
	}
	for _, more := range []bench.Gone{
		{Texts: []string{"b"}, Places: map[string][]int{"one": {2}}},
		{Texts: []string{"a", "b"}, Places: map[string][]int{"one": {0, 2}, "two": {1}}},
	} {
		if err := list.add("game", more); err != nil {
			t.Fatal(err)
		}
	}
	again, err := ReadList(file)
	want := bench.Gone{Texts: []string{"a", "b"}, Places: map[string][]int{"one": {0, 2}, "two": {1}}}
	if err != nil || !reflect.DeepEqual(again.Of("game"), want) || !reflect.DeepEqual(again.Games(), []string{"game"}) {
		t.Errorf("%+v, %v", again.Of("game"), err)
	}
	scrub := again.Scrub()
	if !scrub.Beside(entry.Name{Game: "game", Commitment: "a"}) || scrub.Beside(entry.Name{Game: "other", Commitment: "a"}) {
		t.Error("a name beside a ledger goes by its commitment and its game")
	}
}

func TestGamesWhoseNamesEndedAreReadAgain(t *testing.T) {
	file := privatefile.At(filepath.Join(t.TempDir(), EndedFile))
	ended, err := ReadEnded(file)
	if err != nil || ended.Some() {
		t.Fatal(ended.Some(), err)
	}
	for _, games := range [][]string{{"two"}, {"one", "two"}} {
		if err := ended.add(games); err != nil {
			t.Fatal(err)
		}
	}
	again, err := ReadEnded(file)
	if err != nil || !again.Some() || !again.Has("one") || again.Has("three") || !again.Scrub().Beside(entry.Name{Game: "two"}) {
		t.Errorf("%+v, %v", again, err)
	}
}

// A damaged list is said, and nothing is written over it before it is read.
func TestADamagedListIsSaid(t *testing.T) {
	path := filepath.Join(t.TempDir(), "list")
	if err := os.WriteFile(path, []byte(`{"game":`), 0o600); err != nil {
		t.Fatal(err)
	}
	if list, err := ReadList(privatefile.At(path)); err == nil || len(list.Games()) != 0 {
		t.Error("a damaged list was read")
	}
	if ended, err := ReadEnded(privatefile.At(path)); err == nil || ended.Some() {
		t.Error("a damaged list of games was read")
	}
	if text, err := os.ReadFile(path); err != nil || string(text) != `{"game":` {
		t.Errorf("%q, %v", text, err)
	}
}
