package entry

// Position is where a player plays. The empty value: not said.
type Position string

// The positions that a roster tells apart.
const (
	PositionUnsaid Position = ""
	Keeps          Position = "goalkeeper"
	Defence        Position = "defence"
	Forward        Position = "forward"
)

// PlayerStatus says whether a player of the roster takes part.
type PlayerStatus string

// Whether a player takes part. The empty value: dressed.
const (
	Dressed   PlayerStatus = ""
	Absent    PlayerStatus = "absent"
	Late      PlayerStatus = "late" // expected; looked for again after the first period
	Suspended PlayerStatus = "suspended"
	Affiliate PlayerStatus = "affiliate" // dressed, called up from another team of the club
)

// Plays reports whether a player of this status may take part.
func (s PlayerStatus) Plays() bool { return s == Dressed || s == Affiliate }

// Role is what a grown-up does at a game.
type Role string

// The roles of officials, of the off-ice crew and of a team's staff.
const (
	Referee     Role = "referee"
	Linesperson Role = "linesperson"
	Scorer      Role = "scorer"
	Timekeeper  Role = "timekeeper"
	BoxHome     Role = "box_home"
	BoxVisitors Role = "box_visitors"
	ShotCounter Role = "shots"
	Announcer   Role = "announcer"
	HeadCoach   Role = "head_coach"
	Coach       Role = "coach"
	Manager     Role = "manager"
	Trainer     Role = "trainer"
	OtherRole   Role = "other"
)

// Official is a grown-up with a role, by name.
type Official struct {
	Role Role   `json:"role"`
	Name string `json:"name"`
}

// OnIce are the players who were on the ice at a goal, goalkeepers included, in
// leagues that keep them.
type OnIce struct {
	Home     []Jersey `json:"home,omitempty"`
	Visitors []Jersey `json:"visitors,omitempty"`
}

// Of returns the players of a side.
func (o OnIce) Of(s Side) []Jersey {
	if s == Visitors {
		return o.Visitors
	}
	return o.Home
}

// About says what a note is about. The empty value: a remark.
type About string

// What a note can be about.
const (
	Remark        About = ""
	Incident      About = "incident"
	InjuryNote    About = "injury"
	LateStart     About = "late_start"
	Curfew        About = "curfew"
	Finish        About = "finish"
	EquipmentNote About = "equipment"
	SuspendedPlay About = "suspended_play" // somebody who is suspended plays on the referee's word
)

// Shots are shots on goal by Side since the last count: 1 for a tap, more for a
// tally that is handed over.
type Shots struct {
	Side  Side `json:"side"`
	Count int  `json:"count"` // 1 to 99
}

// FaceOff is a face-off that Won won. The players are named where they are kept.
type FaceOff struct {
	Won      Side   `json:"won"`
	Home     Jersey `json:"home,omitempty"`
	Visitors Jersey `json:"visitors,omitempty"`
}

// AttemptOn says why a player shot alone.
type AttemptOn string

// Why a player shoots alone.
const (
	PenaltyShotAttempt AttemptOn = "penalty_shot"
	ShootOutAttempt    AttemptOn = "shoot_out"
)

// Attempt is a player alone against the goalkeeper: a penalty shot that missed,
// or an attempt of a shoot-out. A penalty shot that scored is a Goal.
type Attempt struct {
	Side       Side      `json:"side"`
	Player     Jersey    `json:"player,omitempty"`
	Goalkeeper Jersey    `json:"goalkeeper,omitempty"`
	Scored     bool      `json:"scored"`
	On         AttemptOn `json:"on"`
}

// Announced says that an announcement was made. What is its key.
type Announced struct {
	What string `json:"what"`
}

// RosterConfirmed says that a side's roster was confirmed, by whom.
type RosterConfirmed struct {
	Side Side   `json:"side"`
	By   string `json:"by"`
}

// CrewSet says who officiates on the ice and who works beside it.
type CrewSet struct {
	Officials []Official `json:"officials,omitempty"`
	Crew      []Official `json:"crew,omitempty"`
}

// Signed is a signature under the report: drawn, or by name and code. Drawing is
// the path of the pen as SVG path data.
type Signed struct {
	Role    Role   `json:"role"`
	Name    string `json:"name"`
	Code    string `json:"code,omitempty"`
	Drawing string `json:"drawing,omitempty"`
}

// Sealed closes the report. Head is the hash of the entry before it, Replaces
// the entry of the seal before it, Missing why something is still owed. Key and
// Signature are Ed25519 in base64.
type Sealed struct {
	Version   int    `json:"version"` // from 1
	Head      string `json:"head"`
	Replaces  string `json:"replaces,omitempty"`
	Missing   string `json:"missing,omitempty"`
	Key       string `json:"key"`
	Signature string `json:"signature"`
}

// DoubtWhy is why nobody knows what a clock shows.
type DoubtWhy string

// Why a clock is doubted. Old ledgers know of sleeps only, and say nothing.
const (
	Slept     DoubtWhy = ""          // the computer slept while the clock ran
	Stepped   DoubtWhy = "stepped"   // the computer's clock was set while the program was off
	Restarted DoubtWhy = "restarted" // the computer was off, and nothing tells for how long
	NotYet    DoubtWhy = "not_yet"   // the clock was touched at an instant that has not come yet
	Moved     DoubtWhy = "moved"     // the game came from a copy of another computer
)

// ReadingBy is how a reading of a doubted clock came about.
type ReadingBy string

// The readings, each as if play went on as it says.
const (
	LastKnown ReadingBy = "last_known"  // play ended with the last that is known
	Counted   ReadingBy = "counted"     // it went on, by a clock of the computer that nobody can set
	TimeOfDay ReadingBy = "time_of_day" // it went on, by the computer's time of day
)

// ClockReading is what a doubted clock may show.
type ClockReading struct {
	By      ReadingBy `json:"by"`
	Elapsed Millis    `json:"elapsed_ms"`
}

// ClockDoubted says that nobody knows what the clock shows: the computer slept
// for Asleep while it ran, or could not tell the time after a restart. The clock
// stands at Elapsed, the last that is known, until somebody says what it really
// is. Kept is the newest instant that was written before, Found what the
// computer's clock said then.
type ClockDoubted struct {
	Elapsed  Millis         `json:"elapsed_ms"`
	Asleep   Millis         `json:"asleep_ms"`
	Why      DoubtWhy       `json:"why,omitempty"`
	Kept     Millis         `json:"kept_wall_ms,omitempty"`
	Found    Millis         `json:"found_wall_ms,omitempty"`
	Step     Millis         `json:"step_ms,omitempty"` // by which the computer's clock was set, where that is known
	Readings []ClockReading `json:"readings,omitempty"`
}

// Withdrawn says that texts about people were taken out of the game: Texts are
// their commitments, so that whoever keeps a copy takes them out of it as well,
// and none comes back with an older one. Lines are those that had texts inside.
// The chain of hashes goes around them by the hash of what stood there; that what
// stands there now is the bench's own work is said here, signed with its key. Key
// and Signature are Ed25519 in base64.
type Withdrawn struct {
	Texts     []string        `json:"texts"`
	Lines     []WithdrawnLine `json:"lines,omitempty"`
	Key       string          `json:"key"`
	Signature string          `json:"signature"`
}

// WithdrawnLine is an entry whose line has commitments now where it had texts
// about people. Hash is of the line as it stands now.
type WithdrawnLine struct {
	Entry string `json:"entry"`
	Hash  string `json:"hash"`
}

// Kind returns KindShots.
func (Shots) Kind() Kind { return KindShots }

// Kind returns KindFaceOff.
func (FaceOff) Kind() Kind { return KindFaceOff }

// Kind returns KindAttempt.
func (Attempt) Kind() Kind { return KindAttempt }

// Kind returns KindAnnounced.
func (Announced) Kind() Kind { return KindAnnounced }

// Kind returns KindRosterConfirmed.
func (RosterConfirmed) Kind() Kind { return KindRosterConfirmed }

// Kind returns KindCrewSet.
func (CrewSet) Kind() Kind { return KindCrewSet }

// Kind returns KindSigned.
func (Signed) Kind() Kind { return KindSigned }

// Kind returns KindSealed.
func (Sealed) Kind() Kind { return KindSealed }

// Kind returns KindClockDoubted.
func (ClockDoubted) Kind() Kind { return KindClockDoubted }

// Kind returns KindWithdrawn.
func (Withdrawn) Kind() Kind { return KindWithdrawn }
