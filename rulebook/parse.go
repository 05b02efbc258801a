package rulebook

import (
	"bytes"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"github.com/BurntSushi/toml"

	"whistlestop/entry"
)

//go:embed codes/*.toml divisions/*.toml
var files embed.FS

// mmss is a time in a data file, written "1:30".
type mmss entry.Millis

// UnmarshalText reads minutes and seconds.
func (m *mmss) UnmarshalText(text []byte) error {
	if !bytes.Contains(text, []byte(":")) {
		return fmt.Errorf("%q is not a time: write minutes and seconds, such as 1:30", text)
	}
	v, err := entry.ParseClock(string(text))
	*m = mmss(v)
	return err
}

// cited is a value in a code file with the rule behind it. Where Source is
// missing the value was read in the book that the file names as its edition.
type cited[T any] struct {
	Value  T      `toml:"value"`
	Rule   string `toml:"rule"`
	Source string `toml:"source"`
}

type codeFile struct {
	ID      string `toml:"id"`
	Name    string `toml:"name"`
	Body    string `toml:"body"`
	Edition string `toml:"edition"`
	Lengths struct {
		Minor      cited[mmss] `toml:"minor"`
		BenchMinor cited[mmss] `toml:"bench_minor"`
		Major      cited[mmss] `toml:"major"`
		Match      cited[mmss] `toml:"match"`
		Misconduct cited[mmss] `toml:"misconduct"`
	} `toml:"lengths"`
	Charges struct {
		GameMisconduct cited[mmss] `toml:"game_misconduct"`
		Match          cited[mmss] `toml:"match"`
	} `toml:"charges"`
	Policies struct {
		OneMinorEach       cited[OneMinorEach] `toml:"one_minor_each"`
		LateWindow         cited[mmss]         `toml:"late_window"`
		AwardedGoalEnds    cited[bool]         `toml:"awarded_goal_ends"`
		MatchApart         cited[bool]         `toml:"match_apart"`
		EjectedSits        cited[bool]         `toml:"ejected_sits"`
		MisconductsToEject cited[int]          `toml:"misconducts_to_eject"`
	} `toml:"policies"`
	Rules map[Topic]Cited `toml:"rules"`
}

type callsFile struct {
	Calls []CallName `toml:"calls"`
}

// divisionFile is a division as it is written. Each table names where its
// values come from.
type divisionFile struct {
	ID     string `toml:"id"`
	Name   string `toml:"name"`
	League string `toml:"league"`
	Code   string `toml:"code"`
	Time   struct {
		WarmUp        mmss   `toml:"warm_up"`
		Periods       []mmss `toml:"periods"`
		Intermissions []mmss `toml:"intermissions"`
		Source        string `toml:"source"`
	} `toml:"time"`
	Strength struct {
		Skaters        int    `toml:"skaters"`
		ShortGoalFrees bool   `toml:"short_goal_frees"`
		Source         string `toml:"source"`
	} `toml:"strength"`
	Lengths struct {
		Minor      mmss   `toml:"minor"`
		BenchMinor mmss   `toml:"bench_minor"`
		Major      mmss   `toml:"major"`
		Match      mmss   `toml:"match"`
		Misconduct mmss   `toml:"misconduct"`
		Source     string `toml:"source"`
	} `toml:"lengths"`
	Overtime struct {
		Periods     []mmss `toml:"periods"`
		Skaters     int    `toml:"skaters"`
		Rest        mmss   `toml:"rest"`
		SuddenDeath bool   `toml:"sudden_death"`
		Repeat      bool   `toml:"repeat"`
		Source      string `toml:"source"`
	} `toml:"overtime"`
	ShootOut struct {
		Shooters int    `toml:"shooters"`
		Source   string `toml:"source"`
	} `toml:"shoot_out"`
	TimeOut struct {
		Each   int    `toml:"each"`
		Length mmss   `toml:"length"`
		Source string `toml:"source"`
	} `toml:"time_out"`
}

// decode reads TOML strictly. Its errors name the file, the line and the reason.
func decode(text []byte, name string, into any) error {
	meta, err := toml.NewDecoder(bytes.NewReader(text)).Decode(into)
	if err != nil {
		var parse toml.ParseError
		if errors.As(err, &parse) {
			return fmt.Errorf("%s, line %d: %s", name, parse.Position.Line, parse.Message)
		}
		return fmt.Errorf("%s: %s", name, strings.TrimPrefix(err.Error(), "toml: "))
	}
	if extra := meta.Undecoded(); len(extra) > 0 {
		key := extra[0].String()
		return fmt.Errorf("%s, line %d: there is no setting %q; take it out or mend its spelling",
			name, lineOf(text, extra[0][len(extra[0])-1]), key)
	}
	return nil
}

// lineOf finds the line on which a key is written, or 1.
func lineOf(text []byte, key string) int {
	for i, line := range strings.Split(string(text), "\n") {
		line = strings.TrimLeft(strings.TrimSpace(line), "[")
		if strings.HasPrefix(line, key) {
			return i + 1
		}
	}
	return 1
}

// ParseDivision reads a division file. The name is used in errors, which say on
// which line what is wrong and what to do.
func ParseDivision(text []byte, name string) (Division, error) {
	var f divisionFile
	if err := decode(text, name, &f); err != nil {
		return Division{}, err
	}
	d := Division{
		ID: f.ID, Name: f.Name, League: f.League, Code: f.Code,
		WarmUp:        entry.Millis(f.Time.WarmUp),
		Periods:       millis(f.Time.Periods),
		Intermissions: millis(f.Time.Intermissions),
		Skaters:       f.Strength.Skaters,
		Lengths: Lengths{
			Minor: entry.Millis(f.Lengths.Minor), BenchMinor: entry.Millis(f.Lengths.BenchMinor),
			Major: entry.Millis(f.Lengths.Major), Match: entry.Millis(f.Lengths.Match),
			Misconduct: entry.Millis(f.Lengths.Misconduct),
		},
		Overtime: Overtime{
			Periods: millis(f.Overtime.Periods), Skaters: f.Overtime.Skaters,
			Rest: entry.Millis(f.Overtime.Rest), SuddenDeath: f.Overtime.SuddenDeath,
			Repeat: f.Overtime.Repeat,
		},
		ShootOut: ShootOut{Shooters: f.ShootOut.Shooters},
		TimeOut:  TimeOut{Each: f.TimeOut.Each, Length: entry.Millis(f.TimeOut.Length)},

		ShortGoalFrees: f.Strength.ShortGoalFrees,
	}
	fail := func(key, format string, args ...any) error {
		return fmt.Errorf("%s, line %d: %s", name, lineOf(text, key), fmt.Sprintf(format, args...))
	}
	sources := []struct{ table, source string }{
		{"time", f.Time.Source}, {"strength", f.Strength.Source}, {"lengths", f.Lengths.Source},
	}
	if len(d.Overtime.Periods) > 0 {
		sources = append(sources, struct{ table, source string }{"overtime", f.Overtime.Source})
	}
	if d.ShootOut.Shooters > 0 {
		sources = append(sources, struct{ table, source string }{"shoot_out", f.ShootOut.Source})
	}
	if d.TimeOut.Each > 0 {
		sources = append(sources, struct{ table, source string }{"time_out", f.TimeOut.Source})
	}
	for _, s := range sources {
		if s.source == "" {
			return Division{}, fail(s.table, "[%s] needs a source: say where its values were read, "+
				"or \"common practice, no source\"", s.table)
		}
	}
	key, err := d.check()
	if err != nil {
		return Division{}, fail(key, "%s", err)
	}
	return d, nil
}

// Validate reports what is wrong with a division that did not come from a file.
func (d Division) Validate() error {
	_, err := d.check()
	return err
}

// check returns the first fault of a division and the key of the file that
// holds it.
func (d Division) check() (key string, err error) {
	switch {
	case d.ID == "":
		return "id", errors.New("a division needs an id, such as \"under-14\"")
	case d.Name == "":
		return "name", errors.New("a division needs a name")
	case len(d.Periods) == 0 || len(d.Periods) > 9:
		return "periods", errors.New("give the length of each regulation period, one to nine of them")
	case len(d.Intermissions) != len(d.Periods)-1:
		return "intermissions", fmt.Errorf("%d periods have %d intermissions between them; %d are given",
			len(d.Periods), len(d.Periods)-1, len(d.Intermissions))
	case d.Skaters < 3 || d.Skaters > 6:
		return "skaters", fmt.Errorf("a side has three to six skaters, not %d", d.Skaters)
	case len(d.Overtime.Periods) > 9:
		return "overtime", errors.New("give at most nine overtime periods, or let the last one repeat")
	case len(d.Overtime.Periods) > 0 && (d.Overtime.Skaters < 3 || d.Overtime.Skaters > d.Skaters):
		return "overtime", fmt.Errorf("overtime is played with three to %d skaters a side, not %d",
			d.Skaters, d.Overtime.Skaters)
	case d.ShootOut.Shooters < 0 || d.ShootOut.Shooters > 20:
		return "shooters", fmt.Errorf("a shoot-out cannot have %d shooters", d.ShootOut.Shooters)
	case d.TimeOut.Each < 0 || d.TimeOut.Each > 9:
		return "each", fmt.Errorf("a team cannot have %d time-outs", d.TimeOut.Each)
	}
	if _, ok := CodeByID(d.Code); !ok {
		return "code", fmt.Errorf("there is no code %q; the codes are %s", d.Code, strings.Join(codeIDs(), ", "))
	}
	for _, length := range slices.Concat(d.Periods, d.Overtime.Periods) {
		if length <= 0 || length > entry.Clock(60, 0) {
			return "periods", fmt.Errorf("a period lasts more than 0:00 and at most 60:00, not %s", length)
		}
	}
	for _, length := range []entry.Millis{
		d.Lengths.Minor, d.Lengths.BenchMinor, d.Lengths.Major, d.Lengths.Match, d.Lengths.Misconduct,
	} {
		if length <= 0 || length > entry.Clock(30, 0) {
			return "lengths", fmt.Errorf("a penalty lasts more than 0:00 and at most 30:00, not %s", length)
		}
	}
	return "", nil
}

func millis(list []mmss) []entry.Millis {
	out := make([]entry.Millis, len(list))
	for i, m := range list {
		out[i] = entry.Millis(m)
	}
	return out
}

// DivisionFromJSON reads the copy that a game's first entry carries.
func DivisionFromJSON(raw json.RawMessage) (Division, error) {
	var d Division
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&d); err != nil {
		return Division{}, fmt.Errorf("the division cannot be read: %w", err)
	}
	return d, d.Validate()
}

// ParseCode reads a code file.
func ParseCode(text []byte, name string) (*Code, error) {
	var f codeFile
	if err := decode(text, name, &f); err != nil {
		return nil, err
	}
	code := &Code{
		ID: f.ID, Name: f.Name, Body: f.Body, Edition: f.Edition,
		Lengths: Lengths{
			Minor: entry.Millis(f.Lengths.Minor.Value), BenchMinor: entry.Millis(f.Lengths.BenchMinor.Value),
			Major: entry.Millis(f.Lengths.Major.Value), Match: entry.Millis(f.Lengths.Match.Value),
			Misconduct: entry.Millis(f.Lengths.Misconduct.Value),
		},
		Charges: Charges{
			GameMisconduct: entry.Millis(f.Charges.GameMisconduct.Value),
			Match:          entry.Millis(f.Charges.Match.Value),
		},
		Policies: Policies{
			OneMinorEach:       f.Policies.OneMinorEach.Value,
			LateWindow:         entry.Millis(f.Policies.LateWindow.Value),
			AwardedGoalEnds:    f.Policies.AwardedGoalEnds.Value,
			MatchApart:         f.Policies.MatchApart.Value,
			EjectedSits:        f.Policies.EjectedSits.Value,
			MisconductsToEject: f.Policies.MisconductsToEject.Value,
		},
		Rules: f.Rules,
	}
	switch code.Policies.OneMinorEach {
	case Substitute, FourOnFour:
	default:
		return nil, fmt.Errorf("%s, line %d: one_minor_each is %q or %q", name,
			lineOf(text, "one_minor_each"), Substitute, FourOnFour)
	}
	for topic, cited := range code.Rules {
		if !slices.Contains(topics, topic) {
			return nil, fmt.Errorf("%s, line %d: there is no topic %q", name, lineOf(text, string(topic)), topic)
		}
		if cited.Source == "" {
			cited.Source = code.Edition
			code.Rules[topic] = cited
		}
	}
	for _, topic := range topics {
		if _, ok := code.Rules[topic]; !ok {
			return nil, fmt.Errorf("%s: [rules] lacks %q", name, topic)
		}
	}
	return code, nil
}

// builtInCodes reads the embedded files once. They are part of the program: a fault
// in one is a fault of the program.
var builtInCodes = sync.OnceValue(func() []*Code {
	var codes []*Code
	var calls callsFile
	must(decode(read("codes/calls.toml"), "calls.toml", &calls))
	for _, name := range list("codes") {
		if name == "calls.toml" {
			continue
		}
		code, err := ParseCode(read(path.Join("codes", name)), name)
		must(err)
		code.Calls = calls.Calls
		codes = append(codes, code)
	}
	return codes
})

func must(err error) {
	if err != nil {
		panic(err)
	}
}

func read(name string) []byte {
	text, err := files.ReadFile(name)
	must(err)
	return text
}

func list(folder string) []string {
	entries, err := fs.ReadDir(files, folder)
	must(err)
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = e.Name()
	}
	return names
}

// Codes lists the codes that the program knows, by id.
func Codes() []*Code { return builtInCodes() }

// CodeByID finds a code.
func CodeByID(id string) (*Code, bool) {
	for _, code := range Codes() {
		if code.ID == id {
			return code, true
		}
	}
	return nil, false
}

func codeIDs() []string {
	var ids []string
	for _, code := range Codes() {
		ids = append(ids, code.ID)
	}
	return ids
}

var builtInDivisions = sync.OnceValue(func() []Division {
	var all []Division
	for _, name := range list("divisions") {
		d, err := ParseDivision(read(path.Join("divisions", name)), name)
		must(err)
		all = append(all, d)
	}
	return all
})

// Divisions lists the divisions that come with the program, by file name.
func Divisions() []Division { return slices.Clone(builtInDivisions()) }
