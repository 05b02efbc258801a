package plot

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"whistlestop/game/entry"
	"whistlestop/game/message"
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
		return Plot{}, message.In(name, message.New("plot.large", "most", mostBytes>>10))
	}
	if !utf8.Valid(text) {
		return Plot{}, message.In(name, message.New("card_file.not_utf8"))
	}
	r := &reader{known: known, plot: Plot{Level: 1, Seed: 1, Clock: entry.Lead, Skills: []Skill{}, Whistles: []Whistle{}}, seen: map[string]bool{}}
	for i, line := range strings.Split(string(text), "\n") {
		line, _, _ = strings.Cut(line, "#")
		fields := strings.Fields(line)
		if len(fields) == 0 {
			continue
		}
		if err := r.line(fields, strings.TrimSpace(line)); err != nil {
			return Plot{}, message.At(name, i+1, err)
		}
	}
	if !r.seen["practice"] {
		return Plot{}, message.At(name, 1, message.New("plot.begins"))
	}
	for _, key := range []string{"id", "title", "division", "home", "visitors"} {
		if !r.seen[key] {
			return Plot{}, message.In(name, message.New("plot.line_missing", "key", message.Plain(key)))
		}
	}
	if !r.seen["box"] {
		r.plot.Box = r.plot.Level >= 1 && r.plot.Level <= Levels && AtLevel[r.plot.Level].Box
	}
	if err := r.plot.Validate(); err != nil {
		return Plot{}, message.In(name, err)
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
			return message.New("plot.begins")
		}
		r.seen[key] = true
		return nil
	}
	if key == "period" {
		if !r.seen["division"] {
			return message.New("plot.division_first")
		}
		if len(rest) != 1 {
			return message.New("plot.period_number")
		}
		n, err := number(rest[0], 1, 20)
		if err != nil || n <= r.period {
			return message.New("plot.periods_follow", "line", message.Plain(whole), "period", r.period)
		}
		r.period = n
		return nil
	}
	if r.period > 0 {
		return r.event(key, rest)
	}
	if r.seen[key] {
		return message.New("plot.twice", "key", key)
	}
	r.seen[key] = true
	if len(rest) == 0 {
		return message.New("plot.nothing", "key", key)
	}
	return r.head(key, rest, strings.TrimSpace(strings.TrimPrefix(whole, key)))
}

// head reads a line before the first period.
func (r *reader) head(key string, rest []string, text string) (err error) {
	p := &r.plot
	if len(rest) > 1 && !slices.Contains([]string{"title", "skills", "home", "visitors", "begin"}, key) {
		return message.New("plot.one_word", "key", key, "text", message.Plain(text))
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
			return message.New("plot.seed", "text", message.Plain(rest[0]))
		}
		p.Seed = uint32(n)
	case "division":
		at := slices.IndexFunc(r.known.Divisions, func(d rulebook.Division) bool { return d.ID == rest[0] })
		if at < 0 {
			ids := make([]string, len(r.known.Divisions))
			for i, d := range r.known.Divisions {
				ids[i] = d.ID
			}
			return message.New("plot.no_division", "division", message.Plain(rest[0]), "known", strings.Join(ids, ", "))
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
				return message.New("plot.skill", "skill", message.Plain(word), "known", Join(Skills))
			}
		}
	case "home":
		p.Home, err = team(text)
	case "visitors":
		p.Visitors, err = team(text)
	default:
		return message.New("plot.heading", "key", message.Plain(key))
	}
	return err
}

func (r *reader) begin(rest []string) error {
	if len(rest) != 2 || !r.seen["division"] {
		return message.New("plot.begin")
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
		return 0, message.New("plot.no_period", "division", r.plot.Division.Name, "period", period)
	}
	left, err := entry.ParseClock(text)
	if err != nil {
		return 0, err
	}
	if !strings.Contains(text, ":") {
		return 0, message.New("when.clock", "text", message.Plain(text))
	}
	if left > length || left%1000 != 0 {
		return 0, message.New("plot.time", "period", period, "longest", length.Left(), "text", text)
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
		return message.New("plot.happens")
	}
	at := entry.At{Period: r.period, Elapsed: elapsed}
	list := &r.plot.Whistles
	if len(*list) >= mostWhistles {
		return message.New("plot.whistles_most", "most", mostWhistles)
	}
	fresh := len(*list) == 0 || (*list)[len(*list)-1].At != at
	if fresh {
		*list = append(*list, Whistle{At: at, Why: ForPuck, Happen: []Happening{}})
	}
	w := &(*list)[len(*list)-1]
	if slices.Contains(Whys, Why(rest[0])) && len(rest) == 1 {
		if !fresh {
			return message.New("plot.whistle_why", "why_not", rest[0])
		}
		w.Why = Why(rest[0])
		return nil
	}
	h, err := r.happening(rest)
	if err == nil {
		err = r.playable(h)
	}
	if err != nil {
		return message.Because(err, "plot.at", "period", r.period, "time", (r.plot.Length(r.period) - elapsed).Left())
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
			return message.New("plot.words", "what", what, "wanted", n, "count", len(rest))
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
			return Happening{}, message.New("plot.time_out", "side", message.Plain(rest[0]))
		}
		return Happening{What: ATimeOut, Side: side}, nil
	case "running-time":
		if err := most(1); err != nil || rest[0] != "on" && rest[0] != "off" {
			return Happening{}, message.New("plot.running_time")
		}
		return Happening{What: ARunningTime, On: rest[0] == "on"}, nil
	case "captain":
		picks, err := jerseys(rest)
		return Happening{What: AChoice, Picks: picks}, err
	default:
		return Happening{}, message.New("plot.at_whistle", "what", message.Plain(what), "known", Join(Whys))
	}
}
