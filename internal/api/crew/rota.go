package crew

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"time"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/internal/api"
	"whistlestop/internal/wording"
	"whistlestop/season/schedule"
)

// movesMost bounds the search for a better rota.
const movesMost = 20_000_000

// makeWithin is how long the making of a rota may take.
const makeWithin = 2 * time.Minute

// everyDay is as long as there are games.
var everyDay = days{0, math.MaxInt32}

type days struct{ from, to dates.Day }

// daysOf reads the days of a query; empty: all.
func daysOf(c *api.Call, from, to string) (days, error) {
	out := everyDay
	for _, one := range []struct {
		text string
		into *dates.Day
	}{{from, &out.from}, {to, &out.to}} {
		if one.text == "" {
			continue
		}
		day, err := dates.Parse(one.text)
		if err != nil {
			return out, api.Refuse("crew.refused", "why", api.Plain(err))
		}
		*one.into = day
	}
	return out, nil
}

// games are those that will be played or were, by time.
func (v view) crewGames(d days) []seating.Game {
	var list []seating.Game
	if v.league == nil {
		return nil
	}
	for _, g := range v.season.games {
		if g.Place == nil || g.State != schedule.Scheduled && g.State != schedule.Played || g.Place.Day < d.from || g.Place.Day > d.to {
			continue
		}
		rink, _ := v.league.Rink(g.Place.Rink)
		list = append(list, seating.Game{
			ID: g.ID, Division: g.Division, Teams: []string{g.Home, g.Visitors}, Rink: g.Place.Rink,
			Day: g.Place.Day, Start: g.Place.Start, Minutes: g.Place.Minutes, Drive: rink.Drive,
		})
	}
	slices.SortStableFunc(list, func(a, b seating.Game) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Start, b.Start), cmp.Compare(a.ID, b.ID))
	})
	return list
}

// slot is a seat of a game.
type slot struct {
	game seating.Game
	seat seating.Seat
}

// list is every seat of the days with who sits there, and the slots in the same
// order: that of a plan.
func (v view) list(d days) (out []duties.Duty, slots []slot) {
	of := map[[2]string]duties.Who{}
	there := map[duties.Who]bool{}
	for _, p := range v.people {
		there[whoOf(p)] = true
	}
	for _, one := range v.rota {
		of[[2]string{one.Game, one.Seat}] = duties.Who{Name: one.Name, Family: one.Family}
	}
	for _, g := range v.crewGames(d) {
		for _, seat := range v.rules.Seats {
			if len(seat.For) > 0 && !slices.Contains(seat.For, g.Division) {
				continue
			}
			one := duties.Duty{Game: g.ID, Seat: seat.ID, Visit: duties.Visit{Day: g.Day, There: dates.Clock(max(0, int(g.Start)-seat.Before)), Rink: g.Rink}}
			if who := of[[2]string{g.ID, seat.ID}]; there[who] {
				one.Who = who
			}
			out = append(out, one)
			slots = append(slots, slot{g, seat})
		}
	}
	return out, slots
}

// plan holds everybody against every seat of the days. Who said no to a duty is not
// asked for it again.
func (v view) plan(d days) (*seating.Plan, error) {
	plan, err := seating.Build(v.rules, v.people, v.crewGames(d))
	if err != nil {
		return nil, api.Refuse("crew.refused", "why", api.Plain(err))
	}
	if len(plan.Slots) == 0 {
		return nil, api.Refuse("crew.no_seats")
	}
	desk.LeaveOut(plan, v.log)
	return plan, nil
}

// withAccepted is the state whose rota says who accepted, as the commands keep it.
func (st state) withAccepted() state {
	said := st.log.Work()
	st.rota = slices.Clone(st.rota)
	for i, d := range st.rota {
		st.rota[i].Accepted = d.Name != "" && said.Of(d.Game, d.Seat, duties.Who{Name: d.Name, Family: d.Family}).Status == duties.Yes
	}
	return st
}

// put is the rota in which somebody has a seat; nobody, without a name.
func (st state) put(game, seat string, who duties.Who) state {
	one := seating.Duty{Game: game, Seat: seat, Name: who.Name, Family: who.Family}
	st.rota = slices.Clone(st.rota)
	at := slices.IndexFunc(st.rota, func(d seating.Duty) bool { return d.Game == game && d.Seat == seat })
	if at < 0 {
		st.rota = append(st.rota, one)
	} else {
		st.rota[at] = one
	}
	return st
}

// taken is the rota after answers changed a list.
func (st state) taken(before, after []duties.Duty) state {
	for i, d := range after {
		if d.Who != before[i].Who {
			st = st.put(d.Game, d.Seat, d.Who)
		}
	}
	return st
}

// makeRotaJSON says what rota is to be made.
type makeRotaJSON struct {
	From  string `json:"from,omitempty"`
	To    string `json:"to,omitempty"`
	Seed  uint64 `json:"seed,omitempty"`
	Moves int    `json:"moves"`           // of the search
	Fresh bool   `json:"fresh,omitempty"` // only what is locked or accepted stays; otherwise as much as can be
}

// crewMadeJSON is what came of it.
type crewMadeJSON struct {
	Seats   int        `json:"seats"`
	Empty   []seatedAt `json:"empty"`
	Cost    int        `json:"cost"`
	Bound   int        `json:"bound"`   // no rota of these people costs less
	Proved  bool       `json:"proved"`  // there is no better one
	Changed int        `json:"changed"` // duties that were somebody's and are another's now
	Broken  []seatedAt `json:"broken"`  // accepted duties that a rule forbids now: somebody has to ask
}

// seatedAt is a seat in words.
type seatedAt struct {
	Game string `json:"game"`
	Seat string `json:"seat"`
	Text string `json:"text"`
}

// makeRota makes the rota of some days. It takes its time outside of the mutex, and
// is refused where something was changed meanwhile.
func (s *Service) makeRota(c *api.Call, in makeRotaJSON) (crewMadeJSON, error) {
	if in.Moves < 0 || in.Moves > movesMost {
		return crewMadeJSON{}, api.Refuse("crew.moves", "most", strconv.Itoa(movesMost))
	}
	d, err := daysOf(c, in.From, in.To)
	if err != nil {
		return crewMadeJSON{}, err
	}
	v, err := with(s, c, func(v view) (view, error) { return v, nil })
	if err != nil {
		return crewMadeJSON{}, err
	}
	if len(v.people) == 0 {
		return crewMadeJSON{}, api.Refuse("crew.nobody")
	}
	plan, err := v.plan(d)
	if err != nil {
		return crewMadeJSON{}, err
	}
	kept := v.held()
	if in.Fresh {
		kept = slices.DeleteFunc(kept, func(d seating.Duty) bool { return !d.Accepted })
	}
	list, _ := v.list(everyDay)
	desk.Welcome(plan, desk.Had(list, v.log, v.now), v.now.Day)
	defer s.making.begun()()
	made, err := desk.Make(plan, kept, rota.Options{Seed: max(1, in.Seed), Moves: in.Moves, Tell: s.making.tell})
	if err != nil {
		return crewMadeJSON{}, api.Refuse("crew.refused", "why", api.Plain(err))
	}
	before, _ := plan.Stand(v.rota)
	words := v.ofPlan(c, plan)
	out := crewMadeJSON{Seats: len(plan.Slots), Empty: []seatedAt{}, Broken: []seatedAt{}, Cost: made.Cost, Bound: made.Bound, Proved: made.Cost == made.Bound}
	for _, b := range made.Broken {
		reason := say(c, "crew.rule.learner")
		if b.Reason != "" {
			reason = words.Reason(b.Reason)
		}
		out.Broken = append(out.Broken, seatAt(words, b.Slot, plan.People[b.Person].Name+": "+reason))
	}
	return with(s, c, func(now view) (crewMadeJSON, error) {
		if now.mark != v.mark {
			return crewMadeJSON{}, api.NewNo(api.StatusConflict, api.Conflict, "crew.changed_meanwhile")
		}
		st := v.state
		fresh := map[[2]string]duties.Who{}
		for i, slot := range plan.Slots {
			who := duties.Who{}
			if made.Who[i] != rota.Nobody {
				who = whoOf(plan.People[made.Who[i]])
			} else {
				out.Empty = append(out.Empty, seatAt(words, i, words.Reasons(i, true)))
			}
			if before[i] != rota.Nobody && before[i] != made.Who[i] {
				out.Changed++
			}
			fresh[[2]string{plan.Games[slot.Game].ID, slot.Seat.ID}] = who
		}
		st.rota = slices.DeleteFunc(slices.Clone(st.rota), func(d seating.Duty) bool {
			_, again := fresh[[2]string{d.Game, d.Seat}]
			return again
		})
		for _, slot := range plan.Slots {
			game, seat := plan.Games[slot.Game].ID, slot.Seat.ID
			who := fresh[[2]string{game, seat}]
			st.rota = append(st.rota, seating.Duty{Game: game, Seat: seat, Name: who.Name, Family: who.Family})
		}
		if st.more.Season == "" { // of which season this is, for when another one begins
			st.more.Season = v.league.Season
			return out, s.keep(c, "rota", st, rotaPaper, morePaper)
		}
		return out, s.keep(c, "rota", st, rotaPaper)
	})
}

// held are the duties as the rota's maker has them: accepted or locked ones do not
// move.
func (v view) held() []seating.Duty {
	st := v.withAccepted()
	for i, d := range st.rota {
		if d.Name != "" && slices.Contains(v.more.Locked, [2]string{d.Game, d.Seat}) {
			st.rota[i].Accepted = true
		}
	}
	return st.rota
}

// ofPlan says things of a plan.
func (v view) ofPlan(c *api.Call, plan *seating.Plan) wording.Crew {
	return wording.Crew{Words: c.Words, Rota: desk.Rota{League: *v.league, Plan: plan}}
}

// seatAt is a seat with what is said of it.
func seatAt(w wording.Crew, i int, text string) seatedAt {
	s := w.Rota.Plan.Slots[i]
	return seatedAt{w.Rota.Plan.Games[s.Game].ID, s.Seat.ID, w.Game(s.Game) + ", " + wording.Seat(w.Words, s.Seat.ID) + ": " + text}
}

// crewDutyJSON is a seat of a game with who sits there.
type crewDutyJSON struct {
	Game   string `json:"game"`
	Seat   string `json:"seat"`
	Text   string `json:"text"` // the seat, for people
	Must   bool   `json:"must"`
	Day    string `json:"day"`
	There  string `json:"there"`
	Start  string `json:"start"`
	End    string `json:"end"`
	Rink   string `json:"rink"`
	Teams  string `json:"teams"`
	Person string `json:"person"` // empty: nobody
	Name   string `json:"name"`
	Family string `json:"family"`
	Status string `json:"status"` // not_asked, waiting, yes, no, spare
	Mark   string `json:"mark"`   // came, missed, or nothing yet
	Locked bool   `json:"locked"`
	Over   bool   `json:"over"` // it has begun
}

func (v view) dutyJSON(c *api.Call, one duties.Duty, s slot, said duties.Book) crewDutyJSON {
	out := crewDutyJSON{
		Game: one.Game, Seat: one.Seat, Text: wording.Seat(c.Words, one.Seat), Must: s.seat.Need == "must", Day: one.Day.String(), There: one.There.String(),
		Start: s.game.Start.String(), End: dates.Clock(min(24*60-1, int(s.game.Start)+s.game.Minutes)).String(), Rink: v.league.RinkName(one.Rink),
		Teams:  say(c, "crew.teams", "home", v.league.TeamName(s.game.Teams[0]), "visitors", v.league.TeamName(s.game.Teams[1])),
		Locked: slices.Contains(v.more.Locked, [2]string{one.Game, one.Seat}),
		Over:   duties.Moment{Day: one.Day, Clock: one.There}.Compare(v.now) <= 0,
	}
	if one.Name != "" {
		standing := said.Of(one.Game, one.Seat, one.Who)
		out.Person, out.Name, out.Family, out.Status, out.Mark = idOf(one.Who), one.Name, one.Family, string(standing.Status), string(standing.Mark)
	}
	return out
}

// dutiesJSON are the duties of somebody; of one game each at most where only says so.
func (v view) dutiesJSON(c *api.Call, who duties.Who, only [][2]string) []crewDutyJSON {
	out, said := []crewDutyJSON{}, v.log.Work()
	list, slots := v.list(everyDay)
	for i, one := range list {
		if one.Who == who && (len(only) == 0 || slices.Contains(only, [2]string{one.Game, one.Seat})) {
			out = append(out, v.dutyJSON(c, one, slots[i], said))
		}
	}
	return out
}

// crewRotaJSON is who sits where.
type crewRotaJSON struct {
	Duties []crewDutyJSON `json:"duties"`
	Today  string         `json:"today"`
}

func (s *Service) rota(c *api.Call) (crewRotaJSON, error) {
	return with(s, c, func(v view) (crewRotaJSON, error) {
		d, err := daysOf(c, c.Query("from"), c.Query("to"))
		if err != nil {
			return crewRotaJSON{}, err
		}
		out, said := crewRotaJSON{Duties: []crewDutyJSON{}, Today: v.now.Day.String()}, v.log.Work()
		list, slots := v.list(d)
		for i, one := range list {
			out.Duties = append(out.Duties, v.dutyJSON(c, one, slots[i], said))
		}
		return out, nil
	})
}

// crewWeekJSON is how a week of the season stands.
type crewWeekJSON struct {
	From  string `json:"from"` // its Monday
	Games int    `json:"games"`
	Seats int    `json:"seats"`
	Must  int    `json:"must"`  // seats without which a game waits, that nobody has
	Open  int    `json:"open"`  // other seats that nobody has
	Few   int    `json:"few"`   // seats that fewer than three people can take at all
	Yes   int    `json:"yes"`   // duties that were accepted
	Waits int    `json:"waits"` // asked and not answered
}

// crewMissingJSON is what is missing before anybody is asked.
type crewMissingJSON struct {
	Weeks    []crewWeekJSON   `json:"weeks"`
	Few      []seatedAt       `json:"few"` // the first hundred
	Families []crewFamilyJSON `json:"families"`
	New      []newcomerJSON   `json:"new"` // who had no duty yet
}

// newcomerJSON is somebody new who had no duty yet.
type newcomerJSON struct {
	Person string     `json:"person"`
	Name   string     `json:"name"`
	Text   string     `json:"text"`   // how they stand
	Placed bool       `json:"placed"` // they have a first duty within four weeks, beside a guide
	Could  []seatedAt `json:"could"`  // empty seats that they could take first
}

const fewMost, weeksMost, enough = 100, 26, 3

// missing looks half a year ahead.
func (s *Service) missing(c *api.Call) (crewMissingJSON, error) {
	return with(s, c, func(v view) (crewMissingJSON, error) {
		out := crewMissingJSON{Weeks: []crewWeekJSON{}, Few: []seatedAt{}, Families: []crewFamilyJSON{}, New: []newcomerJSON{}}
		first := v.now.Day
		if games := v.crewGames(everyDay); len(games) > 0 && games[0].Day > first {
			first = games[0].Day
		}
		monday := dates.Day(first.Week()*7 - 3)
		d := days{max(first, v.now.Day), monday + 7*weeksMost - 1}
		list, slots := v.list(d)
		if len(list) == 0 {
			return out, nil
		}
		plan, err := v.plan(d)
		if err != nil {
			return out, err
		}
		for w := range weeksMost {
			out.Weeks = append(out.Weeks, crewWeekJSON{From: (monday + dates.Day(7*w)).String()})
		}
		said, words := v.log.Work(), v.ofPlan(c, plan)
		game := ""
		for i, one := range list {
			week := &out.Weeks[int(one.Day-monday)/7]
			week.Seats++
			if one.Game != game {
				week.Games++
				game = one.Game
			}
			switch {
			case one.Name == "" && slots[i].seat.Need == "must":
				week.Must++
			case one.Name == "":
				week.Open++
			case said.Of(one.Game, one.Seat, one.Who).Status == duties.Yes:
				week.Yes++
			case said.Of(one.Game, one.Seat, one.Who).Status == duties.Waiting:
				week.Waits++
			}
			if can := len(plan.Problem.Slots[i].Candidates); can < enough {
				week.Few++
				if len(out.Few) < fewMost {
					out.Few = append(out.Few, seatAt(words, i, say(c, "crew.can", "count", strconv.Itoa(can))+" "+words.Reasons(i, false)))
				}
			}
		}
		for _, f := range v.balanceOf() {
			if f.Behind > 0 {
				out.Families = append(out.Families, f)
			}
		}
		out.New = v.newcomers(c, plan)
		return out, nil
	})
}

// newcomers are those who had no duty yet.
func (v view) newcomers(c *api.Call, plan *seating.Plan) []newcomerJSON {
	list, _ := v.list(everyDay)
	d, out := v.open(plan), []newcomerJSON{}
	words := wording.OfDesk(c.Words, d)
	for _, n := range d.Newcomers(desk.Had(list, v.log, v.now)) {
		p := plan.People[n.Person]
		one := newcomerJSON{Person: idOf(whoOf(p)), Name: p.Name, Text: words.Newcomer(n), Placed: n.InTime(plan) && n.Guide != rota.Nobody, Could: []seatedAt{}}
		for _, slot := range n.Could {
			s := plan.Slots[slot]
			one.Could = append(one.Could, seatedAt{plan.Games[s.Game].ID, s.Seat.ID, wording.Seat(c.Words, s.Seat.ID) + ", " + words.Game(s.Game)})
		}
		out = append(out, one)
	}
	return out
}

// crewFamilyJSON is what a family did and promised beside its share.
type crewFamilyJSON struct {
	Family   string `json:"family"`
	Share    int    `json:"share"`
	Done     int    `json:"done"`
	Missed   int    `json:"missed"`
	Unmarked int    `json:"unmarked"`
	Promised int    `json:"promised"`
	Open     int    `json:"open"`
	Behind   int    `json:"behind"` // of the share: neither done nor theirs by the rota

	Late int             `json:"left_late"` // of missed: said no too late
	Pots []familyPotJSON `json:"pots"`      // of the rules, in their order
}

// familyPotJSON is what a family has in a part of what is to be done.
type familyPotJSON struct {
	Name     string `json:"name"`
	Amount   int    `json:"amount"`
	Done     int    `json:"done"`
	Promised int    `json:"promised"`
	Missing  int    `json:"missing"`
	Over     bool   `json:"over"` // its last day is past
}

func (v view) balanceOf() []crewFamilyJSON {
	out := []crewFamilyJSON{}
	if v.league == nil {
		return out
	}
	list, _ := v.list(everyDay)
	for _, b := range v.desk(list).Balances() {
		pots := []familyPotJSON{}
		for i, pot := range b.Pots {
			pots = append(pots, familyPotJSON{v.rules.Pots[i].Name, pot.Amount, pot.Done, pot.Promised, pot.Missing(), pot.Over})
		}
		out = append(out, crewFamilyJSON{
			Late: b.LeftLate, Pots: pots,
			Family: b.Family, Share: b.Share, Done: b.Done, Missed: b.Missed, Unmarked: b.Unmarked, Promised: b.Promised, Open: b.Open,
			Behind: max(0, b.Share-b.Done-b.Unmarked-b.Promised-b.Open),
		})
	}
	return out
}
