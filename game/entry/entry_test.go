package entry

import (
	"encoding/json"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"
)

// samples is one entry of each kind, in the order of the kinds. What they say stands
// in testdata/bodies.json, where other tests read it too.
func samples() []Entry {
	raw, err := os.ReadFile("testdata/bodies.json")
	if err != nil {
		panic(err)
	}
	var bodies map[Kind]json.RawMessage
	if err := json.Unmarshal(raw, &bodies); err != nil {
		panic(err)
	}
	list := make([]Entry, 0, len(bodies))
	for i, k := range Kinds {
		if bodies[k] == nil {
			continue // TestEveryKindHasASampleAndSurvivesTheWire says so
		}
		body, err := unmarshalBody(k, bodies[k])
		if err != nil {
			panic(err)
		}
		e := Entry{
			ID: fmt.Sprintf("01JTEST0000000000000000%03d", i), Game: "01JGAME", Seq: len(list) + 1,
			At: At{Period: 1, Elapsed: Clock(4, 5), Order: i % 2}, Wall: 1_790_000_000_123, Seat: Solo,
			By: "bench laptop", Body: body,
		}
		if k.Edits() {
			e.Of = list[0].ID
		}
		list = append(list, e)
	}
	return list
}

func TestEveryKindHasASampleAndSurvivesTheWire(t *testing.T) {
	seen := map[Kind]bool{}
	for _, e := range samples() {
		seen[e.Kind()] = true
		line, err := e.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		var back Entry
		if err := back.UnmarshalJSON(line); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		if !reflect.DeepEqual(back, e) {
			t.Errorf("%s came back as %+v, was %+v", e.Kind(), back, e)
		}
		if err := e.Validate(); err != nil {
			t.Errorf("%s: %v", e.Kind(), err)
		}
		if strings.Contains(string(line), "\n") {
			t.Errorf("%s is more than one line", e.Kind())
		}
	}
	for _, k := range Kinds {
		if !seen[k] {
			t.Errorf("no sample of %s", k)
		}
	}
}

func TestWhatCannotBeReadIsRefused(t *testing.T) {
	good, err := samples()[7].MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string][2]string{
		"unknown kind":     {"whistlestop.goal.v1", "whistlestop.touchdown.v1"},
		"unknown version":  {"whistlestop.goal.v1", "whistlestop.goal.v2"},
		"foreign type":     {"whistlestop.goal.v1", "example.goal.v1"},
		"unknown field":    {`"scorer"`, `"scorrer"`},
		"unknown envelope": {`"seat"`, `"chair"`},
		"no time":          {"2026-", "late-"},
		"other spec":       {`"specversion":"1.0"`, `"specversion":"2.0"`},
		"no game":          {`/game/`, `/match/`},
		"number as text":   {`"elapsed_ms":245000`, `"elapsed_ms":"4:05"`},
		"cut off":          {`"empty_net":true}}}`, ``},
	} {
		text := strings.Replace(string(good), change[0], change[1], 1)
		if text == string(good) {
			t.Fatalf("%s: nothing was changed in %s", name, good)
		}
		var e Entry
		if err := e.UnmarshalJSON([]byte(text)); err == nil {
			t.Errorf("%s was read: %s", name, text)
		}
	}
}

func TestValidateSaysWhatToDo(t *testing.T) {
	base := samples()[7]
	with := func(b Body) Entry { e := base; e.Body = b; return e }
	at := func(a At) Entry { e := base; e.At = a; return e }
	for _, c := range []struct {
		name  string
		entry Entry
		field string
	}{
		{"no id", func() Entry { e := base; e.ID = "x"; return e }(), "id"},
		{"no such seat", func() Entry { e := base; e.Seat = "roof"; return e }(), "seat"},
		{"negative period", at(At{Period: -1}), "at.period"},
		{"negative time", at(At{Period: 1, Elapsed: -1}), "at.elapsed_ms"},
		{"a week", at(At{Period: 1, Elapsed: 7 * 24 * 3600_000}), "at.elapsed_ms"},
		{"a side that does not exist", with(Goal{Side: "referee"}), "side"},
		{"no side", with(Penalty{Parts: []Part{Minor}}), "side"},
		{"three assists", with(Goal{Side: Home, Assists: []Jersey{"1", "2", "3"}}), "assists"},
		{"assist to oneself", with(Goal{Side: Home, Scorer: "9", Assists: []Jersey{"9"}}), "assists"},
		{"the same assist twice", with(Goal{Side: Home, Assists: []Jersey{"9", "9"}}), "assists"},
		{"unassisted with an assist", with(Goal{Side: Home, Assists: []Jersey{"9"}, Unassisted: true}), "assists"},
		{"a number of three digits", with(Goal{Side: Home, Scorer: "123"}), "scorer"},
		{"a letter", with(Penalty{Side: Home, Player: "1a", Parts: []Part{Minor}}), "player"},
		{"ice time that ended before there were clocks", with(BenchSet{Clock: Lead, SlotEnd: -1}), "slot_end_ms"},
		{"no part", with(Penalty{Side: Home, Player: "4"}), "parts"},
		{"an unknown part", with(Penalty{Side: Home, Player: "4", Parts: []Part{"yellow card"}}), "parts"},
		{"a bench minor with a number", with(Penalty{Side: Home, Player: "4", Parts: []Part{BenchMinor}}), "parts"},
		{"a bench call with a number", with(Penalty{Side: Home, Player: "4", Bench: true, Parts: []Part{Minor}}), "player"},
		{"two lengths for one part", with(Penalty{Side: Home, Parts: []Part{Minor}, Lengths: []Millis{1, 2}}), "lengths_ms"},
		{"a penalty of a day", with(Penalty{Side: Home, Parts: []Part{Minor}, Lengths: []Millis{Clock(99, 0)}}), "lengths_ms"},
		{"no shot", with(Shots{Side: Home}), "count"},
		{"a thousand shots", with(Shots{Side: Home, Count: 1000}), "count"},
		{"a face-off that nobody won", with(FaceOff{}), "side"},
		{"a penalty shot that scored", with(Attempt{Side: Home, Scored: true, On: PenaltyShotAttempt}), "scored"},
		{"an attempt at nothing", with(Attempt{Side: Home}), "on"},
		{"nothing announced", with(Announced{}), "what"},
		{"confirmed by nobody", with(RosterConfirmed{Side: Home, By: " "}), "by"},
		{"a role that does not exist", with(CrewSet{Crew: []Official{{Role: "mascot", Name: "M"}}}), "crew"},
		{"a signature with script", with(Signed{Role: Referee, Name: "R", Drawing: "<script>"}), "drawing"},
		{"an endless signature", with(Signed{Role: Referee, Name: "R", Drawing: strings.Repeat("M0 0", 3000)}), "drawing"},
		{"a seal without a key", with(Sealed{Version: 1, Head: strings.Repeat("a", 64)}), "seal"},
		{"a week asleep", with(ClockDoubted{Asleep: 7 * 24 * 3600_000}), "asleep_ms"},
		{"a note about the weather", with(Note{Text: "x", About: "weather"}), "about"},
		{"a remark about a number", with(Note{Text: "x", Side: Home, Player: "9"}), "player"},
		{"nobody in particular plays although suspended", with(Note{Text: "x", About: SuspendedPlay, Side: Home}), "player"},
		{"somebody of no side plays although suspended", with(Note{Text: "x", About: SuspendedPlay, Player: "9"}), "side"},
		{"a position that does not exist", with(RosterSet{Side: Home, Team: Team{Name: "T", Players: []Player{{Number: "4", Position: "rover"}}}}), "position"},
		{"the same player on the ice twice", with(Goal{Side: Home, OnIce: OnIce{Home: []Jersey{"4", "4"}}}), "on_ice"},
		{"a negative clock", with(ClockSet{Elapsed: -1}), "elapsed_ms"},
		{"a stage that does not exist", with(StageBegun{Stage: Stage{Kind: "half", Number: 1}}), "stage"},
		{"period nought", with(StageBegun{Stage: Stage{Kind: Period}}), "stage"},
		{"a number twice", with(RosterSet{Side: Home, Team: Team{Name: "K", Players: []Player{{Number: "4"}, {Number: "4"}}}}), "team"},
		{"a team without a name", with(RosterSet{Side: Home}), "team"},
		{"a colour in words", with(RosterSet{Side: Home, Team: Team{Name: "K", Colour: "teal"}}), "team"},
		{"a colour that closes a style", with(RosterSet{Side: Home, Team: Team{Name: "K", Colour: "#12;}*{"}}), "team"},
		{"an empty note", with(Note{}), "text"},
		{"a choice of nobody", with(Choice{Question: "q"}), "picks"},
		{"an amendment of nothing", with(Struck{}), "of"},
		{"a goal about another entry", func() Entry { e := base; e.Of = "x"; return e }(), "of"},
	} {
		err := c.entry.Validate()
		bad, ok := err.(*Invalid)
		switch {
		case !ok:
			t.Errorf("%s: accepted, or refused without a field: %v", c.name, err)
		case bad.Field != c.field:
			t.Errorf("%s: blames %s, not %s", c.name, bad.Field, c.field)
		case !strings.HasPrefix(bad.Message().Key, "invalid."):
			t.Errorf("%s: %s is no sentence of an entry", c.name, bad)
		}
	}
}

func TestChainNamesTheFirstBadEntry(t *testing.T) {
	ledger := samples()
	prev := ""
	for i := range ledger {
		ledger[i].Prev = prev
		var err error
		if prev, err = ledger[i].Hash(); err != nil {
			t.Fatal(err)
		}
	}
	if err := VerifyChain(ledger); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func([]Entry) []Entry{
		"changed":  func(l []Entry) []Entry { l[3].At.Elapsed++; return l },
		"missing":  func(l []Entry) []Entry { return append(l[:4], l[5:]...) },
		"swapped":  func(l []Entry) []Entry { l[4], l[5] = l[5], l[4]; return l },
		"inserted": func(l []Entry) []Entry { return append(l[:4], append([]Entry{l[2]}, l[4:]...)...) },
	} {
		spoilt := spoil(append([]Entry{}, ledger...))
		err := VerifyChain(spoilt)
		if err == nil || !strings.Contains(err.Error(), `place="5"`) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestClockIsReadAsPeopleTypeIt(t *testing.T) {
	for text, want := range map[string]Millis{
		"5:13": Clock(5, 13), "513": Clock(5, 13), "12:00": Clock(12, 0), "1200": Clock(12, 0), "0:45": Clock(0, 45),
		"45": Clock(0, 45), "90": Clock(0, 90), " 7:05 ": Clock(7, 5), "0:07.4": 7400, "7.4": 7400,
	} {
		got, err := ParseClock(text)
		if err != nil || got != want {
			t.Errorf("%q is %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "-5:13", "5:1", "5:60", "5:123", "a", "5;13", "100:00", "1260x", "570", "5:13.55", "1e3"} {
		if got, err := ParseClock(text); err == nil {
			t.Errorf("%q was read as %v", text, got)
		}
	}
}

func TestLeftRoundsUp(t *testing.T) {
	// IIHF Official Rule Book 2025/26, Rules 33.2 and 35.6: with tenths showing,
	// times are written rounded up to the whole second.
	for ms, want := range map[Millis]string{0: "0:00", 1: "0:01", 59_001: "1:00", 60_000: "1:00", 433_400: "7:14"} {
		if got := ms.Left(); got != want {
			t.Errorf("%d ms left is %s, want %s", ms, got, want)
		}
	}
}

func TestTimesAreWrittenWithTheirSecondsCutOff(t *testing.T) {
	for m := Millis(-1_000); m < Clock(100, 0); m += 250 {
		text, seconds := "", int(m/1000)
		if m < 0 {
			text, seconds = "-", -seconds
		}
		text += fmt.Sprintf("%d:%02d", seconds/60, seconds%60)
		if got := m.String(); got != text {
			t.Fatalf("%d ms are written %q, not %q", int64(m), got, text)
		}
	}
}

// FuzzParseClock: whatever is read is a time that can be written and read back.
func FuzzParseClock(f *testing.F) {
	for _, seed := range []string{"5:13", "513", "0:07.4", "-1", "99:59", "5:60"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		m, err := ParseClock(text)
		if err != nil {
			return
		}
		if m < 0 || m > Clock(99, 59)+999 {
			t.Fatalf("%q was read as %d ms", text, m)
		}
		whole := m / 1000 * 1000
		if again, err := ParseClock(whole.String()); err != nil || again != whole {
			t.Fatalf("%q: %s came back as %v, %v", text, whole, again, err)
		}
	})
}

// FuzzEntry: whatever is read can be written, and reading that gives it again.
func FuzzEntry(f *testing.F) {
	for _, e := range samples() {
		line, err := e.MarshalJSON()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(line)
	}
	f.Fuzz(func(t *testing.T, line []byte) {
		var e Entry
		if e.UnmarshalJSON(line) != nil {
			return
		}
		_ = e.Validate()
		written, err := e.MarshalJSON()
		if err != nil {
			t.Skip("a time outside the years that RFC 3339 can write")
		}
		var back Entry
		if err := back.UnmarshalJSON(written); err != nil {
			t.Fatalf("%s: %v", written, err)
		}
		again, err := back.MarshalJSON()
		if err != nil || string(again) != string(written) {
			t.Fatalf("%s became %s (%v)", written, again, err)
		}
	})
}

// A line is put together by hand, and is to the byte what the encoder makes of the
// envelope, whatever stands in its texts.
func TestALineIsWhatTheEncoderWrites(t *testing.T) {
	texts := []string{"", "solo", `"\`, "<&>", "a\u2028b", "\x00\x1f\x7f", "Zoë", "\xff", "~ !"}
	for i, e := range whole() {
		for j := range texts {
			text := func(n int) string { return texts[(i+j+n)%len(texts)] }
			e.ID, e.Seat, e.By, e.Of, e.Prev, e.Was = text(0), Seat(text(1)), text(2), text(3), text(4), text(5)
			e.Game, e.Seq = text(6), j
			line, err := e.MarshalJSON()
			if err != nil {
				t.Fatal(err)
			}
			body, _ := json.Marshal(e.Body)
			inner, _ := json.Marshal(data{At: e.At, Body: body})
			want, err := json.Marshal(envelope{
				SpecVersion: specVersion, ID: e.ID, Source: sourceGame + e.Game, Type: typePrefix + string(e.Body.Kind()) + inside,
				Time: time.UnixMilli(int64(e.Wall)).UTC().Format(timeForm), Seq: e.Seq, Seat: e.Seat, By: e.By, Of: e.Of,
				Prev: e.Prev, Was: e.Was, Data: inner,
			})
			if err != nil || string(line) != string(want) {
				t.Errorf("wrote\n%s\nand not\n%s (%v)", line, want, err)
			}
		}
	}
}
