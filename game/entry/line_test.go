package entry

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// whole is the samples as they stand in a ledger.
func whole() []Entry {
	list := samples()
	for i := range list {
		list[i].Game, list[i].Prev = "01JGAME0000000000000000000", strings.Repeat("a", hashLength)
	}
	return list
}

func TestReadLineTakesWhatTheProgramWrites(t *testing.T) {
	for _, e := range whole() {
		line, err := e.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		back, err := ReadLine(line)
		if err != nil {
			t.Errorf("%s: %v", line, err)
		}
		if again, err := back.MarshalJSON(); err != nil || string(again) != string(line) {
			t.Errorf("%s came back as %s (%v)", line, again, err)
		}
	}
}

// F2: a line that another program reads differently, or that is written in
// another way, is no line of a ledger.
func TestReadLineTakesOneFormOnly(t *testing.T) {
	goal, err := whole()[7].MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	opened, err := whole()[0].MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string][2]string{
		"a key in another case":           {`"side":`, `"Side":`},
		"a key twice":                     {`"side":"home"`, `"side":"visitors","side":"home"`},
		"a key twice, in another case":    {`"side":"home"`, `"side":"home","SIDE":"visitors"`},
		"data twice":                      {`"data":{`, `"Data":{},"data":{`},
		"a long s for an s":               {`"seq"`, `"ſeq"`},
		"another order":                   {`"period":1,"elapsed_ms":245000`, `"elapsed_ms":245000,"period":1`},
		"a number with a sign":            {`"seq":8`, `"seq":8.0`},
		"a number with a power":           {`"elapsed_ms":245000`, `"elapsed_ms":245e3`},
		"a letter escaped":                {`"solo"`, `"s\u006flo"`},
		"a space":                         {`"seq":8`, `"seq": 8`},
		"a space at the end":              {`}}}`, `}}} `},
		"a line break":                    {`,"data"`, ",\r\"data\""},
		"more digits of the time":         {`.123Z`, `.1230Z`},
		"another zone":                    {`.123Z`, `.123+00:00`},
		"a field that says nothing":       {`"empty_net":true`, `"empty_net":true,"own_goal":false`},
		"a byte that is no text":          {`bench laptop`, "bench \xff laptop"},
		"half of a pair of code units":    {`bench laptop`, `bench \ud800 laptop`},
		"two entries on a line":           {`}}}`, `}}}{}`},
		"a number that no ledger reaches": {`"seq":8`, `"seq":4611686018427387904`},
		"a path for a game":               {`/game/01JGAME0000000000000000000`, `/game/../../01JGAME00000000000000`},
		"a game in small letters":         {`/game/01JGAME`, `/game/01jgame`},
		"a path for an id":                {`"id":"01JTEST000`, `"id":"../../../.`},
		"a hash of other letters":         {`"prev":"aa`, `"prev":"AA`},
		"a period of years":               {`"elapsed_ms":245000`, `"elapsed_ms":1000000000000000`},
		"the period 2^31":                 {`"period":1`, `"period":2147483648`},
	} {
		text := strings.Replace(string(goal), change[0], change[1], 1)
		if text == string(goal) {
			t.Fatalf("%s: nothing was changed in %s", name, goal)
		}
		if e, err := ReadLine([]byte(text)); err == nil {
			t.Errorf("%s was read as %+v", name, e)
		}
	}
	for name, division := range map[string]string{
		"a key twice":               `{"id":"a","id":"b"}`,
		"a key in another case":     `{"Id":"a"}`,
		"a number in another way":   `{"skaters":5.0}`,
		"a number beyond 53 bits":   `{"skaters":9007199254740993}`,
		"a letter escaped":          `{"id":"\u0061"}`,
		"a slash escaped":           `{"id":"a\/b"}`,
		"half of a pair":            `{"id":"\ud800"}`,
		"too deep":                  `{"id":` + strings.Repeat("[", 30) + strings.Repeat("]", 30) + `}`,
		"a key of another alphabet": `{"ſkaters":5}`,
	} {
		text := strings.Replace(string(opened), `{"id":"harbour-u14"}`, division, 1)
		if _, err := ReadLine([]byte(text)); err == nil {
			t.Errorf("a division with %s was read", name)
		}
	}
	if _, err := ReadLine([]byte(strings.Replace(string(goal), "bench laptop", strings.Repeat("a", LineMost), 1))); err == nil {
		t.Error("a line without end was read")
	}
}

func TestStageNumbersAreBounded(t *testing.T) {
	for _, number := range []int{1 << 31, 1 << 62, 21, 0, -1} {
		e := whole()[2]
		e.Body = StageBegun{Stage: Stage{Kind: Period, Number: number}, Length: Clock(12, 0)}
		if e.Bounds() == nil {
			t.Errorf("the period %d is in a ledger", number)
		}
	}
	for _, length := range []Millis{1_000_000_000_000_000, -1} {
		e := whole()[2]
		e.Body = StageBegun{Stage: Stage{Kind: Period, Number: 1}, Length: length}
		if e.Bounds() == nil {
			t.Errorf("a period of %d ms is in a ledger", length)
		}
	}
}

// What a bench fills in by itself may be more than anybody may post, and stays
// readable: a clock that ran all night, a phone that came back after a month.
func TestBoundsAllowWhatABenchFillsIn(t *testing.T) {
	for _, body := range []Body{
		ClockStarted{Elapsed: Clock(90, 0) * 10, Error: 40 * 24 * 3600_000},
		ClockStopped{Elapsed: Clock(90, 0) * 10},
		ClockDoubted{Elapsed: Clock(12, 0), Asleep: 30 * 24 * 3600_000},
		ClockDoubted{Elapsed: Clock(12, 0), Why: Stepped, Step: -365 * 24 * 3600_000, Readings: []ClockReading{{LastKnown, Clock(12, 0)}, {Counted, Clock(90, 0) * 10}}},
	} {
		e := whole()[3]
		e.Body, e.At.Elapsed = body, Clock(90, 0)*10
		if err := e.Bounds(); err != nil {
			t.Errorf("%+v: %v", body, err)
		}
	}
}

// Whatever is in a piece of JSON that passes, another reader of JSON that knows
// no types reads the same.
func FuzzPlainJSON(f *testing.F) {
	for _, seed := range []string{`{"id":"a","list":[1,-2,null,true]}`, `{"a":1,"A":2}`, `"<\u003c"`, `[[[[]]]]`, `{"a":1e3}`, "{}{}", `-0`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		if plainJSON(raw) != nil {
			return
		}
		var value any
		if err := json.Unmarshal(raw, &value); err != nil {
			t.Fatalf("%q passed and cannot be read: %v", raw, err)
		}
		if text := fmt.Sprint(value); strings.Contains(text, "\ufffd") && !strings.Contains(string(raw), "\ufffd") {
			t.Fatalf("%q reads as %s", raw, text)
		}
	})
}
