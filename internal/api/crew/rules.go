package crew

import (
	"cmp"

	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/internal/api"
	"whistlestop/internal/wording"
)

// crewSeatJSON is a seat of each game and who may take it.
type crewSeatJSON struct {
	ID       string   `json:"id"`
	Text     string   `json:"text"` // its name for people
	Kind     string   `json:"kind"` // whose readiness counts; empty: its own
	Must     bool     `json:"must"`
	For      []string `json:"for"` // divisions; none: all
	Before   int      `json:"before"`
	Age      int      `json:"age"`
	Screened bool     `json:"screened"`
	OwnGame  bool     `json:"own_game"`
	Credits  int      `json:"credits"` // that a duty counts, where credits are counted
}

// crewPotJSON is a part of what is to be done, of some seats or by a day.
type crewPotJSON struct {
	Name   string   `json:"name"`
	Amount int      `json:"amount"`
	Seats  []string `json:"seats"` // none: all
	From   string   `json:"from"`
	By     string   `json:"by"`
}

// crewRulesJSON is the league's own rules about its crew.
type crewRulesJSON struct {
	Seats        []crewSeatJSON `json:"seats"`
	BetweenRinks int            `json:"between_rinks"` // minutes
	Drive        int            `json:"drive"`         // minutes
	Further      int            `json:"further_child_percent"`

	Unit       string        `json:"unit"` // duties, minutes, credits
	Per        string        `json:"per"`  // family, child
	Amount     int           `json:"amount"`
	Most       int           `json:"most"`
	Done       []string      `json:"done"` // families that count as done
	OthersOnly bool          `json:"other_games_only"`
	Unsaid     bool          `json:"unsaid_is_done"`
	Late       int           `json:"late_hours"`
	Pots       []crewPotJSON `json:"pots"`

	Said bool `json:"said"` // false: these are only a proposal
}

func (st state) rulesJSON(c *api.Call) crewRulesJSON {
	out := crewRulesJSON{
		Seats: []crewSeatJSON{}, BetweenRinks: st.rules.BetweenRinks, Drive: st.rules.Drive, Further: st.rules.Target.Further, Said: st.asked,
		Unit: string(cmp.Or(st.rules.Target.Unit, seating.InDuties)), Per: string(cmp.Or(st.rules.Target.Per, seating.PerFamily)),
		Amount: st.rules.Target.Amount, Most: st.rules.Target.Most, Done: texts(st.rules.Target.Done),
		OthersOnly: st.rules.Target.OthersOnly, Unsaid: st.rules.Target.Unsaid, Late: st.rules.Target.Late, Pots: []crewPotJSON{},
	}
	for _, pot := range st.rules.Pots {
		out.Pots = append(out.Pots, crewPotJSON{pot.Name, pot.Amount, texts(pot.Seats), dayText(pot.From), dayText(pot.By)})
	}
	for _, one := range st.rules.Seats {
		out.Seats = append(out.Seats, crewSeatJSON{
			ID: one.ID, Text: wording.Seat(c.Words, one.ID), Kind: one.Kind, Must: one.Need == "must", For: texts(one.For), Before: one.Before, Age: one.Age,
			Screened: one.Screened, OwnGame: one.OwnGame, Credits: one.Credits,
		})
	}
	return out
}

func dayText(day *dates.Day) string {
	if day == nil {
		return ""
	}
	return day.String()
}

// rules are the league's own, or what is proposed.
func (s *Service) rules(c *api.Call) (crewRulesJSON, error) {
	return with(s, c, func(v view) (crewRulesJSON, error) { return v.rulesJSON(c), nil })
}

// keepRules keeps the rules from the form. What the form does not show stays.
func (s *Service) keepRules(c *api.Call, in crewRulesJSON) (crewRulesJSON, error) {
	return with(s, c, func(v view) (crewRulesJSON, error) {
		st := v.state
		st.rules.Seats = nil
		for _, one := range in.Seats {
			need := "may"
			if one.Must {
				need = "must"
			}
			kind := one.Kind
			if kind == "" {
				kind = one.ID
			}
			var divisions []string
			if len(one.For) > 0 {
				divisions = one.For
			}
			st.rules.Seats = append(st.rules.Seats, seating.Seat{
				ID: one.ID, Kind: kind, Need: need, For: divisions, Before: one.Before, Age: one.Age, Screened: one.Screened, OwnGame: one.OwnGame, Credits: one.Credits,
			})
		}
		st.rules.BetweenRinks, st.rules.Drive, st.asked = in.BetweenRinks, in.Drive, true
		st.rules.Target = seating.Target{
			Further: in.Further, Unit: seating.Unit(in.Unit), Per: seating.Per(in.Per), Amount: in.Amount, Most: in.Most, Done: in.Done,
			OthersOnly: in.OthersOnly, Unsaid: in.Unsaid, Late: in.Late,
		}
		st.rules.Pots = nil
		for _, pot := range in.Pots {
			one := seating.Pot{Name: pot.Name, Amount: pot.Amount, Seats: pot.Seats}
			for _, end := range []struct {
				text string
				into **dates.Day
			}{{pot.From, &one.From}, {pot.By, &one.By}} {
				if end.text == "" {
					continue
				}
				day, err := dates.Parse(end.text)
				if err != nil {
					return crewRulesJSON{}, api.Refuse("crew.refused", "why", api.Plain(err))
				}
				*end.into = &day
			}
			st.rules.Pots = append(st.rules.Pots, one)
		}
		return st.rulesJSON(c), s.keep(c, "rules", st, rulesPaper)
	})
}

// keepRulesFile keeps the rules from a crew file.
func (s *Service) keepRulesFile(c *api.Call, in crewTextJSON) (crewRulesJSON, error) {
	return with(s, c, func(v view) (crewRulesJSON, error) {
		st := v.state
		read, err := seating.Read([]byte(in.Text), "crew")
		if err != nil {
			return crewRulesJSON{}, api.Refuse("crew.refused", "why", api.Plain(err))
		}
		st.rules, st.asked = read, true
		return st.rulesJSON(c), s.keep(c, "rules", st, rulesPaper)
	})
}
