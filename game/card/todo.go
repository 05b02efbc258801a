package card

import (
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Step is one thing to do on the rink's console.
type Step struct {
	ID     string `json:"id"`   // what a tick names
	Task   string `json:"task"` // steps with the same task belong together
	When   When   `json:"when"`
	Text   string `json:"text"` // the card's words, filled in
	Ticked bool   `json:"ticked"`
	// Keys are what is pressed on the console, in its order, where the card says it
	// and every value is known.
	Keys []KeyPress `json:"keys,omitempty"`
	// Lamps are those of the board that the card says something of, as they are when the
	// step is done.
	Lamps []Lamp `json:"lamps,omitempty"`
}

// task is a happening with what fills its steps.
type task struct {
	key    string
	when   When
	fields []string // names and values in turn, as strings.NewReplacer takes them
	each   [][]string
}

// Todo returns the steps that follow from what was posted between two states, at
// the instant now, on a board that read as it should before. They are in the
// order in which they are done.
func Todo(before, after rules.State, c Card, now entry.Millis) []Step {
	was := Should(before, c, now)
	p := panelOf(was)
	past := keysOf(happenings(before, c, was))
	is := Should(after, c, now)
	for _, t := range happenings(after, c, is) {
		if t.when == SetTime && !past[t.key] {
			p.shift(is.Abs-was.Abs, was.Abs, 0)
		}
	}
	return p.steps(after, c, is, past)
}

func keysOf(tasks []task) map[string]bool {
	keys := map[string]bool{}
	for _, t := range tasks {
		if t.when != BeforeGame {
			keys[t.key] = true
		}
	}
	return keys
}

// steps lists what is left to do to make the board read as it should. Past are
// happenings that need nothing any more.
func (p *panel) steps(state rules.State, c Card, r Reading, past map[string]bool) []Step {
	var tasks []task
	for _, t := range happenings(state, c, r) {
		if !past[t.key] {
			tasks = append(tasks, t)
		}
	}
	if !r.NoScore {
		tasks = append(tasks, p.goals(state, c, r)...)
	}
	for i := range entry.Sides {
		tasks = append(tasks, p.penalties(state, c, r, i)...)
	}
	entry.Arrange(tasks, func(a, b task) int { return slices.Index(Whens, a.when) - slices.Index(Whens, b.when) })
	steps := []Step{}
	for _, t := range tasks {
		steps = append(steps, p.fill(t, c, r)...)
	}
	return steps
}

// fill writes the steps of a task.
func (p *panel) fill(t task, c Card, r Reading) []Step {
	var steps []Step
	left := false
	template := c.of(t.when)
	add := func(i int, step, text string, fields []string) {
		id := p.stepID(t.key, step)
		fields = append(slices.Clone(fields),
			"{home}", strconv.Itoa(r.Score[0]), "{visitors}", strconv.Itoa(r.Score[1]))
		steps = append(steps, Step{
			ID: id, Task: t.key, When: t.when, Text: strings.NewReplacer(fields...).Replace(text), Ticked: p.part[id],
			Keys: filled(template.press(i), fields), Lamps: template.Lamps(i, fieldOf(fields, sideGap)),
		})
		left = left || !p.part[id]
	}
	for i, text := range template.Do {
		if repeats(t.when, text+template.press(i)) {
			for _, fields := range t.each {
				add(i, strconv.Itoa(i)+"."+fields[len(fields)-1], text, append(slices.Clone(fields[:len(fields)-1]), t.fields...))
			}
			continue
		}
		add(i, strconv.Itoa(i), text, t.fields)
	}
	if !left { // all of it was done
		return nil
	}
	return steps
}

// fieldOf is what fills a gap; "" where nothing does.
func fieldOf(fields []string, gap string) string {
	for i := 0; i+1 < len(fields); i += 2 {
		if fields[i] == gap {
			return fields[i+1]
		}
	}
	return ""
}

// repeats reports whether a step of an intermission is done for each penalty.
func repeats(when When, text string) bool {
	if when != HoldPenalties && when != Intermission && when != AfterIntermission {
		return false
	}
	for _, gap := range []string{"{side}", "{team}", "{number}", "{line}", "{minutes}"} {
		if strings.Contains(text, gap) {
			return true
		}
	}
	return false
}

// goals counts the score of the board up or down to what it should be, goal by
// goal: some consoles take the score, some a key a goal.
func (p *panel) goals(state rules.State, c Card, r Reading) (tasks []task) {
	for i, side := range entry.Sides {
		add := func(when When, score int) {
			both := p.score
			both[i] = score
			tasks = append(tasks, task{when: when, key: key(when, string(side), strconv.Itoa(score)), fields: []string{
				"{side}", c.word(side), "{team}", state.Teams[i].Name, "{score}", strconv.Itoa(score),
				"{home}", strconv.Itoa(both[0]), "{visitors}", strconv.Itoa(both[1]),
			}})
		}
		for score := p.score[i] + 1; score <= r.Score[i]; score++ {
			add(Goal, score)
		}
		for score := p.score[i] - 1; score >= r.Score[i]; score-- {
			add(GoalTakenBack, score)
		}
	}
	return tasks
}

// penalties compares the lines of a side with what they should be.
func (p *panel) penalties(state rules.State, c Card, r Reading, i int) (tasks []task) {
	if k := state.Stage.Kind; c.Board.PenaltyLines == 0 || k == entry.ShootOut || k == entry.Over {
		return nil
	}
	side := string(entry.Sides[i])
	var left []shown // what runs on the board, and was not found yet
	for _, s := range p.sides[i] {
		if s.end > r.Abs {
			left = append(left, s)
		}
	}
	places := slices.Clone(left)
	take := func(is func(shown) bool) (shown, bool) {
		at := slices.IndexFunc(left, is)
		if at < 0 {
			return shown{}, false
		}
		found := left[at]
		left = slices.Delete(left, at, at+1)
		return found, true
	}
	rows := map[string]shown{}
	for _, l := range r.Sides[i].Lines {
		if s, ok := take(func(s shown) bool { return s.row == l.row }); ok {
			rows[l.row] = s
		}
	}
	for place, l := range r.Sides[i].Lines {
		s, known := rows[l.row]
		if !known { // the number was put right
			s, known = take(func(s shown) bool { return s.entry == l.Entry })
		}
		fields := lineFields(state, c, l, place)
		tail := []string{l.row, l.Entry, millis(l.End), l.Number}
		switch {
		case !known:
			tasks = append(tasks, task{
				when: PenaltyPosted, fields: fields,
				key: key(PenaltyPosted, append([]string{side, ""}, tail...)...),
			})
		case s.end != l.End || s.number != l.Number:
			tasks = append(tasks, task{
				when: PenaltyChanged, fields: fields,
				key: key(PenaltyChanged, append([]string{side, s.row}, tail...)...),
			})
		}
	}
	for _, s := range left {
		place := slices.IndexFunc(places, func(o shown) bool { return o.row == s.row })
		tasks = append(tasks, task{
			when: PenaltyTakenDown, key: key(PenaltyTakenDown, side, s.row),
			fields: []string{
				"{side}", c.word(entry.Sides[i]), "{team}", state.Teams[i].Name,
				"{number}", numberWord(s.number), "{line}", strconv.Itoa(place + 1),
			},
		})
	}
	return tasks
}

// lineFields are what fills a step about a penalty that should be on a line.
func lineFields(state rules.State, c Card, l Line, place int) []string {
	return []string{
		"{side}", c.word(l.side), "{team}", state.Teams[l.side.Index()].Name, "{number}", numberWord(l.Number),
		"{line}", strconv.Itoa(place + 1), "{minutes}", minutes(l.minutes), "{time}", l.Text,
	}
}

// numberWord is a number that may not be known yet.
func numberWord(number string) string {
	if number == "" {
		return "?"
	}
	return number
}

// minutes writes a length as a crew says it: 2, or 1:30.
func minutes(length entry.Millis) string {
	if length%entry.Clock(1, 0) == 0 {
		return strconv.FormatInt(int64(length/entry.Clock(1, 0)), 10)
	}
	return length.String()
}
