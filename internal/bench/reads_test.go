package bench

import (
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/store/memory"
)

var devices = []entry.Seat{entry.ClockSeat, entry.BoxSeat, entry.BookSeat, entry.ShotsSeat, entry.VoiceSeat}

// editing is the edits of every kind by every seat, as docs/seats.md has them: clock, box, book,
// shots, voice. A dot: never; o: posts, and edits what it entered itself; x:
// posts, and edits what anybody entered. Written by hand, not from the code.
const editing = `
game_opened      . . . . .
roster_set       . . x . .
stage_begun      x . . . .
clock_started    x . . . .
clock_stopped    x . . . .
clock_set        x . . . .
time_out         x . . . .
goal             . . x . .
penalty          . . x . .
choice           . x x . .
set_aside        x x x . .
note             o o x o o
board_read       x . . . .
bench_set        . . . . .
running_time     x . . . .
goalkeeper       . . x x .
delay            x . . . .
delay_over       x . . . .
seated           . x . . .
card_set         . . . . .
ticked           x . x . .
shots            . . x x .
face_off         . . x x .
attempt          . . x . .
announced        . . x . x
roster_confirmed . . x . .
crew_set         . . x . .
signed           . . x . .
sealed           . . . . .
clock_doubted    . . . . .
withdrawn        . . . . .
`

// reading is the readings of every seat, in the same order.
const reading = `
names         . . x . x
notes         . . x . .
people        . . x . .
report        . . x . .
rosters       . . x . .
cards         x . x . .
slot          x . x . .
announcements . . x . x
copy          x x x x x
`

func tableOf(t *testing.T, text string) map[string][]string {
	t.Helper()
	table := map[string][]string{}
	for line := range strings.Lines(strings.TrimSpace(text)) {
		cells := strings.Fields(line)
		if len(cells) != 1+len(devices) {
			t.Fatalf("%q has %d cells", line, len(cells)-1)
		}
		table[cells[0]] = cells[1:]
	}
	return table
}

// bodyOf is an entry's body of a kind that says nothing.
func bodyOf(t *testing.T, kind entry.Kind) entry.Body {
	t.Helper()
	var e entry.Entry
	line := `{"specversion":"1.0","id":"x","source":"/game/x","type":"whistlestop.` + string(kind) +
		`.v1","time":"2026-01-01T00:00:00Z","data":{"at":{},"body":{}}}`
	if err := e.UnmarshalJSON([]byte(line)); err != nil {
		t.Fatal(err)
	}
	return e.Body
}

// Every cell: seat by kind by act, on what the device entered and on what
// somebody else did. A refusal says whom to ask.
func TestWhatEverySeatMayDo(t *testing.T) {
	table, cells := tableOf(t, editing), 0
	for _, kind := range entry.Kinds {
		if edit := kind == entry.KindAmended || kind == entry.KindStruck; edit {
			continue // they are the acts
		}
		row, known := table[string(kind)]
		if !known {
			t.Errorf("the table does not say who may do what with %s", kind)
			continue
		}
		body := bodyOf(t, kind)
		for i, seat := range devices {
			from := Poster{Seat: seat, Name: "this phone"}
			for _, act := range Acts {
				draft := entry.Entry{Body: body}
				switch act {
				case Post:
				case Amend:
					draft = entry.Entry{Body: entry.Amended{To: body}, Of: "root"}
				case Strike:
					draft = entry.Entry{Body: entry.Struck{}, Of: "root"}
				}
				for _, root := range []entry.Entry{
					{Body: body, Seat: seat, By: "this phone"}, {Body: body, Seat: seat, By: "another phone"}, {Body: body, Seat: entry.Solo},
				} {
					own := root.By == from.Name
					want := row[i] == "x" || row[i] == "o" && (act == Post || own)
					why := from.forbids(draft, func(string) entry.Entry { return root })
					if (why == nil) != want {
						t.Errorf("%s may %s %s (its own: %v): %v, want %v", seat, act, kind, own, why == nil, want)
					}
					if why != nil && !strings.HasPrefix(why.Key, "bench.only_") {
						t.Errorf("%s may not %s %s, and nobody says who may: %+v", seat, act, kind, why)
					}
					cells++
				}
			}
		}
	}
	if want := len(table) * len(devices) * len(Acts) * 3; cells != want {
		t.Errorf("%d cells were tried, of %d", cells, want)
	}
}

// Every cell: seat by reading.
func TestWhatEverySeatMayRead(t *testing.T) {
	table := tableOf(t, reading)
	if len(table) != len(Readings) {
		t.Errorf("%d readings in the table, %d in the program", len(table), len(Readings))
	}
	for _, reading := range Readings {
		row := table[string(reading)]
		for i, seat := range devices {
			if got := Reads(seat, reading); row == nil || got != (row[i] == "x") {
				t.Errorf("%s may read %s: %v, and the table says %v", seat, reading, got, row)
			}
		}
		if !Reads("", reading) {
			t.Errorf("the bench itself may not read %s", reading)
		}
		if slices.Contains(Readers(reading), entry.Solo) {
			t.Errorf("solo is no device's seat")
		}
	}
}

// A phone amends and strikes the note that it wrote, and nobody else's: not the
// bench's, not that of another phone in the same seat, also not by way of an
// amendment. The Book may.
func TestANoteIsItsWritersAndTheBooks(t *testing.T) {
	tb := sit(t, memory.New())
	tries := map[string]Poster{
		"anna":  {Seat: entry.BoxSeat, Side: entry.Home, Name: "Anna's phone"},
		"other": {Seat: entry.BoxSeat, Side: entry.Home, Name: "Another phone"},
		"book":  {Seat: entry.BookSeat, Name: "Book"},
	}
	try := func(from Poster, of string, body entry.Body) (id string, err error) {
		d := tb.draft(body)
		d.Of = of
		_, err = tb.bench.PostFrom(t.Context(), gameID, []entry.Entry{d}, from)
		return d.ID, err
	}
	note := entry.Note{Text: "a remark", About: entry.InjuryNote}
	ofBench, err := try(Poster{}, "", note)
	if err != nil {
		t.Fatal(err)
	}
	ofAnna, err := try(tries["anna"], "", note)
	if err != nil {
		t.Fatal(err)
	}
	amended, err := try(tries["book"], ofBench, entry.Amended{To: note})
	if err != nil {
		t.Fatal(err)
	}
	for name, from := range tries {
		for of, may := range map[string]bool{
			ofBench: name == "book", amended: name == "book", ofAnna: name != "other",
		} {
			if _, err := try(from, of, entry.Amended{To: entry.Note{Text: "changed"}}); (err == nil) != may {
				t.Errorf("%s amends %s: %v %+v", name, of, err, refusals(err))
			}
			undo, err := try(from, of, entry.Struck{})
			if (err == nil) != may {
				t.Errorf("%s strikes %s: %v %+v", name, of, err, refusals(err))
			}
			if err == nil {
				if _, err := try(from, undo, entry.Struck{}); err != nil {
					t.Errorf("%s does not get back what it struck: %v %+v", name, err, refusals(err))
				}
			}
		}
	}
}
