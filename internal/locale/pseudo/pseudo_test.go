package pseudo

import (
	"slices"
	"testing"

	"whistlestop/game/message"
	"whistlestop/internal/locale"
)

func TestEveryLetterIsChangedAndEveryGapStays(t *testing.T) {
	if got, want := Text("It was {ago} s ago, {most}."), "Ïŧ ŵåš {ago} š åğö, {most}."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	words, there := Spoken().Best(Tag)
	if !there || words.Language() != Tag {
		t.Fatalf("got %s, there: %v", words.Language(), there)
	}
	if got, want := words.Keys(), locale.English().Keys(); !slices.Equal(got, want) {
		t.Errorf("%d keys of %d", len(got), len(want))
	}
	for _, key := range words.Keys() {
		if left := Left(gap.ReplaceAllString(words.Text(key, nil), " ")); len(left) > 0 {
			t.Errorf("%s still says %q", key, left)
		}
	}
	if got, want := words.Error(message.New("command.no_code", "code", "x", "codes", "y")), "x"; got == locale.English().Error(message.New("command.no_code", "code", "x", "codes", "y")) || len(got) < len(want) {
		t.Errorf("got %q", got)
	}
}

func TestWhatIsLeftIsFound(t *testing.T) {
	if got := Left("Ŧħë clock of Kelp Bay, 12 a", "Kelp Bay"); !slices.Equal(got, []string{"clock", "of"}) {
		t.Errorf("got %q", got)
	}
}
