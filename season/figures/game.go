package figures

// Person is somebody's identity over a season and over teams.
type Person string

// Team is a team's identity within a season.
type Team string

// Side is one of the two teams of a game.
type Side int8

// The sides.
const (
	Home Side = iota
	Visitors
)

func (s Side) other() Side { return 1 - s }

// Decided is where a game was decided.
type Decided int8

// Where a game may be decided. A draw was decided nowhere.
const (
	Drawn Decided = iota
	InRegulation
	InOvertime
	InShootOut
)

// At is a moment of play: a period, overtime counted on, and the seconds played in it.
type At struct{ Period, Second int }

func (a At) before(b At) bool {
	return a.Period < b.Period || a.Period == b.Period && a.Second < b.Second
}

// Game is what a season counts of one game.
type Game struct {
	ID      string
	Date    string // YYYY-MM-DD: season numbers of goals go by date, not by game number
	Stage   string // regular season and play-offs are never added together
	Teams   [2]Team
	Decided Decided
	Winner  Side // of no meaning in a draw
	Seconds int  // of play; nought: as long as somebody kept a net

	Goals   []Goal // of play, in the order in which they fell; a shoot-out's goals are none
	Nets    []Net  // who kept which net from when to when; an empty net is a gap
	Keepers []Keeper
	Skaters []Skater
}

// Goal is a goal of play.
type Goal struct {
	At          At
	Side        Side // whose score it raises
	By          Person
	Assists     []Person
	Plus, Minus []Person // on the ice, of the scoring side and of the other
	PowerPlay   bool
	ShortHanded bool
	EmptyNet    bool
	PenaltyShot bool
}

// Net is somebody in goal without a break.
type Net struct {
	Side     Side
	Who      Person
	From, To At
}

// Keeper is a goalkeeper's line of one game.
type Keeper struct {
	Side    Side
	Who     Person
	Seconds int
	Against int // while in the net; into an empty one they are the team's alone
	Shots   int // saves and goals against
	Minutes int // penalty minutes

	Uncounted bool // nobody counted shots: Shots are the goals against alone
}

// Skater is a skater's line of one game: somebody who set foot on the ice.
//
// A national body has millions of these, so they are small.
type Skater struct {
	Who     Person
	Minutes int16 // penalty minutes
	Shots   int16
	Side    Side
}
