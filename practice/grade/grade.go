package grade

import (
	"cmp"
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// Act is what a learner did, or was shown, that is no entry of the ledger. Its
// instant, like those of the learner's entries, is of the practice's own clock,
// which a screen may let run faster than the wall's.
type Act struct {
	Do     Do           `json:"do"`
	Wall   entry.Millis `json:"wall_ms"`          // milliseconds of Unix time
	Cue    int          `json:"cue,omitempty"`    // Shown: which
	Side   entry.Side   `json:"side,omitempty"`   // ToldOut: whom
	Player entry.Jersey `json:"player,omitempty"` // ToldOut: whom
}

// Do says what an act is.
type Do string

// The acts.
const (
	Shown   Do = "shown"    // a cue was shown to the learner
	Horn    Do = "horn"     // the learner sounded the horn
	Ready   Do = "ready"    // the learner showed READY to the referee
	ToldOut Do = "told_out" // the learner told a player to leave the box
	Asked   Do = "asked"    // the learner asked the referee to say it again

	Drafting Do = "drafting" // something is built on the learner's screen: their bench says HOLD
	Drafted  Do = "drafted"  // it was posted, or is gone
)

// Grade is what a practice came to.
type Grade struct {
	Script   string          `json:"script"`
	UpTo     int             `json:"up_to"`    // the last cue that was looked at
	Complete bool            `json:"complete"` // it was the script's last
	Score    int             `json:"score"`    // 0 to 100; 100 is without a slip that counts
	Points   int             `json:"points"`
	Possible int             `json:"possible"`
	Skills   []SkillScore    `json:"skills"`
	Findings []Finding       `json:"findings"` // in the order of the game
	Critical []CriticalError `json:"critical"` // what spoils a game; any of it caps the score
	Well     []rules.Say     `json:"well"`
	Practise []Advice        `json:"practise"` // three things at most: what spoils a game first, then what cost most
	Times    Times           `json:"times"`
}

// SkillScore is how much of a skill was right, in points.
type SkillScore struct {
	Skill plot.Skill `json:"skill"`
	Right int        `json:"right"`
	Of    int        `json:"of"`
}

// Finding is one slip.
type Finding struct {
	Fault    Fault         `json:"fault"`
	Skill    plot.Skill    `json:"skill"`
	Moment   int           `json:"moment"` // the stoppage, by its place in the script's Moments
	At       entry.At      `json:"at"`
	Want     string        `json:"want,omitempty"`     // the entry of the answer that it is about
	Entry    string        `json:"entry,omitempty"`    // the learner's entry that it is about
	Finally  bool          `json:"finally"`            // put right later: it was said, and costs nothing
	Cost     int           `json:"cost"`               // points
	Critical Critical      `json:"critical,omitempty"` // what it spoils; empty: nothing
	Tenths   int           `json:"tenths,omitempty"`
	Mend     Mend          `json:"mend"` // how it is put right, while that can be
	Say      rules.Say     `json:"say"`
	Reason   *rules.Reason `json:"reason,omitempty"` // why the right state is what it is
	Right    script.Right  `json:"right"`            // the game as it should stand there
}

// Advice is a thing to practise.
type Advice struct {
	Fault    Fault      `json:"fault"`
	Skill    plot.Skill `json:"skill"`
	Drill    string     `json:"drill"`              // id of the drill's script
	Critical bool       `json:"critical,omitempty"` // some of it spoils a game
	Count    int        `json:"count"`
	Cost     int        `json:"cost"`
	Say      rules.Say  `json:"say"`
}

// Times are the times that were taken, in milliseconds; a list has one time for
// each stop, start and stoppage that was measured.
type Times struct {
	Starts []entry.Millis `json:"starts"` // late by so much; negative: early
	Stops  []entry.Millis `json:"stops"`
	Ready  []entry.Millis `json:"ready"` // from the whistle to READY
}

// Evaluate grades a whole practice.
func Evaluate(s script.Script, ledger []entry.Entry, acts []Act) (Grade, error) {
	return EvaluateUpTo(s, ledger, acts, len(s.Cues)-1)
}

// EvaluateUpTo grades a practice as far as a cue, and looks at nothing that a
// later cue asks for.
func EvaluateUpTo(s script.Script, ledger []entry.Entry, acts []Act, cue int) (Grade, error) {
	return NewGrader(s).UpTo(ledger, acts, cue)
}

// Grader grades one practice again and again while it goes on. It keeps what the
// learner's bench said at each drop, so that a ledger that has grown is not folded
// again for every drop there was.
type Grader struct {
	script script.Script
	said   map[drop]said
}

// NewGrader returns a grader of one practice of a script.
func NewGrader(s script.Script) *Grader { return &Grader{script: s, said: map[drop]said{}} }

// UpTo grades as far as a cue, like EvaluateUpTo. The ledger and the acts are
// those of the time before, and what came since. A screen asks at a drop, with the
// cue before it, to tell slips at once.
func (k *Grader) UpTo(ledger []entry.Entry, acts []Act, cue int) (Grade, error) {
	s := k.script
	g := &grading{script: s, upTo: min(cue, len(s.Cues)-1), ledger: ledger, acts: acts, points: map[plot.Skill]*SkillScore{}, said: k.said}
	g.grade = Grade{
		Script: s.ID, UpTo: g.upTo, Complete: g.upTo == len(s.Cues)-1,
		Skills: []SkillScore{}, Findings: []Finding{}, Well: []rules.Say{}, Practise: []Advice{},
		Times: Times{Starts: []entry.Millis{}, Stops: []entry.Millis{}, Ready: []entry.Millis{}},
	}
	if err := g.prepare(); err != nil {
		return Grade{}, err
	}
	g.clock()
	g.goals()
	g.calls()
	g.choices()
	g.box()
	g.stages()
	g.rest()
	if err := g.drops(); err != nil {
		return Grade{}, err
	}
	g.sum()
	return g.grade, nil
}

// Latest returns the findings of the newest stoppage that was graded.
func (g Grade) Latest() []Finding {
	newest := 0
	for _, f := range g.Findings {
		newest = max(newest, f.Moment)
	}
	return slices.DeleteFunc(slices.Clone(g.Findings), func(f Finding) bool { return f.Moment != newest })
}

// grading is a grading under way.
type grading struct {
	script script.Script
	upTo   int
	ledger []entry.Entry
	acts   []Act

	answers []script.Answer // that are due
	cues    map[string]int  // by the id of such an answer
	want    rules.State     // as it should be
	have    rules.State     // as the learner has it
	shown   []entry.Millis
	line    []tick     // the learner's clock
	stood   []entry.At // where the learner's clock stood at each moment
	same    map[player]player
	wrong   map[string]bool // calls of the answer that are missing
	other   map[string]bool // the learner's calls that are served by others, or for another time, than they should

	said    map[drop]said
	benches rules.Growing // what stood at the drops
	looked  int           // entries that stood at the newest drop
	calm    bool          // nothing was asked for there

	grade  Grade
	points map[plot.Skill]*SkillScore
}

// player is a sweater of a side.
type player struct {
	side   entry.Side
	number entry.Jersey
}

// expect counts what is worth points.
func (g *grading) expect(s plot.Skill, worth int) {
	if g.points[s] == nil {
		g.points[s] = &SkillScore{Skill: s}
	}
	g.points[s].Of += worth
	g.points[s].Right += worth
}

// slip notes a slip.
func (g *grading) slip(f Finding, pairs ...string) {
	m := g.script.Moments[f.Moment]
	f.At, f.Right = m.At, m.Right
	f.Critical, f.Mend = f.critical(), f.Fault.Mend()
	if !f.Finally {
		f.Cost = f.Fault.cost()
	}
	f.Say = rules.Say{Key: "drill.slip." + string(f.Fault), Args: rules.Pairs(append(pairs, "time", m.Right.Left.Left())...)}
	if f.Want != "" && f.Reason == nil {
		f.Reason = g.reason(f.Want)
	}
	g.expect(f.Skill, 0)
	g.points[f.Skill].Right -= f.Cost
	g.grade.Findings = append(g.grade.Findings, f)
}

// reason is the first consequence of an entry of the answer.
func (g *grading) reason(id string) *rules.Reason {
	for _, l := range g.want.Lines {
		if l.Entry == id && len(l.Follows) > 0 {
			return &l.Follows[0]
		}
	}
	return nil
}

// sum writes the score, what went well, and what to practise.
func (g *grading) sum() {
	gr := &g.grade
	for _, s := range plot.Skills {
		if p := g.points[s]; p != nil {
			p.Right = max(0, p.Right)
			gr.Possible += p.Of
			gr.Skills = append(gr.Skills, *p)
		}
	}
	lost := 0
	advice := map[Fault]*Advice{}
	for _, f := range gr.Findings {
		lost += f.Cost
		if f.Cost == 0 {
			continue
		}
		a := advice[f.Fault]
		if a == nil {
			a = &Advice{Fault: f.Fault, Skill: f.Skill, Drill: drillFor(f)}
			advice[f.Fault] = a
		}
		a.Critical = a.Critical || f.Critical != ""
		a.Count++
		a.Cost += f.Cost
	}
	gr.Points = max(0, gr.Possible-lost)
	gr.Critical = gr.CriticalOf(entry.Solo)
	if gr.Possible > 0 {
		gr.Score = Capped(100*gr.Points/gr.Possible, Errors(gr.Critical))
	}
	for _, f := range Faults { // in the order of the list, so that equals come out alike
		if a := advice[f]; a != nil {
			a.Say = rules.Say{Key: "drill.practise." + string(f), Args: rules.Pairs("count", strconv.Itoa(a.Count))}
			gr.Practise = append(gr.Practise, *a)
		}
	}
	entry.Arrange(gr.Practise, func(a, b Advice) int {
		if a.Critical != b.Critical {
			if a.Critical {
				return -1
			}
			return 1
		}
		return cmp.Compare(b.Cost, a.Cost)
	})
	gr.Practise = gr.Practise[:min(3, len(gr.Practise))]
	for _, s := range gr.Skills {
		if s.Of > 0 && s.Right == s.Of {
			gr.Well = append(gr.Well, rules.Say{Key: "drill.well." + string(s.Skill)})
		}
	}
	entry.Arrange(gr.Findings, func(a, b Finding) int { return cmp.Compare(a.Moment, b.Moment) })
}
