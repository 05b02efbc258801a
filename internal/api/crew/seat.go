package crew

import (
	"encoding/csv"
	"slices"
	"strconv"
	"strings"

	"whistlestop/crew/duties"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/internal/api"
)

// crewChoiceJSON is somebody who could take a seat.
type crewChoiceJSON struct {
	Person string `json:"person"`
	Name   string `json:"name"`
	Reach  string `json:"reach"`
	Share  int    `json:"share"`
	Duties int    `json:"duties"` // that the family has in the days of the plan
	Cost   int    `json:"cost"`   // what it changes the rota's cost by
	Asked  bool   `json:"asked"`  // for this seat, and not answered yet
}

// crewWhyJSON is why a seat is whose it is.
type crewWhyJSON struct {
	Duty crewDutyJSON     `json:"duty"`
	Why  string           `json:"why"` // one sentence
	Next []crewChoiceJSON `json:"next"`
}

const nextMost = 20

// around are the days of a seat's plan: a month before and after, so that caps and
// shares count and the answer comes at once.
func around(one duties.Duty) days { return days{one.Day - 31, one.Day + 31} }

// at finds a seat of a game.
func (v view) at(game, seat string) (duties.Duty, slot, error) {
	list, slots := v.list(everyDay)
	i := slices.IndexFunc(list, func(d duties.Duty) bool { return d.Game == game && d.Seat == seat })
	if i < 0 {
		return duties.Duty{}, slot{}, api.NotThere("crew.no_seat")
	}
	return list[i], slots[i], nil
}

// planAt is the plan of the days around a seat, who sits where in it, and the seat's
// place in it.
func (v view) planAt(one duties.Duty) (*seating.Plan, []int, int, error) {
	plan, err := v.plan(around(one))
	if err != nil {
		return nil, nil, 0, err
	}
	who, _ := plan.Stand(v.rota)
	i := placeIn(plan, one)
	if i < 0 {
		return nil, nil, 0, api.NotThere("crew.no_seat")
	}
	return plan, who, i, nil
}

// why says why a seat is whose it is, or why not somebody's, and who could take it.
func (s *Service) why(c *api.Call) (crewWhyJSON, error) {
	return with(s, c, func(v view) (crewWhyJSON, error) {
		one, at, err := v.at(c.Part("game"), c.Part("seat"))
		if err != nil {
			return crewWhyJSON{}, err
		}
		plan, who, i, err := v.planAt(one)
		if err != nil {
			return crewWhyJSON{}, err
		}
		out := crewWhyJSON{Duty: v.dutyJSON(c, one, at, v.log.Work()), Next: v.next(plan, who, i, one)}
		asked := c.Query("person")
		switch {
		case asked != "":
			p := v.person(asked)
			if p < 0 {
				return out, api.NotThere("crew.no_person")
			}
			out.Why = v.whyNot(c, plan, who, i, p)
		case who[i] == rota.Nobody:
			out.Why = say(c, "crew.why.empty", "reasons", v.ofPlan(c, plan).Reasons(i, true))
		default:
			f := plan.Problem.People[who[i]].Family
			out.Why = say(c, "crew.why.taken", "name", one.Name, "share", strconv.Itoa(plan.Problem.Families[f].Target),
				"duties", strconv.Itoa(dutiesOf(plan, who, f)), "others", strconv.Itoa(len(out.Next)))
		}
		return out, nil
	})
}

func dutiesOf(plan *seating.Plan, who []int, family int) (count int) {
	for _, v := range who {
		if v != rota.Nobody && plan.Problem.People[v].Family == family {
			count++
		}
	}
	return count
}

// whyNot says what keeps somebody from a seat, or that nothing does.
func (v view) whyNot(c *api.Call, plan *seating.Plan, who []int, i, person int) string {
	name := v.people[person].Name
	if reason := plan.Why(i, person); reason != "" {
		return say(c, "crew.why.not", "name", name, "reason", say(c, "crew.reason."+string(reason)))
	}
	if who[i] == person {
		return say(c, "crew.why.sits", "name", name)
	}
	if faults := rota.Against(plan.Problem, who, i, person); len(faults) > 0 {
		return say(c, "crew.why.not", "name", name, "reason", say(c, "crew.rule."+faults[0].Rule))
	}
	f := plan.Problem.People[person].Family
	return say(c, "crew.why.could", "name", name, "share", strconv.Itoa(plan.Problem.Families[f].Target), "duties", strconv.Itoa(dutiesOf(plan, who, f)))
}

// next is who could take a seat, the best first.
func (v view) next(plan *seating.Plan, who []int, i int, one duties.Duty) []crewChoiceJSON {
	out, said := []crewChoiceJSON{}, v.log.Work()
	for _, choice := range rota.Next(plan.Problem, who, i) {
		if len(out) == nextMost {
			break
		}
		p := plan.People[choice.Person]
		f := plan.Problem.People[choice.Person].Family
		out = append(out, crewChoiceJSON{
			Person: idOf(whoOf(p)), Name: p.Name, Reach: p.Reach, Share: plan.Problem.Families[f].Target, Duties: dutiesOf(plan, who, f), Cost: choice.Cost,
			Asked: said.Of(one.Game, one.Seat, whoOf(p)).Status == duties.Waiting,
		})
	}
	return out
}

// may says whether the rules let somebody take a seat of a list, with who sits where by
// that list. It holds everybody against the seats of some weeks at once.
func (v view) may() func([]duties.Duty, int, duties.Who) bool {
	var plan *seating.Plan
	var sits []int
	var by []duties.Duty // the list that sits is of
	var d days
	return func(list []duties.Duty, place int, who duties.Who) bool {
		one := list[place]
		if plan == nil || one.Day < d.from+31 || one.Day > d.to-7 {
			var err error
			d = days{one.Day - 31, one.Day + 31}
			if plan, err = v.plan(d); err != nil {
				plan = nil
				return false
			}
			by = nil
		}
		if !slices.Equal(by, list) {
			sits, by = sitting(plan, list), slices.Clone(list)
		}
		i, p := placeIn(plan, one), v.person(idOf(who))
		return i >= 0 && p >= 0 && plan.Why(i, p) == "" && len(rota.Against(plan.Problem, sits, i, p)) == 0
	}
}

// sitting is who sits where in a plan, by a list of duties.
func sitting(plan *seating.Plan, list []duties.Duty) []int {
	var kept []seating.Duty
	for _, one := range list {
		if one.Name != "" {
			kept = append(kept, seating.Duty{Game: one.Game, Seat: one.Seat, Name: one.Name, Family: one.Family})
		}
	}
	who, _ := plan.Stand(kept)
	return who
}

func placeIn(plan *seating.Plan, one duties.Duty) int {
	return slices.IndexFunc(plan.Slots, func(s seating.Slot) bool { return plan.Games[s.Game].ID == one.Game && s.Seat.ID == one.Seat })
}

// seatActJSON is what the coordinator does with a seat.
type seatActJSON struct {
	Act    string `json:"act"` // lock, unlock, put, clear, came, missed, unmark
	Person string `json:"person,omitempty"`
	Anyway bool   `json:"anyway,omitempty"` // also against a rule
}

// seatAct does it.
func (s *Service) seatAct(c *api.Call, in seatActJSON) (crewDutyJSON, error) {
	return with(s, c, func(v view) (crewDutyJSON, error) {
		one, at, err := v.at(c.Part("game"), c.Part("seat"))
		if err != nil {
			return crewDutyJSON{}, err
		}
		st, key := v.state, [2]string{one.Game, one.Seat}
		unlocked := slices.DeleteFunc(slices.Clone(st.more.Locked), func(k [2]string) bool { return k == key })
		mark := map[string]duties.Kind{"came": duties.Came, "missed": duties.Missed, "unmark": duties.Unmarked}[in.Act]
		switch {
		case in.Act == "unlock":
			st.more.Locked = unlocked
		case in.Act == "lock" && one.Name != "":
			st.more.Locked = append(unlocked, key)
		case in.Act == "clear":
			st, one.Who, st.more.Locked = st.put(one.Game, one.Seat, duties.Who{}), duties.Who{}, unlocked
		case in.Act == "put":
			p, err := v.known(in.Person)
			if err != nil {
				return crewDutyJSON{}, err
			}
			plan, who, i, err := v.planAt(one)
			if err != nil {
				return crewDutyJSON{}, err
			}
			if !in.Anyway && (plan.Why(i, p) != "" || len(rota.Against(plan.Problem, who, i, p)) > 0) {
				return crewDutyJSON{}, api.NewNo(api.StatusConflict, api.Conflict, "crew.against", "why", v.whyNot(c, plan, who, i, p))
			}
			one.Who = whoOf(v.people[p])
			st = st.put(one.Game, one.Seat, one.Who)
		case mark != "" && one.Name != "":
			st.log = st.logged(duties.Event{Kind: mark, At: v.now, Game: one.Game, Seat: one.Seat, Who: one.Who})
		default:
			return crewDutyJSON{}, api.Refuse("crew.act")
		}
		v.state = st
		return v.dutyJSON(c, one, at, st.log.Work()), s.keep(c, "seat", st, rotaPaper, logPaper, morePaper)
	})
}

// crewBalanceJSON is what each family did and promised.
type crewBalanceJSON struct {
	Families []crewFamilyJSON `json:"families"`
}

func (s *Service) balance(c *api.Call) (crewBalanceJSON, error) {
	return with(s, c, func(v view) (crewBalanceJSON, error) { return crewBalanceJSON{v.balanceOf()}, nil })
}

// balanceFile is the same as a table.
func (s *Service) balanceFile(c *api.Call) (api.File, error) {
	return with(s, c, func(v view) (api.File, error) {
		if v.league == nil {
			return api.File{}, api.Refuse("crew.no_season")
		}
		list, _ := v.list(everyDay)
		lines := v.words(c, list).Balances()
		var text strings.Builder
		err := csv.NewWriter(&text).WriteAll(lines)
		return api.File{Raw: []byte(text.String()), Media: "text/csv", Name: "balance.csv"}, err
	})
}
