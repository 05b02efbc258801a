package announce

import (
	"cmp"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// Kind is what an announcement is about.
type Kind string

// The kinds of announcements.
const (
	Before       Kind = "before" // the game: welcome, rosters, officials
	Goal         Kind = "goal"
	Penalty      Kind = "penalty"
	TakenBack    Kind = "taken_back" // a goal that was announced and does not count
	TimeOut      Kind = "time_out"
	FullStrength Kind = "full_strength"
	LastMinute   Kind = "last_minute"
)

// Announcement is one thing to say.
type Announcement struct {
	Key   string       `json:"key"` // names it and what it says; posted when it was said
	Kind  Kind         `json:"kind"`
	Entry string       `json:"entry,omitempty"` // that it is about
	At    rules.Moment `json:"at"`
	Due   entry.Millis `json:"due_abs_ms"` // moment of play from which it may be said
	Says  []rules.Say  `json:"says"`
	Twice bool         `json:"twice"` // read it twice
	Waits bool         `json:"waits"` // the referee has not said everything yet
	Said  bool         `json:"said"`
	// Again says that it was announced before with other words: a correction.
	Again bool `json:"again"`
}

// builder gathers announcements.
type builder struct {
	state rules.State
	said  map[string]bool // by whole key
	about map[string]bool // by key without what it says
	list  []Announcement
}

// List lists everything that is or will be to say, in the order of the game.
// Moments that are still to come hold if play goes on without a whistle.
func List(state rules.State) []Announcement {
	b := &builder{state: state, said: map[string]bool{}, about: map[string]bool{}, list: []Announcement{}}
	for _, key := range state.Book.Said {
		b.said[key] = true
		b.about[subject(key)] = true
	}
	b.before()
	b.goals()
	b.takenBack()
	b.penalties()
	b.timeOuts()
	b.fullStrength()
	b.lastMinutes()
	entry.Arrange(b.list, func(x, y Announcement) int { return cmp.Compare(x.Due, y.Due) })
	return b.list
}

// subject is a key without what it says: its first two words.
func subject(key string) string {
	parts := strings.SplitN(key, "/", 3)
	return strings.Join(parts[:min(2, len(parts))], "/")
}

// add adds one thing to say about a subject, with what it says now.
func (b *builder) add(a Announcement, about string, content ...string) {
	a.Key = about
	if len(content) > 0 {
		a.Key += "/" + strings.Join(content, ".")
	}
	a.Said = b.said[a.Key]
	a.Again = !a.Said && b.about[about]
	if a.Again {
		a.Says = append([]rules.Say{{Key: "announce.correction"}}, a.Says...)
	}
	b.list = append(b.list, a)
}

func say(key string, pairs ...string) rules.Say {
	return rules.Say{Key: "announce." + key, Args: rules.Pairs(pairs...)}
}

func (b *builder) team(s entry.Side) string { return b.state.Teams[s.Index()].Name }

// player is a number with the name of the roster.
func (b *builder) player(s entry.Side, number entry.Jersey) string {
	for _, p := range b.state.Teams[s.Index()].Players {
		if p.Number == number && p.Name != "" {
			return string(number) + ", " + p.Name
		}
	}
	return string(number)
}

// time is a moment in the form of the division's report: whole seconds, tenths
// that are left rounded up (IIHF 2025/26 Rules 33.2 and 35.6).
func (b *builder) time(m rules.Moment) string {
	left := (m.Left + 999) / 1000 * 1000
	if b.state.Division.ReportTimes == rulebook.TimesRemaining {
		return left.String()
	}
	return (m.Elapsed + m.Left - left).String()
}

// before is the usual order before a game: welcome, the visitors' roster, the
// home roster, officials (a European national body's announcement guide, 2007).
func (b *builder) before() {
	s := b.state
	b.add(Announcement{Kind: Before, Says: []rules.Say{
		say("welcome", "home", b.team(entry.Home), "visitors", b.team(entry.Visitors)),
	}}, "before/welcome")
	for _, side := range []entry.Side{entry.Visitors, entry.Home} {
		says := []rules.Say{say("roster", "team", b.team(side))}
		for _, p := range s.Teams[side.Index()].Players {
			if !p.Status.Plays() {
				continue
			}
			key := "roster_line"
			switch {
			case p.Goalkeeper || p.Position == entry.Keeps:
				key = "roster_goalkeeper"
			case p.Captain:
				key = "roster_captain"
			}
			says = append(says, say(key, "player", b.player(side, p.Number)))
		}
		if len(says) > 1 {
			b.add(Announcement{Kind: Before, Says: says}, "before/roster-"+string(side))
		}
	}
	var says []rules.Say
	for _, o := range s.Book.Crew.Officials {
		says = append(says, say("official", "role", "@role."+string(o.Role), "name", o.Name))
	}
	if len(says) > 0 {
		b.add(Announcement{Kind: Before, Says: says}, "before/officials")
	}
}

// goals: team, number, name, assists, time (IIHF Official Rule Book 2022/23
// Rule 31; IIHF Rule Book 2010, Annex 3).
func (b *builder) goals() {
	for _, g := range b.state.Goals {
		pairs := []string{"team", b.team(g.Side), "time", b.time(g.Moment)}
		a := Announcement{Kind: Goal, Entry: g.Entry, At: g.Moment, Due: g.Moment.Abs}
		content := []string{string(g.Scorer)}
		key := "goal"
		switch {
		case g.OwnGoal && g.Scorer == "":
			key = "own_goal"
		case g.Scorer == "":
			key, a.Waits = "goal_owed", true
		default:
			pairs = append(pairs, "player", b.player(g.Side, g.Scorer))
		}
		for i, assist := range g.Assists {
			if assist == "" {
				a.Waits = true
				continue
			}
			content = append(content, string(assist))
			if key == "goal" || key == "goal_1" {
				key = "goal_" + string(rune('1'+i))
				pairs = append(pairs, "assist"+string(rune('1'+i)), b.player(g.Side, assist))
			}
		}
		a.Says = []rules.Say{say(key, pairs...)}
		b.add(a, "goal/"+g.Entry, content...)
	}
}

// takenBack: a goal that was announced and was struck since. The reason is the
// referee's (IIHF Official Rule Book 2022/23 Rule 31).
func (b *builder) takenBack() {
	for _, line := range b.state.Lines {
		if line.Kind != entry.KindGoal || !line.Struck || !b.about["goal/"+line.Entry] {
			continue
		}
		goal, ok := line.Body.(entry.Goal)
		if !ok {
			continue
		}
		a := Announcement{Kind: TakenBack, Entry: line.Entry, At: line.Moment, Due: line.Moment.Abs}
		a.Says = []rules.Say{say("taken_back", "team", b.team(goal.Side), "time", b.time(line.Moment))}
		b.add(a, "taken_back/"+line.Entry)
	}
}

// penalties of one stoppage: the visitors' first, each read twice: team, number,
// name, minutes, reason, time, and who serves where it is not the offender (USA
// Hockey Rule 507 note 1; IIHF 2022/23 Rules 31.7 and 35.1). Of several game
// misconducts to one player one is announced (IIHF Rule 35.1).
func (b *builder) penalties() {
	calls := slices.Clone(b.state.Calls)
	entry.Arrange(calls, func(x, y rules.Call) int {
		return cmp.Or(cmp.Compare(x.Moment.Abs, y.Moment.Abs), cmp.Compare(y.Side.Index(), x.Side.Index()))
	})
	sentOff := map[string]bool{} // by moment, side and player
	for _, c := range calls {
		off := b.time(c.Moment) + "/" + string(c.Side) + "/" + string(c.Player)
		if slices.Equal(c.Parts, []entry.Part{entry.GameMisconduct}) && c.Player != "" && sentOff[off] {
			continue
		}
		sentOff[off] = sentOff[off] || slices.Contains(c.Parts, entry.GameMisconduct)
		b.penalty(c)
	}
}

func (b *builder) penalty(c rules.Call) {
	a := Announcement{
		Kind: Penalty, Entry: c.Entry, At: c.Moment, Due: c.Moment.Abs, Twice: true,
		Waits: c.Player == "" && !c.Bench || c.Call == "",
	}
	lengths, served := b.served(c)
	pairs := []string{
		"team", b.team(c.Side), "player", b.player(c.Side, c.Player), "call", "@call." + c.Call,
		"parts", rules.PartsArg(c.Parts), "length", lengths, "time", b.time(c.Moment),
	}
	key := "penalty"
	switch {
	case c.Bench:
		key = "bench_penalty"
	case c.Player == "":
		key = "penalty_owed"
	}
	if c.Call == "" {
		pairs[5] = "@call.owed"
	}
	if lengths == "" {
		key += "_untimed"
	}
	a.Says = []rules.Say{say(key, pairs...)}
	if served != "" {
		a.Says = append(a.Says, say("served", "player", b.player(c.Side, served)))
	}
	content := []string{string(c.Player), c.Call, lengths, string(served)}
	for _, p := range c.Parts {
		content = append(content, string(p))
	}
	b.add(a, "penalty/"+c.Entry, content...)
}

// served returns the minutes of a call, part by part, and who serves it where
// that is not the offender.
func (b *builder) served(c rules.Call) (lengths string, by entry.Jersey) {
	var list []string
	for _, t := range b.state.Terms {
		if t.Entry != c.Entry {
			continue
		}
		if t.Length > 0 && !t.Part.Ejects() && t.Part != entry.PenaltyShot {
			list = append(list, minutes(t.Length))
		}
		if t.Sits != "" && t.Sits != c.Player {
			by = t.Sits
		}
	}
	return strings.Join(list, " + "), by
}

// minutes writes a length as it is said: "2", "1:30".
func minutes(m entry.Millis) string {
	return strings.TrimSuffix(m.String(), ":00")
}

func (b *builder) timeOuts() {
	for _, line := range b.state.Lines {
		body, ok := line.Body.(entry.TimeOut)
		if !ok || line.Struck {
			continue
		}
		a := Announcement{Kind: TimeOut, Entry: line.Entry, At: line.Moment, Due: line.Moment.Abs}
		a.Says = []rules.Say{say("time_out_officials")}
		if body.Side.Valid() {
			a.Says = []rules.Say{say("time_out", "team", b.team(body.Side))}
		}
		b.add(a, "time_out/"+line.Entry, string(body.Side))
	}
}
