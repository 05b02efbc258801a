package entry

import "encoding/json"

// Kind names what an entry says. The set is closed: a switch over it must name
// every kind.
type Kind string

// Every kind of entry. What there is to know of each stands in its row in kinds.go.
const (
	KindGameOpened   Kind = "game_opened"
	KindRosterSet    Kind = "roster_set"
	KindStageBegun   Kind = "stage_begun"
	KindClockStarted Kind = "clock_started"
	KindClockStopped Kind = "clock_stopped"
	KindClockSet     Kind = "clock_set"
	KindTimeOut      Kind = "time_out"
	KindGoal         Kind = "goal"
	KindPenalty      Kind = "penalty"
	KindChoice       Kind = "choice"
	KindSetAside     Kind = "set_aside"
	KindNote         Kind = "note"
	KindBoardRead    Kind = "board_read"
	KindBenchSet     Kind = "bench_set"
	KindRunningTime  Kind = "running_time"
	KindGoalkeeper   Kind = "goalkeeper"
	KindDelay        Kind = "delay"
	KindDelayOver    Kind = "delay_over"
	KindSeated       Kind = "seated"
	KindCardSet      Kind = "card_set"
	KindTicked       Kind = "ticked"

	// What only the book keeps.
	KindShots           Kind = "shots"
	KindFaceOff         Kind = "face_off"
	KindAttempt         Kind = "attempt"
	KindAnnounced       Kind = "announced"
	KindRosterConfirmed Kind = "roster_confirmed"
	KindCrewSet         Kind = "crew_set"
	KindSigned          Kind = "signed"
	KindSealed          Kind = "sealed"
	KindClockDoubted    Kind = "clock_doubted"
	KindWithdrawn       Kind = "withdrawn"

	KindAmended Kind = "amended"
	KindStruck  Kind = "struck"
)

// Body is what an entry of one kind says.
type Body interface {
	Kind() Kind
	// validate says what of it no rule could allow.
	validate() error
}

// Player is a line of a roster.
type Player struct {
	Number     Jersey `json:"number"`
	Name       string `json:"name,omitempty"`
	Goalkeeper bool   `json:"goalkeeper,omitempty"`
	Captain    bool   `json:"captain,omitempty"`
	Alternate  bool   `json:"alternate,omitempty"`

	Position Position     `json:"position,omitempty"`
	Status   PlayerStatus `json:"status,omitempty"`
}

// Team is a team as it comes to the game.
type Team struct {
	Name    string   `json:"name"`
	Players []Player `json:"players,omitempty"`

	Staff []Official `json:"staff,omitempty"`

	Colour string `json:"colour,omitempty"` // of the club, as "#1a2b3c"; "" is the lane's own
}

// GameOpened is the first entry of every ledger. Division is a full copy of the
// division's settings, so that a game folds alike when the division is changed
// later.
type GameOpened struct {
	Number   string          `json:"number,omitempty"`
	Schedule string          `json:"schedule,omitempty"` // id of the game in the league's schedule
	Venue    string          `json:"venue,omitempty"`
	Date     string          `json:"date,omitempty"` // as people write it, YYYY-MM-DD
	Division json.RawMessage `json:"division"`
	Home     Team            `json:"home"`
	Visitors Team            `json:"visitors"`
}

// RosterSet replaces a side's name and roster.
type RosterSet struct {
	Side Side `json:"side"`
	Team Team `json:"team"`
}

// StageBegun moves the game to a stage and sets its clock to Length. Running
// says that the clock starts at once, as in an intermission.
type StageBegun struct {
	Stage   Stage  `json:"stage"`
	Length  Millis `json:"length_ms"` // 0: no clock (shoot-out, over)
	Running bool   `json:"running,omitempty"`
}

// ClockStarted says that the clock of the stage was started. The instant is the
// entry's Wall, the position the entry's At (in a play stage) or Elapsed.
// ErrorMs bounds how far off the instant may be, from the measured round trips.
type ClockStarted struct {
	Elapsed Millis `json:"elapsed_ms"`
	Error   Millis `json:"error_ms,omitempty"`
}

// ClockStopped says that the clock of the stage was stopped with Elapsed on it.
type ClockStopped struct {
	Elapsed Millis `json:"elapsed_ms"`
	Error   Millis `json:"error_ms,omitempty"`
}

// ClockSet puts the clock of the stage right, on the referee's word. Moves says
// that the whistle itself was at Elapsed, and takes along what was entered at
// it: the clock ran on, or was stopped too soon.
type ClockSet struct {
	Elapsed Millis `json:"elapsed_ms"`
	Moves   bool   `json:"moves,omitempty"`
}

// TimeOut is a time-out. An empty Side is the officials' own.
type TimeOut struct {
	Side   Side   `json:"side,omitempty"`
	Length Millis `json:"length_ms"`
}

// GoalOn says how a goal came about where that changes what it ends.
type GoalOn string

// How goals come about. The empty value is a goal in play.
const (
	OnPlay        GoalOn = ""
	OnPenaltyShot GoalOn = "penalty_shot"
	OnAwarded     GoalOn = "awarded"
)

// Goal is a goal for Side. An empty Scorer, or an empty jersey among Assists,
// is owed. Unassisted says that there was no assist, so that none is owed.
type Goal struct {
	Side       Side     `json:"side"`
	Scorer     Jersey   `json:"scorer,omitempty"`
	Assists    []Jersey `json:"assists,omitempty"`
	Unassisted bool     `json:"unassisted,omitempty"`
	On         GoalOn   `json:"on,omitempty"`
	EmptyNet   bool     `json:"empty_net,omitempty"`
	OwnGoal    bool     `json:"own_goal,omitempty"`
	OnIce      OnIce    `json:"on_ice,omitzero"`
}

// Penalty is a call. An empty Player is owed unless Bench is set. Lengths gives
// the length of each part where it differs from the division's. ServedBy is who
// sits in place of the player. Signalled says that the referee's arm was up
// before the whistle: a goal may wipe such a minor out.
type Penalty struct {
	Side      Side     `json:"side"`
	Player    Jersey   `json:"player,omitempty"`
	Bench     bool     `json:"bench,omitempty"`
	Call      string   `json:"call,omitempty"` // infraction code of the division, such as "tripping"
	Parts     []Part   `json:"parts"`
	Lengths   []Millis `json:"lengths_ms,omitempty"`
	ServedBy  Jersey   `json:"served_by,omitempty"`
	Signalled bool     `json:"signalled,omitempty"`
}

// Choice answers a question that the book leaves to a captain. Question is the
// id that the fold gave it; Picks are the players, in the order named.
type Choice struct {
	Question string   `json:"question"`
	Picks    []Jersey `json:"picks"`
}

// SetAside says that a reason to hold was seen and may wait. Item is its key.
type SetAside struct {
	Item string `json:"item"`
}

// Note is a remark for the book. Side and Player say whom it is about, where it lets
// somebody play who is suspended; elsewhere they are empty.
type Note struct {
	Text   string `json:"text"`
	About  About  `json:"about,omitempty"`
	Side   Side   `json:"side,omitempty"`
	Player Jersey `json:"player,omitempty"`
}

// BoardRead is the time read from the rink's own board at a stoppage, as
// elapsed time of the period: the board is official, and this is where play
// stopped.
type BoardRead struct {
	Elapsed Millis `json:"elapsed_ms"`
}

// ClockMode says whose clock is official.
type ClockMode string

// The clock modes.
const (
	Lead   ClockMode = "lead"   // our clock is official
	Follow ClockMode = "follow" // the rink's is; every entry takes the time read from it
	Beside ClockMode = "beside" // the rink's is; ours runs beside it and is matched at stoppages
)

// BenchSet is how the bench works at this game.
type BenchSet struct {
	Clock        ClockMode `json:"clock"`
	ConfirmBox   bool      `json:"confirm_box,omitempty"`    // hold until each penalised player was seen in the box
	WaitForTicks bool      `json:"wait_for_ticks,omitempty"` // hold until the steps of the rink card are ticked
	Names        bool      `json:"names,omitempty"`          // the public may see names; otherwise numbers only
	OnIce        bool      `json:"on_ice,omitempty"`         // the league keeps who was on the ice at a goal
	FaceOffs     bool      `json:"face_offs,omitempty"`      // the league keeps face-offs
	SlotEnd      Millis    `json:"slot_end_ms,omitempty"`    // when the ice time ends, milliseconds of Unix time; 0: as the division says
}

// RunningTime turns running time on or off, on the referee's word.
type RunningTime struct {
	On bool `json:"on"`
}

// Goalkeeper says who keeps goal from now on. An empty Number is an empty net.
type Goalkeeper struct {
	Side   Side   `json:"side"`
	Number Jersey `json:"number,omitempty"`
}

// DelayWhy is what play waits for.
type DelayWhy string

// What play waits for.
const (
	Injury    DelayWhy = "injury"
	Ice       DelayWhy = "ice" // repair of the ice, the glass, a net
	Equipment DelayWhy = "equipment"
	OtherWhy  DelayWhy = "other"
)

// Delay begins a delay with a clock of its own, which counts down from Length,
// or up if Length is 0.
type Delay struct {
	Why    DelayWhy `json:"why"`
	Length Millis   `json:"length_ms,omitempty"`
}

// DelayOver ends a delay, or a time-out before its time.
type DelayOver struct{}

// Seated says that a player was seen going into the box, or out of it.
type Seated struct {
	Side   Side   `json:"side"`
	Player Jersey `json:"player"`
	In     bool   `json:"in"`
}

// CardSet takes a rink card into use, as a full copy; null takes it away.
type CardSet struct {
	Card json.RawMessage `json:"card"`
}

// Ticked says that a step of the rink card was done. Step is the id that the
// card's list gave it.
type Ticked struct {
	Step string `json:"step"`
}

// Amended replaces the moment and the body of the entry named in Of. The kind
// stays what it was. An entry may be amended again and again; the newest
// amendment counts.
type Amended struct {
	To Body
}

// Struck takes the entry named in Of out of the game. Striking a Struck or an
// Amended entry undoes it.
type Struck struct {
	Reason string `json:"reason,omitempty"`
}

// Kind returns KindGameOpened.
func (GameOpened) Kind() Kind { return KindGameOpened }

// Kind returns KindRosterSet.
func (RosterSet) Kind() Kind { return KindRosterSet }

// Kind returns KindStageBegun.
func (StageBegun) Kind() Kind { return KindStageBegun }

// Kind returns KindClockStarted.
func (ClockStarted) Kind() Kind { return KindClockStarted }

// Kind returns KindClockStopped.
func (ClockStopped) Kind() Kind { return KindClockStopped }

// Kind returns KindClockSet.
func (ClockSet) Kind() Kind { return KindClockSet }

// Kind returns KindTimeOut.
func (TimeOut) Kind() Kind { return KindTimeOut }

// Kind returns KindGoal.
func (Goal) Kind() Kind { return KindGoal }

// Kind returns KindPenalty.
func (Penalty) Kind() Kind { return KindPenalty }

// Kind returns KindChoice.
func (Choice) Kind() Kind { return KindChoice }

// Kind returns KindSetAside.
func (SetAside) Kind() Kind { return KindSetAside }

// Kind returns KindNote.
func (Note) Kind() Kind { return KindNote }

// Kind returns KindBoardRead.
func (BoardRead) Kind() Kind { return KindBoardRead }

// Kind returns KindBenchSet.
func (BenchSet) Kind() Kind { return KindBenchSet }

// Kind returns KindRunningTime.
func (RunningTime) Kind() Kind { return KindRunningTime }

// Kind returns KindGoalkeeper.
func (Goalkeeper) Kind() Kind { return KindGoalkeeper }

// Kind returns KindDelay.
func (Delay) Kind() Kind { return KindDelay }

// Kind returns KindDelayOver.
func (DelayOver) Kind() Kind { return KindDelayOver }

// Kind returns KindSeated.
func (Seated) Kind() Kind { return KindSeated }

// Kind returns KindCardSet.
func (CardSet) Kind() Kind { return KindCardSet }

// Kind returns KindTicked.
func (Ticked) Kind() Kind { return KindTicked }

// Kind returns KindAmended.
func (Amended) Kind() Kind { return KindAmended }

// Kind returns KindStruck.
func (Struck) Kind() Kind { return KindStruck }
