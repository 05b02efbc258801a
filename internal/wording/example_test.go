package wording_test

import (
	"fmt"
	"testing"

	"whistlestop/game/message"
	"whistlestop/internal/locale"
	"whistlestop/internal/wording"
)

func ExampleSeat() {
	fmt.Println(wording.Seat(locale.English(), "box_home"))
	fmt.Println(wording.Seat(locale.English(), "door"))
	// Output:
	// home penalty box
	// door
}

// What stands in a file may try to look like something else; nested sentences too.
func TestWhatCannotBeSeenIsMarked(t *testing.T) {
	say := message.Say{Key: "file.plain", Args: message.Pairs("text", "a\u202eb", "why", "@"+message.Say{Key: "file.plain", Args: message.Pairs("text", "c\u202ed")}.String())}
	got := wording.Visible(say)
	for _, arg := range got.Args {
		for _, r := range arg.Text {
			if r == '\u202e' {
				t.Errorf("%q", arg.Text)
			}
		}
	}
	if say.Args[0].Text != "a\u202eb" {
		t.Error("what was handed over is changed")
	}
}
