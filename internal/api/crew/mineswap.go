package crew

import (
	"slices"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/internal/api"
)

// held is a seat of a game with whoever has it.
type held struct {
	Game string `json:"game"`
	Seat string `json:"seat"`
	duties.Who
}

// swapAsk is that somebody would change places with somebody, who has not said yet.
type swapAsk struct {
	Of   held `json:"of"`             // whoever asked
	With held `json:"with"`           // whoever is asked
	Told bool `json:"told,omitempty"` // a message about it went out
}

// is: it is this question.
func (a swapAsk) is(of, with held) bool { return a.Of == of && a.With == with }

// asksMost is with how many people somebody may want to change places at once. Ours.
const asksMost = 5

// mineSwapJSON is a question to somebody whether they change places.
type mineSwapJSON struct {
	Mine  crewDutyJSON `json:"mine"`  // that they would give
	Other crewDutyJSON `json:"other"` // that they would get, with the short name of whoever has it
	Asked bool         `json:"asked"` // it was asked by the reader of the page, and the other has not said yet
}

// stands: both still have what they would change.
func (v view) stands(a swapAsk, list []duties.Duty) bool {
	return v.has(a.Of, list) && v.has(a.With, list)
}

// has: somebody has a seat still, and the duty has not begun.
func (v view) has(h held, list []duties.Duty) bool {
	return slices.ContainsFunc(list, func(d duties.Duty) bool {
		return d.Game == h.Game && d.Seat == h.Seat && d.Who == h.Who && d.Moment().Compare(v.now) > 0
	})
}

// short is a duty of somebody else, as a person sees it.
func (d crewDutyJSON) short() crewDutyJSON {
	d.Name, d.Person, d.Family, d.Status = desk.Short(d.Name), "", "", ""
	return d
}

// swapsOf are the questions about changing places that somebody asked, or is asked.
func (v view) swapsOf(c *api.Call, l link, list []duties.Duty, slots []slot, said duties.Book) []mineSwapJSON {
	out := []mineSwapJSON{}
	shown := func(h held) crewDutyJSON {
		at := slices.IndexFunc(list, func(d duties.Duty) bool { return d.Game == h.Game && d.Seat == h.Seat })
		return v.dutyJSON(c, list[at], slots[at], said)
	}
	for _, a := range v.more.Swaps {
		mine, other := a.With, a.Of
		if a.Of.Who == l.Who {
			mine, other = a.Of, a.With
		}
		if mine.Who == l.Who && l.shows(mine.Game, mine.Seat) && v.stands(a, list) {
			out = append(out, mineSwapJSON{shown(mine), shown(other).short(), mine == a.Of})
		}
	}
	return out
}

// shows: a link is about this duty.
func (l link) shows(game, seat string) bool {
	return len(l.Duties) == 0 || slices.Contains(l.Duties, [2]string{game, seat})
}

// couldSwapJSON is with whom somebody could change places.
type couldSwapJSON struct {
	Swaps []crewDutyJSON `json:"swaps"` // the best first, with short names
}

// couldSwap lists with whom the person of a link could change places, so that every rule
// holds for both.
func (s *Service) couldSwap(c *api.Call) (couldSwapJSON, error) {
	return with(s, c, func(v view) (couldSwapJSON, error) {
		l, err := v.opened(c.Part("token"), false)
		if err != nil {
			return couldSwapJSON{}, err
		}
		out := couldSwapJSON{Swaps: []crewDutyJSON{}}
		one, _, err := v.at(c.Part("game"), c.Part("seat"))
		if err != nil || one.Who != l.Who || !l.shows(one.Game, one.Seat) {
			return out, api.NotThere("crew.no_seat")
		}
		plan, _, i, err := v.planAt(one)
		if err != nil {
			return out, err
		}
		d, said := v.open(plan), v.log.Work()
		for _, slot := range d.Swaps(i) {
			other, at, err := v.at(d.Duties[slot].Game, d.Duties[slot].Seat)
			if err != nil {
				return out, err
			}
			if out.Swaps = append(out.Swaps, v.dutyJSON(c, other, at, said).short()); len(out.Swaps) == swapsMost {
				break
			}
		}
		return out, nil
	})
}

// swapping asks somebody whether they change places, or says yes or no to that.
func (s *Service) swapping(c *api.Call, v view, l link, in mineActJSON) (string, error) {
	one, _, err := v.at(in.Game, in.Seat)
	if err != nil || one.Who != l.Who || !l.shows(one.Game, one.Seat) {
		return "", api.NotThere("crew.no_seat")
	}
	other, _, err := v.at(in.WithGame, in.WithSeat)
	if err != nil {
		return "", err
	}
	mine, theirs := held{one.Game, one.Seat, one.Who}, held{other.Game, other.Seat, other.Who}
	list, _ := v.list(everyDay)
	st, more := v.state, v.more
	asks := slices.DeleteFunc(slices.Clone(st.more.Swaps), func(a swapAsk) bool { return !v.stands(a, list) })
	more.Heard = slices.DeleteFunc(slices.Clone(more.Heard), func(h heard) bool { return !v.has(h.held, list) })
	more.Swapped = slices.DeleteFunc(slices.Clone(more.Swapped), func(a swapAsk) bool { return !v.stands(a, list) })
	asked := func(a swapAsk) bool { return a.is(theirs, mine) }
	over := api.NewNo(api.StatusConflict, api.Conflict, "crew.mine.swap_over")
	switch in.Do {
	case "swap":
		if _, err := s.swap(c, v, one, seatActJSON{WithGame: in.WithGame, WithSeat: in.WithSeat}); err != nil {
			return "", over
		}
		again := swapAsk{Of: mine, With: theirs}
		asks = slices.DeleteFunc(asks, func(a swapAsk) bool {
			again.Told = again.Told || a.is(mine, theirs) && a.Told
			return a.is(mine, theirs)
		})
		for count := 0; count < len(asks); count++ { // the oldest makes room
			if same := slices.DeleteFunc(slices.Clone(asks), func(a swapAsk) bool { return a.Of != mine }); len(same) < asksMost {
				break
			}
			at := slices.IndexFunc(asks, func(a swapAsk) bool { return a.Of == mine })
			asks = slices.Delete(asks, at, at+1)
		}
		more.Swaps = append(asks, again)
	case "swap_yes":
		if !slices.ContainsFunc(asks, asked) {
			return "", over
		}
		if st, err = s.swap(c, v, one, seatActJSON{WithGame: in.WithGame, WithSeat: in.WithSeat}); err != nil {
			return "", over
		}
		more.Swaps = slices.DeleteFunc(asks, func(a swapAsk) bool {
			return a.Of == mine || a.With == mine || a.Of == theirs || a.With == theirs
		})
		more.Swapped = append(more.Swapped, swapAsk{Of: held{mine.Game, mine.Seat, theirs.Who}, With: held{theirs.Game, theirs.Seat, mine.Who}})
	default:
		more.Swaps = slices.DeleteFunc(asks, func(a swapAsk) bool { return asked(a) || a.is(mine, theirs) })
	}
	st.more = more
	if err := s.keep(c, in.Do, st, rotaPaper, logPaper, morePaper); err != nil {
		return "", err
	}
	s.nudge() // where reminders go by themselves, whoever is asked hears of it now
	return say(c, "crew.mine."+in.Do, "name", desk.Short(other.Name)), nil
}

// withoutSwapsOf is a state in which nobody changes places with somebody.
func (st state) withoutSwapsOf(who duties.Who) state {
	theirs := func(a swapAsk) bool { return a.Of.Who == who || a.With.Who == who }
	st.more.Swaps = slices.DeleteFunc(slices.Clone(st.more.Swaps), theirs)
	st.more.Swapped = slices.DeleteFunc(slices.Clone(st.more.Swapped), theirs)
	st.more.Heard = slices.DeleteFunc(slices.Clone(st.more.Heard), func(h heard) bool { return h.Who == who })
	return st
}
