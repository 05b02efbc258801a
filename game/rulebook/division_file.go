package rulebook

import (
	"bytes"
	"cmp"
	"encoding/json"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"whistlestop/game/datafile"
	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// ParseDivision reads a division file. The name is used in errors, which say on
// which line what is wrong and what to do.
func ParseDivision(text []byte, name string) (Division, error) {
	var d Division
	if err := datafile.Decode(text, name, &d); err != nil {
		return Division{}, err
	}
	if d.Overtime.Periods == nil {
		d.Overtime.Periods = []OvertimePeriod{}
	}
	if key, err := d.check(); err != nil {
		return Division{}, message.At(name, datafile.LineOf(text, key), err)
	}
	if key := d.unsourced(text); key != "" {
		return Division{}, message.At(name, datafile.LineOf(text, key), message.New("division_file.source", "setting", key))
	}
	return d, nil
}

// unsourced returns the first setting of a division file without a source: a
// setting outside any table, or a table.
func (d Division) unsourced(text []byte) string {
	for _, key := range append(d.plain(), tables(text)...) {
		if d.Sources[key] == "" {
			return key
		}
	}
	return ""
}

// tables lists the tables of a division file but that of the sources, however
// they are written: under a heading, with dots, or on one line.
func tables(text []byte) (names []string) {
	var file map[string]any
	if _, err := toml.Decode(string(text), &file); err != nil {
		return nil // the file was read before, so it can be read again
	}
	for name, value := range file {
		if _, ok := value.(map[string]any); ok && name != "source" {
			names = append(names, name)
		}
	}
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(cmp.Compare(datafile.LineOf(text, a), datafile.LineOf(text, b)), cmp.Compare(a, b))
	})
	return names
}

// plain are the settings outside any table that need a source when they are
// given.
func (d Division) plain() []string {
	keys := []string{"periods", "skaters"}
	if d.WarmUp > 0 {
		keys = append(keys, "warm_up")
	}
	if len(d.Intermissions) > 0 {
		keys = append(keys, "intermissions")
	}
	if d.ShortGoalFrees {
		keys = append(keys, "short_goal_frees")
	}
	if d.ReportTimes != TimesUnsaid {
		keys = append(keys, "report_times")
	}
	return keys
}

// Validate reports what is wrong with a division that did not come from a file.
func (d Division) Validate() error {
	_, err := d.check()
	return err
}

// Fault returns what is wrong with a division and the setting that it is about,
// as the file names it; nothing where it can be used.
func (d Division) Fault() (key string, err error) { return d.check() }

// check returns the first fault of a division and the key of the file that
// holds it.
func (d Division) check() (key string, err error) {
	switch {
	case d.ID == "":
		return "id", message.New("division_file.id")
	case d.Name == "":
		return "name", message.New("division_file.name")
	case len(d.Periods) == 0 || len(d.Periods) > 9:
		return "periods", message.New("division_file.periods")
	case len(d.Intermissions) != len(d.Periods)-1:
		return "intermissions", message.New("division_file.intermissions", "periods", len(d.Periods), "wanted", len(d.Periods)-1, "given", len(d.Intermissions))
	case d.Skaters < 3 || d.Skaters > 6:
		return "skaters", message.New("division_file.skaters", "skaters", d.Skaters)
	}
	if _, ok := CodeByID(d.Code); !ok {
		return "code", message.New("division_file.code", "code", message.Plain(d.Code), "known", strings.Join(codeIDs(), ", "))
	}
	for _, check := range []func() (string, error){d.checkTimes, d.checkOvertime, d.checkWords, d.checkCounts} {
		if key, err := check(); err != nil {
			return key, err
		}
	}
	return "", nil
}

func (d Division) checkTimes() (string, error) {
	for _, length := range d.Periods {
		if length <= 0 || length > entry.Clock(60, 0) {
			return "periods", message.New("division_file.period", "time", length)
		}
	}
	l := d.Lengths
	for _, length := range []entry.Millis{l.Minor, l.BenchMinor, l.Major, l.Match, l.Misconduct} {
		if length <= 0 || length > entry.Clock(30, 0) {
			return "lengths", message.New("division_file.length", "time", length)
		}
	}
	return "", nil
}

func (d Division) checkOvertime() (string, error) {
	if len(d.Overtime.Periods) > 9 {
		return "overtime", message.New("division_file.overtimes")
	}
	for _, o := range d.Overtime.Periods {
		if o.Length <= 0 || o.Length > entry.Clock(60, 0) {
			return "overtime", message.New("division_file.overtime", "time", o.Length)
		}
		if o.Skaters < 3 || o.Skaters > d.Skaters {
			return "overtime", message.New("division_file.overtime_skaters", "most", d.Skaters, "skaters", o.Skaters)
		}
	}
	return "", nil
}

// checkWords looks at the settings that are one of a few words.
func (d Division) checkWords() (string, error) {
	if !slices.Contains([]MinorForm{MinorTimed, MinorShot, MinorShotTime, MinorShift}, d.Lengths.Form) {
		return "form", message.New("division_file.one_of_three", "setting", "form", "one", message.Plain(MinorShot), "other", message.Plain(MinorShotTime), "third", message.Plain(MinorShift))
	}
	if !slices.Contains([]Returns{ReturnsUnsaid, ReturnsNever, ReturnsBelow, ReturnsClosed}, d.Running.Returns) {
		return "returns", message.New("division_file.one_of_three", "setting", "returns", "one", message.Plain(ReturnsNever), "other", message.Plain(ReturnsBelow), "third", message.Plain(ReturnsClosed))
	}
	if !slices.Contains([]SlotAction{SlotUnsaid, SlotSetAndRun, SlotRun, SlotEnd}, d.Slot.Action) {
		return "action", message.New("division_file.one_of_three", "setting", "action", "one", message.Plain(SlotSetAndRun), "other", message.Plain(SlotRun), "third", message.Plain(SlotEnd))
	}
	if !slices.Contains([]ReportTimes{TimesUnsaid, TimesElapsed, TimesRemaining}, d.ReportTimes) {
		return "report_times", message.New("division_file.one_of_two", "setting", "report_times", "one", message.Plain(TimesElapsed), "other", message.Plain(TimesRemaining))
	}
	return "", nil
}

// checkCounts looks at the settings that are small counts.
func (d Division) checkCounts() (string, error) {
	for _, c := range []struct {
		key         string
		value, most int
	}{
		{"shooters", d.ShootOut.Shooters, 20}, {"each", d.TimeOut.Each, 9}, {"lead", d.Running.Lead, 30},
		{"from_period", d.Running.FromPeriod, len(d.Periods)}, {"stop_within", d.Clock.StopWithin, 30},
		{"penalties", d.Limits.Penalties, 30}, {"team_penalties", d.Limits.TeamPenalties, 99},
		{"goals_by_player", d.Limits.GoalsByPlayer, 30},
		{"dressed", d.Limits.Dressed, 60}, {"least_skaters", d.Limits.LeastSkaters, 30},
		{"least_players", d.Limits.LeastPlayers, 30}, {"lead_at_most", d.Display.LeadAtMost, 30},
	} {
		if c.value < 0 || c.value > c.most {
			return c.key, message.New("division_file.count", "setting", c.key, "most", c.most, "count", c.value)
		}
	}
	for _, period := range d.Clock.RunningPeriods {
		if period < 1 || period > len(d.Periods) {
			return "running_periods", message.New("division_file.running_periods", "most", len(d.Periods), "period", period)
		}
	}
	return "", nil
}

// DivisionFromJSON reads the copy that a game's first entry carries.
func DivisionFromJSON(raw json.RawMessage) (Division, error) {
	var d Division
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&d); err != nil {
		return Division{}, message.Because(err, "division_file.unreadable")
	}
	if d.Overtime.Periods == nil {
		d.Overtime.Periods = []OvertimePeriod{}
	}
	return d, d.Validate()
}
