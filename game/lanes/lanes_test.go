package lanes

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// state folds calls of an invented game, each with its moment in period 1 or 2.
func state(t *testing.T, code string, calls ...entry.Entry) rules.State {
	t.Helper()
	c, ok := rulebook.CodeByID(code)
	if !ok {
		t.Fatalf("no code %q", code)
	}
	period := entry.Clock(20, 0)
	raw, err := json.Marshal(rulebook.Division{
		ID: "test", Name: "Test", Code: code, Skaters: 5, Lengths: c.Lengths,
		Periods: []entry.Millis{period, period}, Intermissions: []entry.Millis{0},
	})
	if err != nil {
		t.Fatal(err)
	}
	ledger := []entry.Entry{{Body: entry.GameOpened{
		Division: raw, Home: entry.Team{Name: "Kelp <Bay>"}, Visitors: entry.Team{Name: "Lanternside"},
	}}}
	ledger = append(ledger, calls...)
	for i := range ledger {
		ledger[i].ID, ledger[i].Game, ledger[i].Seq, ledger[i].Seat = fmt.Sprintf("e%d", i), "g", i+1, entry.Solo
	}
	s, err := rules.Fold(ledger)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func call(at entry.Millis, side entry.Side, player entry.Jersey, parts ...entry.Part) entry.Entry {
	return entry.Entry{At: entry.At{Period: 1, Elapsed: at}, Body: entry.Penalty{Side: side, Player: player, Parts: parts}}
}

func moment(s rules.State, at entry.Millis) rules.Moment {
	return rules.Moment{Abs: at, Period: 1, Elapsed: at, Left: s.Periods[0].Length - at}
}

// styles lists the styles of a lane, bar by bar, with the seconds that each
// piece has from now.
func styles(l Lane, now entry.Millis) (out []string) {
	for _, b := range l.Bars {
		text := string(b.Player)
		for _, p := range b.Pieces {
			text += fmt.Sprintf(" %s %s-%s", p.Style, p.From-now, p.To-now)
		}
		if b.Open() {
			text += " open"
		}
		out = append(out, text)
	}
	return out
}

func TestEveryWayToSitHasItsOwnLook(t *testing.T) {
	for _, test := range []struct {
		name  string
		calls []entry.Entry
		at    entry.Millis
		want  []string // of the home lane
		ice   [2]int
	}{
		{"a minor", []entry.Entry{call(60_000, entry.Home, "4", entry.Minor)}, 90_000,
			[]string{"4 running 0:00-1:30"}, [2]int{4, 5}},
		{"a double minor", []entry.Entry{call(60_000, entry.Home, "4", entry.Minor, entry.Minor)}, 60_000,
			[]string{"4 running 0:00-2:00 later 2:00-4:00"}, [2]int{4, 5}},
		{"a misconduct behind a minor", []entry.Entry{call(60_000, entry.Home, "4", entry.Minor, entry.Misconduct)}, 60_000,
			[]string{"4 running 0:00-2:00 misconduct 2:00-12:00 open"}, [2]int{4, 5}},
		{"a third waits", []entry.Entry{
			call(60_000, entry.Home, "4", entry.Minor), call(70_000, entry.Home, "5", entry.Minor),
			call(80_000, entry.Home, "6", entry.Minor)}, 80_000,
			[]string{"4 running 0:00-1:40 open", "5 running 0:00-1:50 open", "6 waiting 1:40-3:40 open"}, [2]int{3, 5}},
		{"held: over, and no room on the ice", []entry.Entry{
			call(60_000, entry.Home, "4", entry.Minor), call(70_000, entry.Home, "5", entry.Minor),
			call(80_000, entry.Home, "6", entry.Minor)}, 185_000,
			[]string{"4 over 0:00-0:00 open", "5 running 0:00-0:05 open", "6 running 0:00-1:55 open"}, [2]int{3, 5}},
		{"coincidental", []entry.Entry{
			call(60_000, entry.Home, "4", entry.Minor), call(60_000, entry.Visitors, "9", entry.Minor)}, 60_000,
			[]string{"4 matched 0:00-2:00 open"}, [2]int{5, 5}},
		{"coincidental and over", []entry.Entry{
			call(60_000, entry.Home, "4", entry.Minor), call(60_000, entry.Visitors, "9", entry.Minor)}, 200_000,
			[]string{"4 over 0:00-0:00 open"}, [2]int{5, 5}},
		{"gone", []entry.Entry{call(60_000, entry.Home, "4", entry.Minor)}, 180_000, nil, [2]int{5, 5}},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := state(t, "usah-youth", test.calls...)
			p := At(s, moment(s, test.at))
			if got := styles(p.Lanes[0], test.at); !reflect.DeepEqual(got, test.want) {
				t.Errorf("got %q, want %q", got, test.want)
			}
			if got := [2]int{p.Lanes[0].Skaters, p.Lanes[1].Skaters}; got != test.ice {
				t.Errorf("%v skate, not %v", got, test.ice)
			}
		})
	}
}

func key(key string, pairs ...string) string { return key + strings.Join(pairs, " ") }

func draw(t *testing.T, s rules.State, at entry.Millis) string {
	t.Helper()
	var out bytes.Buffer
	if err := Draw(&out, At(s, moment(s, at)), key); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestTheDrawingIsSoundAndTheSameEveryTime(t *testing.T) {
	s := state(t, "usah-youth",
		call(60_000, entry.Home, "4", entry.Minor), call(60_000, entry.Visitors, "9", entry.Minor, entry.Misconduct),
		call(70_000, entry.Home, "5", entry.Major), call(1_190_000, entry.Visitors, "8", entry.Minor))
	for _, at := range []entry.Millis{60_000, 70_000, 1_190_000, 1_200_000} {
		text := draw(t, s, at)
		if again := draw(t, s, at); again != text {
			t.Errorf("two drawings of the same moment differ")
		}
		dec := xml.NewDecoder(strings.NewReader(text))
		for {
			if _, err := dec.Token(); err != nil {
				if !errors.Is(err, io.EOF) {
					t.Errorf("not XML: %v", err)
				}
				break
			}
		}
		if !strings.Contains(text, "Kelp &lt;Bay&gt;") {
			t.Error("a name is not made safe")
		}
	}
	carried := draw(t, s, 1_190_000)
	if !strings.Contains(carried, "lanes.endstage stage.period.1") || !strings.Contains(carried, `fill="url(#stripes)"`) {
		t.Errorf("the end of the period, or a visitor's bar, is missing in\n%s", carried)
	}
}

// TestTheRailIsTrue: a bar ends where the axis has its release.
func TestTheRailIsTrue(t *testing.T) {
	s := state(t, "usah-youth", call(60_000, entry.Home, "4", entry.Minor))
	d := &drawing{picture: At(s, moment(s, 60_000))}
	d.span = d.picture.span()
	if d.span != entry.Clock(3, 0) {
		t.Errorf("the rail shows %s", d.span)
	}
	if got, want := d.x(180_000), railAt+(railEnd-railAt)*2/3; got != want {
		t.Errorf("two of three minutes are at %d, not %d", got, want)
	}
	if !strings.Contains(draw(t, s, 60_000), fmt.Sprintf(`<rect x="%d" y="%d" width="%d"`, railAt, head+(laneLeast-rowHigh)/2, (railEnd-railAt)*2/3)) {
		t.Error("the bar does not reach its release")
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

func TestAFullDiskIsReported(t *testing.T) {
	s := state(t, "usah-youth")
	if err := Draw(fullDisk{}, At(s, moment(s, 0)), key); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("got %v", err)
	}
}
