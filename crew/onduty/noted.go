package onduty

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"

	"whistlestop/crew/duties"
	"whistlestop/game/message"
)

// Noted is what a bench noted of those on duty. A later line of the same seat holds.
type Noted struct {
	Version int    `json:"version"` // of this form: 1
	Lines   []Line `json:"lines"`
}

// Line is one seat of a game.
type Line struct {
	Game string      `json:"game"`
	Seat string      `json:"seat"`
	Mark duties.Kind `json:"mark"` // Came, Missed, or Unmarked: taken back
	Code string      `json:"code"`
}

// linesMost is how many lines a bench keeps: the oldest go.
const linesMost = 20_000

// ReadNoted reads what was noted; of nothing, nothing.
func ReadNoted(text []byte) (Noted, error) {
	n := Noted{Version: 1}
	if text == nil {
		return n, nil
	}
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	err := decoder.Decode(&n)
	if err != nil || n.Version != 1 || len(n.Lines) > linesMost {
		return Noted{}, message.Because(err, "onduty.noted")
	}
	return n, nil
}

// Keep is what was noted as a text.
func (n Noted) Keep() ([]byte, error) {
	n.Version = 1
	text, err := json.MarshalIndent(n, "", " ")
	return append(text, '\n'), err
}

// With is what was noted with one mark more.
func (n Noted) With(game string, seat Seat, mark duties.Kind) Noted {
	lines := slices.DeleteFunc(slices.Clone(n.Lines), func(l Line) bool {
		return l.Game == game && l.Seat == seat.ID && slices.Contains([]string{seat.Came, seat.Missed, seat.Unmarked}, l.Code)
	})
	lines = append(lines, Line{game, seat.ID, mark, seat.Code(mark)})
	return Noted{1, lines[max(0, len(lines)-linesMost):]}
}

// Of is how a seat stands: as it was noted here of this person, or else as the file
// says.
func (n Noted) Of(game string, seat Seat) duties.Kind {
	for _, l := range slices.Backward(n.Lines) {
		if l.Game == game && l.Seat == seat.ID && l.Code == seat.Code(l.Mark) {
			if l.Mark == duties.Unmarked {
				return ""
			}
			return l.Mark
		}
	}
	return seat.Mark
}

// Codes is everything that was noted as the desk reads it, a code a line; with a game,
// only of that one.
func (n Noted) Codes(game string) string {
	var text strings.Builder
	for _, l := range n.Lines {
		if game == "" || l.Game == game {
			text.WriteString(l.Code + "\n")
		}
	}
	return text.String()
}
