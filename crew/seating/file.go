package seating

import (
	"bytes"
	"encoding/json"
	"slices"

	"whistlestop/crew/rota"
	"whistlestop/game/message"
)

// Duty is one seat of one game with who sits there.
type Duty struct {
	Game     string `json:"game"`
	Seat     string `json:"seat"`
	Name     string `json:"name,omitempty"`   // empty: nobody yet
	Family   string `json:"family,omitempty"` //
	Accepted bool   `json:"accepted,omitempty"`
}

type file struct {
	Version int    `json:"version"` // of this form: 1
	Duties  []Duty `json:"duties"`
}

// FileMost bounds a rota's file, in bytes.
const FileMost = 8 << 20

// Duties says who sits where by names.
func (p *Plan) Duties(who []int, accepted map[int]bool) []Duty {
	var list []Duty
	for i, slot := range p.Slots {
		d := Duty{Game: p.Games[slot.Game].ID, Seat: slot.Seat.ID}
		if v := who[i]; v != rota.Nobody {
			d.Name, d.Family, d.Accepted = p.People[v].Name, p.People[v].Family, accepted[i]
		}
		list = append(list, d)
	}
	return list
}

// Keep is a rota as a file.
func Keep(duties []Duty) ([]byte, error) {
	text, err := json.MarshalIndent(file{Version: 1, Duties: duties}, "", " ")
	if err != nil {
		return nil, err
	}
	return append(text, '\n'), nil
}

// ReadDuties reads a rota.
func ReadDuties(text []byte) ([]Duty, error) {
	if len(text) > FileMost {
		return nil, message.New("rota_file.large", "most", FileMost>>20)
	}
	var f file
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&f); err != nil {
		return nil, message.Because(err, "rota_file.unreadable")
	}
	if f.Version != 1 {
		return nil, message.New("rota_file.version", "version", f.Version)
	}
	seen := map[[2]string]bool{}
	for _, d := range f.Duties {
		key := [2]string{d.Game, d.Seat}
		if d.Game == "" || d.Seat == "" || seen[key] || d.Accepted && d.Name == "" {
			return nil, message.New("rota_file.duty", "game", message.Plain(d.Game), "seat", message.Plain(d.Seat))
		}
		seen[key] = true
	}
	return f.Duties, nil
}

// Stand finds who sits where in this plan by a rota's names: people, games and seats
// that are no more are left out. Accepted duties do not move any more.
func (p *Plan) Stand(duties []Duty) (who []int, accepted map[int]bool) {
	type person struct{ name, family string }
	number := map[person]int{}
	for i, one := range p.People {
		number[person{one.Name, one.Family}] = i
	}
	of := map[[2]string]Duty{}
	for _, d := range duties {
		of[[2]string{d.Game, d.Seat}] = d
	}
	who, accepted = make([]int, len(p.Slots)), map[int]bool{}
	for i, slot := range p.Slots {
		who[i] = rota.Nobody
		d := of[[2]string{p.Games[slot.Game].ID, slot.Seat.ID}]
		v, known := number[person{d.Name, d.Family}]
		if d.Name == "" || !known {
			continue
		}
		who[i] = v
		accepted[i] = d.Accepted
	}
	return who, accepted
}

// heldLearner is what it costs to move a learner who accepted, in points: they stay
// wherever somebody can guide them.
const heldLearner = 1000

// KeepDuties is the plan's problem with the accepted duties held, and the others of a rota
// that people know kept where they can be. Accepted duties that a rule forbids now
// are returned: somebody has to ask their people. A learner is held only as long as
// there is a guide, which no duty can promise: whoever made the rota looks.
func (p *Plan) KeepDuties(who []int, accepted map[int]bool, changing int) (problem rota.Problem, broken []int) {
	problem = rota.Keep(p.Problem, who, changing)
	for i := range problem.Slots {
		if !accepted[i] {
			continue
		}
		slot := &problem.Slots[i]
		at := slices.IndexFunc(slot.Candidates, func(c rota.Candidate) bool { return c.Person == who[i] })
		switch {
		case at < 0:
			broken = append(broken, i)
		case role(p.People[who[i]].Levels[p.Slots[i].Seat.Kind]) == rota.Learner:
			for j := range slot.Candidates {
				if j != at {
					slot.Candidates[j].Cost += heldLearner
				}
			}
			slot.Empty += heldLearner
		default:
			c := slot.Candidates[at]
			c.Role = role(p.People[who[i]].Levels[p.Slots[i].Seat.Kind]) // somebody new who accepted stays without a guide too
			slot.Candidates, slot.Fixed = []rota.Candidate{c}, true
		}
	}
	return problem, broken
}
