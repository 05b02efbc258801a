package lanes

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// named gives keys for words, with what fills their gaps.
func named(key string, pairs ...string) string { return key + strings.Join(pairs, " ") }

func goalAt(at entry.Millis, side entry.Side, scorer entry.Jersey) entry.Entry {
	return entry.Entry{At: entry.At{Period: 1, Elapsed: at}, Body: entry.Goal{Side: side, Scorer: scorer, Unassisted: true}}
}

// wholeOf is the picture of an invented game of one period.
func wholeOf(t *testing.T, calls ...entry.Entry) (rules.State, Drawing) {
	t.Helper()
	s := state(t, "nhl", calls...)
	for i := range s.Periods {
		s.Periods[i].Begun = i == 0
	}
	return s, Whole(s, s.Periods[0].Length, named)
}

func TestWholeGame(t *testing.T) {
	s, d := wholeOf(t,
		call(60_000, entry.Home, "4", entry.Minor), goalAt(90_000, entry.Visitors, "9"), goalAt(95_000, entry.Visitors, "8"),
		call(300_000, entry.Visitors, "17", entry.Misconduct), goalAt(600_000, entry.Home, "12"))
	discs, texts := map[string]Shape{}, map[string]Shape{}
	last := Shape{}
	for _, one := range d.Shapes {
		if one.Kind == Label {
			texts[one.Text] = one
			if last.Kind == Disc {
				discs[one.Text] = last
			}
		}
		last = one
	}
	if len(discs) != 3 {
		t.Fatalf("%d goals in the picture", len(discs))
	}
	// Where things stand is worked out by hand: 1010 units for 20 minutes.
	for scorer, x := range map[string]int{"9": 150 + 75, "8": 150 + 79, "12": 150 + 505} {
		if disc := discs[scorer]; disc.X < x-1 || disc.X > x+1 {
			t.Errorf("the goal of %s stands at %d, not %d", scorer, disc.X, x)
		}
	}
	if discs["9"].Y == discs["8"].Y {
		t.Error("two goals stand upon one another")
	}
	if discs["12"].Fill == discs["9"].Fill {
		t.Error("the goals of both sides look alike without colour")
	}
	for _, want := range []string{"4", "17", "0–1 paper.class.power_play", "1–2", "stage.period.1"} {
		if _, there := texts[want]; !there {
			t.Errorf("the picture does not say %q", want)
		}
	}
	if s.Teams[1].Score != 2 || !strings.Contains(d.Title, "1–2") {
		t.Errorf("the title is %q", d.Title)
	}
}

// TestWholeGameStaysInside holds that nothing is drawn outside of the page, also
// for games with more in them than there is room for.
func TestWholeGameStaysInside(t *testing.T) {
	var calls []entry.Entry
	for i := range entry.Millis(60) {
		calls = append(calls, goalAt(i*20_000, entry.Sides[i%2], "9"), call(i*20_000, entry.Sides[i%2], "44", entry.Major, entry.GameMisconduct))
	}
	calls = append(calls, goalAt(1_199_999, entry.Home, "1"))
	for _, list := range [][]entry.Entry{nil, calls} {
		_, d := wholeOf(t, list...)
		for _, one := range d.Shapes {
			left, top, right, bottom := one.X, one.Y, one.X+one.Width, one.Y+one.Height
			if one.Kind == Disc {
				left, right = one.X-one.Width/2, one.X+one.Width/2
			}
			if left < 0 || top < 0 || right > d.Width || bottom > d.Height {
				t.Errorf("%+v lies outside of %d by %d", one, d.Width, d.Height)
			}
		}
	}
}

func TestWholeGameAsSVG(t *testing.T) {
	_, d := wholeOf(t, call(60_000, entry.Home, "4", entry.Minor), goalAt(90_000, entry.Visitors, "9"))
	var first, again bytes.Buffer
	if err := errors.Join(d.SVG(&first), d.SVG(&again)); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first.Bytes(), again.Bytes()) {
		t.Error("the bytes differ from run to run")
	}
	decoder, texts := xml.NewDecoder(&first), 0
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if element, ok := token.(xml.StartElement); ok {
			switch element.Name.Local {
			case "text":
				texts++
			case "Bay": // of the team's name
				t.Error("a name became an element")
			}
		}
	}
	if texts < 8 {
		t.Errorf("%d texts", texts)
	}
}
