package plot

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// Known is what a script's file may name.
type Known struct {
	Divisions []rulebook.Division
	Card      json.RawMessage // of a script that follows the rink's board
}

// mostBytes is the most that a script's file may have.
const mostBytes = 64 << 10

// Parse reads the file of a script. The name is used in errors, which say on
// which line what is wrong and what to do.
func Parse(text []byte, name string, known Known) (Plot, error) {
	if len(text) > mostBytes {
		return Plot{}, fmt.Errorf("%s: the file has more than %d kB; a script is shorter", name, mostBytes>>10)
	}
	if !utf8.Valid(text) {
		return Plot{}, fmt.Errorf("%s: the file is not UTF-8 text; save it as UTF-8", name)
	}
	r := &reader{known: known, plot: Plot{Level: 1, Seed: 1, Clock: entry.Lead, Skills: []Skill{}, Whistles: []Whistle{}}, seen: map[string]bool{}}
	for i, line := range strings.Split(string(text), "\n") {
		line, _, _ = strings.Cut(line, "#")
		fields := strings.Fields(line)
		if len(fields) == 0 {
			continue
		}
		if err := r.line(fields, strings.TrimSpace(line)); err != nil {
			return Plot{}, fmt.Errorf("%s, line %d: %w", name, i+1, err)
		}
	}
	if !r.seen["practice"] {
		return Plot{}, fmt.Errorf("%s, line 1: a script begins with \"practice 1\"", name)
	}
	for _, key := range []string{"id", "title", "division", "home", "visitors"} {
		if !r.seen[key] {
			return Plot{}, fmt.Errorf("%s: the line %q is missing", name, key)
		}
	}
	if !r.seen["box"] {
		r.plot.Box = r.plot.Level >= 1 && r.plot.Level <= Levels && AtLevel[r.plot.Level].Box
	}
	if err := r.plot.Validate(); err != nil {
		return Plot{}, fmt.Errorf("%s: %w", name, err)
	}
	return r.plot, nil
}

type reader struct {
	known  Known
	plot   Plot
	period int
	seen   map[string]bool
}

func (r *reader) line(fields []string, whole string) error {
	key, rest := fields[0], fields[1:]
	if !r.seen["practice"] {
		if key != "practice" || len(rest) != 1 || rest[0] != "1" {
			return errors.New("a script begins with \"practice 1\"")
		}
		r.seen[key] = true
		return nil
	}
	if key == "period" {
		if !r.seen["division"] {
			return errors.New("the division comes before the first period")
		}
		if len(rest) != 1 {
			return errors.New("write the number of the period, such as \"period 1\"")
		}
		n, err := number(rest[0], 1, 20)
		if err != nil || n <= r.period {
			return fmt.Errorf("the periods follow one another; %q cannot come after period %d", whole, r.period)
		}
		r.period = n
		return nil
	}
	if r.period > 0 {
		return r.event(key, rest)
	}
	if r.seen[key] {
		return fmt.Errorf("%s stands here twice", key)
	}
	r.seen[key] = true
	if len(rest) == 0 {
		return fmt.Errorf("%s says nothing", key)
	}
	return r.head(key, rest, strings.TrimSpace(strings.TrimPrefix(whole, key)))
}

// head reads a line before the first period.
func (r *reader) head(key string, rest []string, text string) (err error) {
	p := &r.plot
	if len(rest) > 1 && !slices.Contains([]string{"title", "skills", "home", "visitors", "begin"}, key) {
		return fmt.Errorf("%s has one word, not %q", key, text)
	}
	switch key {
	case "id":
		p.ID = text
	case "title":
		p.Title = text
	case "level":
		p.Level, err = number(rest[0], 1, Levels)
	case "seed":
		var n uint64
		if n, err = strconv.ParseUint(rest[0], 10, 32); err != nil {
			return fmt.Errorf("the seed is a whole number up to 4294967295, not %q", rest[0])
		}
		p.Seed = uint32(n)
	case "division":
		at := slices.IndexFunc(r.known.Divisions, func(d rulebook.Division) bool { return d.ID == rest[0] })
		if at < 0 {
			ids := make([]string, len(r.known.Divisions))
			for i, d := range r.known.Divisions {
				ids[i] = d.ID
			}
			return fmt.Errorf("there is no division %q; the divisions are %s", rest[0], strings.Join(ids, ", "))
		}
		p.Division = r.known.Divisions[at]
	case "clock":
		p.Clock = entry.ClockMode(rest[0])
		if p.Clock == entry.Follow {
			p.Card = r.known.Card
		}
	case "box":
		p.Box, err = yesNo(rest[0])
	case "drill":
		p.Short, err = yesNo(rest[0])
	case "begin":
		return r.begin(rest)
	case "skills":
		for _, word := range rest {
			p.Skills = append(p.Skills, Skill(word))
			if !Skill(word).Valid() {
				return fmt.Errorf("there is no skill %q; the skills are %s", word, Join(Skills))
			}
		}
	case "home":
		p.Home, err = team(text)
	case "visitors":
		p.Visitors, err = team(text)
	default:
		return fmt.Errorf("nothing is called %q here; before the first period a script has id, title, level, seed, "+
			"division, clock, box, drill, begin, skills, home and visitors", key)
	}
	return err
}

func (r *reader) begin(rest []string) error {
	if len(rest) != 2 || !r.seen["division"] {
		return errors.New("begin comes after the division and has a period and the time on its clock, such as \"begin 1 7:31\"")
	}
	period, err := number(rest[0], 1, 20)
	if err != nil {
		return err
	}
	elapsed, err := r.elapsed(period, rest[1])
	r.plot.Begin = entry.At{Period: period, Elapsed: elapsed}
	return err
}

// elapsed turns the time on a period's clock into the time that was played.
func (r *reader) elapsed(period int, text string) (entry.Millis, error) {
	length := r.plot.Length(period)
	if length == 0 {
		return 0, fmt.Errorf("%s has no period %d", r.plot.Division.Name, period)
	}
	left, err := entry.ParseClock(text)
	if err != nil {
		return 0, err
	}
	if !strings.Contains(text, ":") {
		return 0, fmt.Errorf("%q is not a time: write minutes and seconds, such as 5:13", text)
	}
	if left > length || left%1000 != 0 {
		return 0, fmt.Errorf("the clock of period %d shows whole seconds from %s to 0:00, not %s", period, length.Left(), text)
	}
	return length - left, nil
}

// event reads a line of a period: a time and what happens.
func (r *reader) event(time string, rest []string) error {
	elapsed, err := r.elapsed(r.period, time)
	if err != nil {
		return err
	}
	if len(rest) == 0 {
		return errors.New("say what happens at this time, such as \"offside\" or \"goal home 9 from 7\"")
	}
	at := entry.At{Period: r.period, Elapsed: elapsed}
	list := &r.plot.Whistles
	if len(*list) >= mostWhistles {
		return fmt.Errorf("a script has at most %d whistles", mostWhistles)
	}
	fresh := len(*list) == 0 || (*list)[len(*list)-1].At != at
	if fresh {
		*list = append(*list, Whistle{At: at, Why: ForPuck, Happen: []Happening{}})
	}
	w := &(*list)[len(*list)-1]
	if slices.Contains(Whys, Why(rest[0])) && len(rest) == 1 {
		if !fresh {
			return fmt.Errorf("what the whistle was for, %s, comes first and once", rest[0])
		}
		w.Why = Why(rest[0])
		return nil
	}
	h, err := r.happening(rest)
	if err != nil {
		return err
	}
	w.Happen = append(w.Happen, h)
	if fresh {
		w.Why = UsualWhy(w.Happen)
	}
	return nil
}

func (r *reader) happening(rest []string) (Happening, error) {
	what, rest := rest[0], rest[1:]
	most := func(n int) error {
		if len(rest) != n {
			return fmt.Errorf("%s has %d words after it, not %d", what, n, len(rest))
		}
		return nil
	}
	switch what {
	case "goal":
		g, err := readGoal(rest)
		return Happening{What: AGoal, Goal: &g}, err
	case "penalty":
		p, mumbled, err := readPenalty(rest)
		return Happening{What: APenalty, Penalty: &p, Mumbled: mumbled}, err
	case "no-goal":
		return Happening{What: ANoGoal}, most(0)
	case "clock-to":
		if err := most(1); err != nil {
			return Happening{}, err
		}
		to, err := r.elapsed(r.period, rest[0])
		return Happening{What: AClockBack, To: to}, err
	case "time-out":
		if err := most(1); err != nil {
			return Happening{}, err
		}
		side := entry.Side(rest[0])
		if rest[0] == "officials" {
			side = ""
		} else if !side.Valid() {
			return Happening{}, fmt.Errorf("a time-out is for home, visitors or officials, not %q", rest[0])
		}
		return Happening{What: ATimeOut, Side: side}, nil
	case "running-time":
		if err := most(1); err != nil || rest[0] != "on" && rest[0] != "off" {
			return Happening{}, errors.New("running-time is on or off")
		}
		return Happening{What: ARunningTime, On: rest[0] == "on"}, nil
	case "captain":
		picks, err := jerseys(rest)
		return Happening{What: AChoice, Picks: picks}, err
	default:
		return Happening{}, fmt.Errorf("nothing is called %q; at a whistle there can be goal, penalty, no-goal, clock-to, "+
			"time-out, running-time and captain, or what it was for: %s", what, Join(Whys))
	}
}
