package rulebook

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"whistlestop/game/datafile"
	"whistlestop/game/entry"
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
		return Division{}, fmt.Errorf("%s, line %d: %s", name, datafile.LineOf(text, key), err)
	}
	if key := d.unsourced(text); key != "" {
		return Division{}, fmt.Errorf("%s, line %d: %s has no source: add it under [source] and say where its "+
			"value was read, or \"common practice, no source\"", name, datafile.LineOf(text, key), key)
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
	}
	if _, ok := CodeByID(d.Code); !ok {
		return "code", fmt.Errorf("there is no code %q; the codes are %s", d.Code, strings.Join(codeIDs(), ", "))
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
			return "periods", fmt.Errorf("a period lasts more than 0:00 and at most 60:00, not %s", length)
		}
	}
	l := d.Lengths
	for _, length := range []entry.Millis{l.Minor, l.BenchMinor, l.Major, l.Match, l.Misconduct} {
		if length <= 0 || length > entry.Clock(30, 0) {
			return "lengths", fmt.Errorf("a penalty lasts more than 0:00 and at most 30:00, not %s; give minor, "+
				"bench_minor, major, match and misconduct", length)
		}
	}
	return "", nil
}

func (d Division) checkOvertime() (string, error) {
	if len(d.Overtime.Periods) > 9 {
		return "overtime", errors.New("give at most nine overtime periods, or let the last one repeat")
	}
	for _, o := range d.Overtime.Periods {
		if o.Length <= 0 || o.Length > entry.Clock(60, 0) {
			return "overtime", fmt.Errorf("an overtime period lasts more than 0:00 and at most 60:00, not %s", o.Length)
		}
		if o.Skaters < 3 || o.Skaters > d.Skaters {
			return "overtime", fmt.Errorf("overtime is played with three to %d skaters a side, not %d", d.Skaters, o.Skaters)
		}
	}
	return "", nil
}

// checkWords looks at the settings that are one of a few words.
func (d Division) checkWords() (string, error) {
	if !slices.Contains([]MinorForm{MinorTimed, MinorShot, MinorShotTime, MinorShift}, d.Lengths.Form) {
		return "form", fmt.Errorf("form is %q, %q or %q, or left out", MinorShot, MinorShotTime, MinorShift)
	}
	if !slices.Contains([]Returns{ReturnsUnsaid, ReturnsNever, ReturnsBelow, ReturnsClosed}, d.Running.Returns) {
		return "returns", fmt.Errorf("returns is %q, %q or %q, or left out", ReturnsNever, ReturnsBelow, ReturnsClosed)
	}
	if !slices.Contains([]SlotAction{SlotUnsaid, SlotSetAndRun, SlotRun, SlotEnd}, d.Slot.Action) {
		return "action", fmt.Errorf("action is %q, %q or %q, or left out", SlotSetAndRun, SlotRun, SlotEnd)
	}
	if !slices.Contains([]ReportTimes{TimesUnsaid, TimesElapsed, TimesRemaining}, d.ReportTimes) {
		return "report_times", fmt.Errorf("report_times is %q or %q, or left out", TimesElapsed, TimesRemaining)
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
			return c.key, fmt.Errorf("%s is a number from 0 to %d, not %d", c.key, c.most, c.value)
		}
	}
	for _, period := range d.Clock.RunningPeriods {
		if period < 1 || period > len(d.Periods) {
			return "running_periods", fmt.Errorf("running_periods names periods from 1 to %d, not %d", len(d.Periods), period)
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
		return Division{}, fmt.Errorf("the division cannot be read: %w", err)
	}
	if d.Overtime.Periods == nil {
		d.Overtime.Periods = []OvertimePeriod{}
	}
	return d, d.Validate()
}
