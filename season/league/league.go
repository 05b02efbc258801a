package league

import "whistlestop/game/dates"

// League is what a season is made of.
type League struct {
	Name   string    `toml:"name"`
	Season string    `toml:"season"` // as people call it: 2026-27
	From   dates.Day `toml:"from"`
	To     dates.Day `toml:"to"`   // the last day
	Zone   string    `toml:"zone"` // of the rinks' clocks, by its IANA name

	Rinks     []Rink     `toml:"rink"`
	Ice       []Ice      `toml:"ice"`
	Closed    []Span     `toml:"closed"` // days on which nobody plays
	Shared    []Shared   `toml:"shared"`
	Limits    Limits     `toml:"limits"`
	Divisions []Division `toml:"division"`

	Standings   *Ranking    `toml:"standings"`   // how teams are ranked; a division may have its own
	Suspensions *Discipline `toml:"suspensions"` // what calls cost later, and how it is served
	Figures     Leaders     `toml:"figures"`
	HandIn      HandIn      `toml:"hand_in"`
	People      []Person    `toml:"person"` // of more than one team, or of a name that two have
}

// Rink is a hall with one or more sheets of ice.
type Rink struct {
	ID     string         `toml:"id"`
	Name   string         `toml:"name"`
	Sheets int            `toml:"sheets"` // left out: one
	Drive  map[string]int `toml:"drive"`  // minutes on the road to another rink, by its id
}

// Ice is ice time that the league has: once, or on a weekday again and again.
type Ice struct {
	Rink    string         `toml:"rink"`
	Sheet   int            `toml:"sheet"` // left out: the first
	On      *dates.Day     `toml:"on"`    // once
	Every   *dates.Weekday `toml:"every"` // or each week
	From    *dates.Day     `toml:"from"`  // left out: the season's first day
	To      *dates.Day     `toml:"to"`    // left out: the season's last day
	Except  []dates.Day    `toml:"except"`
	Start   []dates.Clock  `toml:"start"`   // one ice slot at each of these times
	Minutes int            `toml:"minutes"` // of each
	For     []string       `toml:"for"`     // divisions; left out: all
}

// Span is days on which somebody does not play, with the reason.
type Span struct {
	From dates.Day  `toml:"from"`
	To   *dates.Day `toml:"to"` // left out: one day
	Why  string     `toml:"why"`
}

// Last is the last day of the span.
func (s Span) Last() dates.Day {
	if s.To == nil {
		return s.From
	}
	return *s.To
}

// Covers reports whether a day is one of the span.
func (s Span) Covers(d dates.Day) bool { return s.From <= d && d <= s.Last() }

// Shared is people who belong to two teams and cannot be in two places: a coach, a
// player who is called up, a family that drives two children.
type Shared struct {
	Teams []string `toml:"teams"` // two or more, by their ids
	Who   string   `toml:"who"`
	Hard  bool     `toml:"hard"` // left out: a wish
}

// Limits is what a schedule keeps beside the ice. Nought: no such limit.
type Limits struct {
	RestMinutes int      `toml:"rest_minutes"` // between the end of a team's game and the start of its next
	GamesADay   int      `toml:"games_a_day"`
	GamesAWeek  int      `toml:"games_a_week"` // weeks begin on Monday
	Wishes      []string `toml:"wishes"`       // which of these names are wishes and not rules
}

// The names of the limits, as Wishes has them.
const (
	LimitRest = "rest_minutes"
	LimitDay  = "games_a_day"
	LimitWeek = "games_a_week"
)

// Division is teams that play each other for one table.
type Division struct {
	ID        string          `toml:"id"`
	Name      string          `toml:"name"`
	Plays     string          `toml:"plays"`    // the division of a game, which says how it is played
	Meetings  int             `toml:"meetings"` // how often each two teams meet
	Minutes   int             `toml:"minutes"`  // of ice that a game needs, with warm-up and resurfacing
	From      *dates.Day      `toml:"from"`     // left out: the season's first day
	To        *dates.Day      `toml:"to"`       // left out: the season's last day
	Earliest  *dates.Clock    `toml:"earliest"` // start
	LatestEnd *dates.Clock    `toml:"latest_end"`
	Weekdays  []dates.Weekday `toml:"weekdays"` // left out: all
	Teams     []Team          `toml:"team"`
	HeldFree  []Span          `toml:"held_free"` // days for play-offs

	Age       string   `toml:"age"`      // youth or adult: rules of suspension differ
	Youngest  int      `toml:"youngest"` // years of age of the youngest who may play: how players are named where everybody looks; left out: not known
	Kind      string   `toml:"kind"`     // of its games: league, tournament, playoff, exhibition; left out: league
	Through   int      `toml:"through"`  // how many go on, to play-offs or up
	Standings *Ranking `toml:"standings"`
}

// Team is a team of a division.
type Team struct {
	ID   string `toml:"id"`
	Name string `toml:"name"`
	Home string `toml:"home"` // its rink; left out: any
	Away []Span `toml:"away"` // days on which it does not play
}
