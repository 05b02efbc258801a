package console

import (
	"encoding/json"
	"slices"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Act is what somebody did at the console: a key, or a tap beside it.
type Act struct {
	Key  string       `json:"key,omitempty"`
	Do   Do           `json:"do,omitempty"` // "": the key
	AtMS entry.Millis `json:"at_ms"`        // since the drill was begun
	// Draft says, with Ready, that something is begun on the bench's own screen and not posted.
	Draft bool `json:"draft,omitempty"`
	// Posted is all that the bench has posted at this whistle, with Enter: lines of its ledger.
	Posted []json.RawMessage `json:"posted,omitempty"`
}

// Do is a tap beside the console.
type Do string

// The taps.
const (
	Done    Do = "done"  // a step that has no keys was done
	Again   Do = "again" // the step is begun again
	DidDuty Do = "duty"  // the duty that Key names is done
	Ready   Do = "ready" // the bench is ready for the puck

	Enter Do = "enter" // something was posted at the bench
)

// SlipKind says what was wrong with a press.
type SlipKind string

// What can be wrong.
const (
	NotTaken SlipKind = "not_taken" // the console does not take that key now
	Other    SlipKind = "other"     // it took it, for something else
	NoKeys   SlipKind = "no_keys"   // the step has no keys
	TooSoon  SlipKind = "too_soon"  // the step was called done, and keys are left
	NotYet   SlipKind = "not_yet"   // the bench was called ready, and something is left to do
	NoDuty   SlipKind = "no_duty"   // nothing asks for that now

	NotPosted SlipKind = "not_posted" // the bench was called ready, and something on its own screen is not posted
	NotAgreed SlipKind = "not_agreed" // the bench has not what the referee said, or the board reads otherwise
)

// Slip is a press that was not the one that the card has next.
type Slip struct {
	Kind    SlipKind `json:"kind"`
	Pressed string   `json:"pressed"`
	Wanted  string   `json:"wanted"` // "": the step is only to be called done
	Step    string   `json:"step"`   // in the card's words
}

// Seen is how far somebody has come.
type Seen struct {
	Say     rules.Say   `json:"say"`
	Moment  int         `json:"moment"` // from nought
	Of      int         `json:"of"`
	Steps   []card.Step `json:"steps"`   // ticked as far as they are done
	Pressed int         `json:"pressed"` // keys of the step that comes next
	Next    string      `json:"next"`    // the key to press; "": see Back, or the step has none
	Back    bool        `json:"back"`    // the step has to be begun again first
	Display string      `json:"display"`
	Board   Board       `json:"board"`
	Was     *Board      `json:"was,omitempty"`   // what the board showed before play went on to this moment; nobody did anything yet
	Duties  []Duty      `json:"duties"`          // what is done besides the keys; then the bench says that it is ready
	Bench   *Bench      `json:"bench,omitempty"` // the bench's own game, where this whistle is entered there too
	Told    *Slip       `json:"told,omitempty"`  // what was wrong with the newest press
	Over    bool        `json:"over"`
	Grade   Grade       `json:"grade"`
}

// Grade is what a drill came to.
type Grade struct {
	Score int            `json:"score"` // 0 to 100
	Slips []Slip         `json:"slips"`
	Again int            `json:"again"`   // steps that were begun again
	Took  []entry.Millis `json:"took_ms"` // from each happening to the right board
}

// Play is a drill under way. It knows no clock: each act says when it was.
type Play struct {
	drill  Drill
	model  *Model
	start  *Model // at the first key of the steps that belong together
	moment int
	step   int
	keys   int
	off    bool
	acted  bool // something was done in this moment
	duties []Duty

	posted []entry.Entry // at the bench, at this whistle
	right  int
	since  entry.Millis
	told   *Slip
	grade  Grade
}

// Begin begins a drill.
func Begin(d Drill) *Play {
	p := &Play{drill: d, grade: Grade{Slips: []Slip{}, Took: []entry.Millis{}}}
	p.begin()
	return p
}

// begin puts the board to where the moment finds it.
func (p *Play) begin() {
	p.step, p.keys, p.off, p.acted, p.posted = 0, 0, false, false, nil
	if p.over() {
		return
	}
	m := p.drill.Moments[p.moment]
	p.duties = slices.Clone(m.Duties)
	p.model = New(p.drill.Card, m.Start)
	for _, when := range []card.When{card.BeforeGame, card.ChangePeriod, card.Intermission, card.AfterIntermission} {
		p.model.Sets(when, m.Want.Clock)
	}
	p.start = p.model.copy()
}

func (p *Play) over() bool { return p.moment >= len(p.drill.Moments) }

// next is the step that is to be done; none when all of the card's are.
func (p *Play) next() card.Step {
	if steps := p.drill.Moments[p.moment].Steps; p.step < len(steps) {
		return steps[p.step]
	}
	return card.Step{}
}

// pressed reports whether all steps of the moment are done.
func (p *Play) pressed() bool { return p.step >= len(p.drill.Moments[p.moment].Steps) }

func (p *Play) wanted() string {
	if step := p.next(); p.keys < len(step.Keys) {
		return step.Keys[p.keys].Key
	}
	return ""
}

// Act follows one act.
func (p *Play) Act(a Act) {
	p.told = nil
	if p.over() {
		return
	}
	p.acted = true
	switch {
	case a.Do == DidDuty:
		p.duty(a.Key)
	case a.Do == Ready:
		p.ready(a)
	case a.Do == Enter:
		p.enter(a.Posted)
	case a.Do == Again:
		p.again()
	case p.off && p.clears(a):
		p.again()
	case a.Do == Done && p.pressed():
		// nothing is left that could be done
	case a.Do == Done && len(p.next().Keys) > 0:
		p.slip(TooSoon, "")
	case a.Do == Done:
		p.stepDone(a.AtMS)
	case p.off:
		p.slip(Other, a.Key)
	case !p.pressed() && len(p.next().Keys) == 0:
		p.slip(NoKeys, a.Key)
	case !p.pressed() && a.Key == p.wanted():
		p.model.Press(a.Key)
		if shows := p.next().Keys[p.keys].Shows; shows != "" {
			p.model.Display = shows
		}
		p.keys++
		p.right++
		if p.keys == len(p.next().Keys) {
			p.stepDone(a.AtMS)
		}
	default:
		p.wrong(a.Key)
	}
}

func (p *Play) clears(a Act) bool {
	k := p.drill.Card.Console
	return a.Do == "" && k != nil && k.Clear != "" && a.Key == k.Clear
}

// wrong lets the console do what it does with a wrong key.
func (p *Play) wrong(key string) {
	kind := NotTaken
	if p.model.Press(key).Taken {
		kind, p.off = Other, true
	}
	p.slip(kind, key)
}

func (p *Play) slip(kind SlipKind, pressed string) {
	p.told = &Slip{Kind: kind, Pressed: pressed, Wanted: p.wanted(), Step: p.next().Text}
	p.grade.Slips = append(p.grade.Slips, *p.told)
}

// again goes back to the first key of the steps that belong together.
func (p *Play) again() {
	if p.off || p.keys > 0 {
		p.grade.Again++
	}
	task := p.next().Task
	for !p.pressed() && p.step > 0 && p.drill.Moments[p.moment].Steps[p.step-1].Task == task {
		p.step--
	}
	p.model, p.keys, p.off = p.start.copy(), 0, false
}

func (p *Play) stepDone(at entry.Millis) {
	m := p.drill.Moments[p.moment]
	if len(p.next().Keys) == 0 {
		p.right++
	}
	p.model.light(p.next().Lamps)
	task := p.next().Task
	p.step, p.keys = p.step+1, 0
	if p.step == len(m.Steps) && !m.taught() {
		p.model.Board = m.Want.clone()
	}
	if p.step < len(m.Steps) {
		if m.Steps[p.step].Task != task {
			p.start = p.model.copy()
		}
		return
	}
	p.start = p.model.copy()
	if len(p.duties) == 0 && p.beside() == nil {
		p.goOn(at)
	}
}

// duty follows a duty that somebody did.
func (p *Play) duty(id string) {
	i := slices.IndexFunc(p.duties, func(d Duty) bool { return d.ID == id })
	switch {
	case i < 0 || p.duties[i].Done:
	case !p.duties[i].Right:
		p.slip(NoDuty, id)
	default:
		p.duties[i].Done = true
		p.right++
	}
}

// ready goes on if nothing is left to do.
func (p *Play) ready(a Act) {
	bench := p.bench()
	switch {
	case len(p.duties) == 0 && bench == nil:
	case p.off || !p.pressed() || bench != nil && bench.Entered == 0 || slices.ContainsFunc(p.duties, func(d Duty) bool { return d.Right && !d.Done }):
		p.slip(NotYet, "")
	case bench != nil && a.Draft:
		p.slip(NotPosted, "")
	case bench != nil && !bench.Agrees:
		p.slip(NotAgreed, "")
	default:
		p.right++
		if bench != nil {
			p.right += bench.Entered
		}
		p.goOn(a.AtMS)
	}
}

// goOn goes on to the next moment.
func (p *Play) goOn(at entry.Millis) {
	p.grade.Took = append(p.grade.Took, max(0, at-p.since))
	p.since = at
	p.moment++
	p.begin()
}

// taught reports whether every step of the moment that changes the board has keys: of
// what is only said in words the console knows nothing.
func (m Moment) taught() bool {
	return !slices.ContainsFunc(m.Steps, func(s card.Step) bool { return len(s.Keys) == 0 })
}

// Seen is how far the drill has come.
func (p *Play) Seen() Seen {
	s := Seen{Moment: p.moment, Of: len(p.drill.Moments), Told: p.told, Over: p.over(), Grade: p.Grade(), Steps: []card.Step{}, Duties: []Duty{}}
	if p.over() {
		if s.Of > 0 {
			s.Board = p.drill.Moments[s.Of-1].Want
		}
		return s
	}
	m := p.drill.Moments[p.moment]
	s.Say, s.Display, s.Board, s.Back, s.Pressed = m.Say, p.model.Display, p.model.Board, p.off, p.keys
	s.Duties = append(s.Duties, p.duties...)
	s.Bench = p.bench()
	if p.moment > 0 && !p.acted {
		s.Was = &p.drill.Moments[p.moment-1].Want
	}
	for i, step := range m.Steps {
		step.Ticked = i < p.step
		s.Steps = append(s.Steps, step)
	}
	if !p.off {
		s.Next = p.wanted()
	} else if k := p.drill.Card.Console; k != nil {
		s.Next = k.Clear
	}
	return s
}

// Grade is what the drill came to so far.
func (p *Play) Grade() Grade {
	g := p.grade
	if all := p.right + len(g.Slips) + g.Again; all > 0 {
		g.Score = 100 * p.right / all
	}
	return g
}
