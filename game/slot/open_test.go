package slot_test

import (
	"errors"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/slot"
	"whistlestop/internal/proof/openplay"
)

// openData is what the open play-by-play of whole seasons says of stoppages in
// regulation.
type openData struct {
	games, faceOffs int
	played          entry.Millis
	lengths         []entry.Millis // where the feed has wall times
}

func readOpenData(t *testing.T) openData {
	t.Helper()
	games, err := openplay.Read(openplay.Folder())
	if errors.Is(err, openplay.ErrNone) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	o := openData{games: len(games)}
	for _, g := range games {
		period, at, last := 0, 0, openplay.Event{}
		for _, e := range g.Events {
			if e.ShootOut || e.Period > 3 {
				break
			}
			if e.Kind != "fo" {
				last = e
				continue
			}
			if e.Period == period {
				o.played += entry.Millis(e.Second-at) * 1000
				o.faceOffs++
			}
			if last.Wall > 0 && e.Wall > last.Wall && last.Second == e.Second && last.Period == e.Period {
				o.lengths = append(o.lengths, entry.Millis(e.Wall-last.Wall))
			}
			period, at = e.Period, e.Second
		}
	}
	if o.faceOffs == 0 {
		t.Fatal("the open data has no face-offs")
	}
	slices.Sort(o.lengths)
	return o
}

// TestOpenStoppages holds how often play is taken to stop against whole seasons.
func TestOpenStoppages(t *testing.T) {
	o := readOpenData(t)
	every := o.played / entry.Millis(o.faceOffs)
	f := slot.Forecast(newGame(t, nil).state(), start, slot.Settings{})
	t.Logf("%d games: a face-off every %d ms of play; taken as typical: %d ms", o.games, every, f.Every)
	if every < f.Every*9/10 || every > f.Every*11/10 {
		t.Errorf("a face-off every %d ms of play, and %d are taken as typical", every, f.Every)
	}
}

// TestOpenStoppageLengths holds how long stoppages are taken to be against the
// wall times of the open data.
func TestOpenStoppageLengths(t *testing.T) {
	o := readOpenData(t)
	if len(o.lengths) == 0 {
		t.Skip("the open data has no wall times: the typical lengths of stoppages are held against nothing")
	}
	f := slot.Forecast(newGame(t, nil).state(), start, slot.Settings{})
	if median := o.lengths[len(o.lengths)/2]; median < f.Usual*2/3 || median > f.Usual*3/2 {
		t.Errorf("half of %d stoppages are below %s, and %s is taken as typical", len(o.lengths), median, f.Usual)
	}
}
