package crew

import (
	"encoding/csv"
	"slices"
	"strconv"
	"strings"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/internal/api"
	"whistlestop/internal/wording"
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

	Swaps  []crewSwapJSON `json:"swaps"`  // with whom its person could change places, the best first
	Ladder crewLadderJSON `json:"ladder"` // whom to ask now, where nobody has it
}

// crewSwapJSON is a seat whose person could change places.
type crewSwapJSON struct {
	Game string `json:"game"`
	Seat string `json:"seat"`
	Text string `json:"text"` // the person, the seat and the game
}

// crewLadderJSON is what to do about an empty seat now.
type crewLadderJSON struct {
	Ask  []string `json:"ask"`  // people to write to
	Call []string `json:"call"` // names to telephone, in order
	Text []string `json:"text"`
}

const nextMost, swapsMost = 20, 8

// open is the desk of a plan, with what was said of its duties.
func (v view) open(plan *seating.Plan) *desk.Desk {
	return desk.Open(*v.league, plan, v.rota, v.log, v.now)
}

// also adds to a seat who could change places with its person, or whom to ask now.
func (out *crewWhyJSON) also(c *api.Call, v view, plan *seating.Plan, i int) {
	d := v.open(plan)
	words := wording.OfDesk(c.Words, d)
	if d.Who[i] != rota.Nobody {
		swaps := d.Swaps(i)
		swaps = swaps[:min(len(swaps), swapsMost)]
		for k, text := range words.Swaps(i, swaps) {
			if k < len(swaps) {
				out.Swaps = append(out.Swaps, crewSwapJSON{d.Duties[swaps[k]].Game, d.Duties[swaps[k]].Seat, text})
			}
		}
		return
	}
	rung := d.Ladder(i)
	var ask []string
	for _, one := range rung.Ask {
		ask = append(ask, plan.People[one.Person].Name)
		out.Ladder.Ask = append(out.Ladder.Ask, idOf(whoOf(plan.People[one.Person])))
	}
	for _, one := range rung.Call {
		out.Ladder.Call = append(out.Ladder.Call, plan.People[one.Person].Name)
	}
	tell := func(key string, pairs ...string) { out.Ladder.Text = append(out.Ladder.Text, say(c, key, pairs...)) }
	wait := say(c, "crew.ladder.minutes", "count", strconv.Itoa(rung.Wait))
	if rung.Wait >= 120 {
		wait = say(c, "crew.ladder.hours", "count", strconv.Itoa((rung.Wait+59)/60))
	}
	switch {
	case len(ask) > 0:
		tell("crew.ladder.ask", "names", strings.Join(ask, ", "), "wait", wait)
	case len(rung.Call) > 0:
		tell("crew.ladder.call", "names", strings.Join(out.Ladder.Call, ", "))
	case rung.Open > 0:
		tell("crew.ladder.wait", "open", strconv.Itoa(rung.Open), "wait", wait)
	default:
		tell("crew.ladder.nobody")
	}
}

// swap lets two people change places, as both said.
func (s *Service) swap(c *api.Call, v view, one duties.Duty, in seatActJSON) (state, error) {
	plan, _, i, err := v.planAt(one)
	if err != nil {
		return v.state, err
	}
	d := v.open(plan)
	other, err := d.Slot(in.WithGame, in.WithSeat)
	if err != nil {
		return v.state, api.NotThere("crew.no_seat")
	}
	barriers, err := d.Swap(i, other)
	switch {
	case err != nil:
		return v.state, api.Refuse("crew.refused", "why", api.Plain(err))
	case len(barriers) > 0:
		return v.state, api.NewNo(api.StatusConflict, api.Conflict, "crew.against", "why", strings.Join(wording.OfDesk(c.Words, d).Barriers(barriers), " "))
	}
	st := v.state
	st.log = d.Log
	for _, slot := range []int{i, other} {
		st = st.put(d.Duties[slot].Game, d.Duties[slot].Seat, d.Duties[slot].Who)
	}
	return st, nil
}

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
		out := crewWhyJSON{Duty: v.dutyJSON(c, one, at, v.log.Work()), Next: v.next(plan, who, i, one), Swaps: []crewSwapJSON{},
			Ladder: crewLadderJSON{Ask: []string{}, Call: []string{}, Text: []string{}}}
		out.also(c, v, plan, i)
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

// may says whether the rules let somebody take a seat of a list, of which the first so
// many are seats, with who sits where by that list. It holds everybody against the seats
// of some weeks at once.
func (v view) may(seats int) func([]duties.Duty, int, duties.Who) bool {
	var plan *seating.Plan
	var sits []int
	var by []duties.Duty // the list that sits is of
	var d days
	return func(list []duties.Duty, place int, who duties.Who) bool {
		one := list[place]
		list = list[:seats]
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
	Act    string `json:"act"` // lock, unlock, put, clear, swap, came, missed, unmark
	Person string `json:"person,omitempty"`
	Anyway bool   `json:"anyway,omitempty"` // also against a rule

	WithGame string `json:"with_game,omitempty"` // swap: with the person of this seat
	WithSeat string `json:"with_seat,omitempty"`
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
		case in.Act == "swap":
			if st, err = s.swap(c, v, one, in); err != nil {
				return crewDutyJSON{}, err
			}
			for _, d := range st.rota {
				if d.Game == one.Game && d.Seat == one.Seat {
					one.Who = duties.Who{Name: d.Name, Family: d.Family}
				}
			}
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
		case mark != "" && mark != duties.Unmarked && one.Moment().Compare(v.now) > 0:
			return crewDutyJSON{}, api.NewNo(api.StatusConflict, api.Conflict, "crew.not_begun", "day", wording.Day(c.Words, one.Day), "there", one.There.String())
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
