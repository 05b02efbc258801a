package boxmodel

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// model is a second implementation of the box, slow and obvious: it plays the
// game second by second and does at each second what the books' words say. It
// shares no code with the fold. It knows no captain's choice: random games in
// which one is asked are left out of the comparison.
type model struct {
	four     bool // one minor each is played four against four (NHL 19.1)
	late     int  // seconds of the last period in which the difference is played; 0: never
	two      int  // misconducts that eject; 0: never
	reported bool // whoever was reported first comes out first, and no captain is asked
	counts   bool // a signalled minor counts as one that runs (Hockey Canada 4.2(b))
	shot     bool // a signalled penalty shot is its minor when the goal ended another (IIHF 15.4)
	wiped    [2]bool
	order    int // parts called so far
	sides    [2]modelSide
	onIce    [2]int
	full     int              // skaters of a side in this period
	strength int              // ... in regulation
	leaves   map[string][]int // side and player: the seconds at which they left the box
	chosen   bool             // a captain has had to say who goes first
}

type modelSide struct {
	short   []*modelSeat // players for whom a skater is missing, in the order recorded
	over    []*modelSeat // served, but no room on the ice: they wait
	off     []*modelSeat // everything off the clock, one seat a player
	counts  map[string]int
	ejected map[string]bool
}

// modelSeat is a player with penalties to serve one after the other, in seconds.
type modelSeat struct {
	player string
	left   []int
	goal   []bool // whether a goal may end the penalty
	order  []int  // when each was called
	kind   []entry.Part
	waits  bool // off the clock and over: out at a whistle
}

func newModel(code *rulebook.Code) *model {
	m := &model{
		four: code.Policies.OneMinorEach == rulebook.FourOnFour,
		late: int(code.Policies.LateWindow / 1000), two: code.Policies.MisconductsToEject,
		reported: code.Policies.SameEnd == rulebook.Reported, counts: code.Policies.SignalledCounts,
		shot:  code.Policies.SignalledShotMinor,
		onIce: [2]int{5, 5}, full: 5, strength: 5, leaves: map[string][]int{},
	}
	for i := range m.sides {
		m.sides[i].counts, m.sides[i].ejected = map[string]int{}, map[string]bool{}
	}
	return m
}

func (m *model) leave(side int, player string, second int) {
	key := string(rune('0'+side)) + player
	m.leaves[key] = append(m.leaves[key], second)
}

// tick lets one second of play go by, up to the given second.
func (m *model) tick(second int) {
	for i := range m.sides {
		s := &m.sides[i]
		missing := min(2, len(s.short))
		running := slices.Clone(s.short[:missing])
		serving := slices.Clone(s.short)
		for _, seat := range running {
			seat.left[0]--
		}
		due := 0
		for _, seat := range running {
			if seat.left[0] == 0 && len(seat.left) == 1 {
				due++
			}
		}
		m.chosen = m.chosen || !m.reported && due > 1 && (len(s.over) > 0 || len(s.short) > 2)
		if m.reported && due > 1 {
			slices.SortStableFunc(running, func(a, b *modelSeat) int { return a.order[0] - b.order[0] })
		}
		for _, seat := range running {
			if seat.left[0] > 0 {
				continue
			}
			seat.drop()
			if len(seat.left) > 0 {
				continue
			}
			before := min(2, len(s.short))
			s.short = slices.DeleteFunc(s.short, func(o *modelSeat) bool { return o == seat })
			s.over = append(s.over, seat)
			if min(2, len(s.short)) < before {
				m.onIce[i] = min(m.onIce[i]+1, 5)
				m.leave(i, s.over[0].player, second)
				s.over = s.over[1:]
			}
		}
		// Off the clock: only while nothing else of the player's is served. The
		// second in which the other penalty ends still belonged to that penalty.
		for _, seat := range s.off {
			busy := slices.ContainsFunc(serving, func(o *modelSeat) bool { return o.player == seat.player })
			if busy || seat.waits || len(seat.left) == 0 {
				continue
			}
			seat.left[0]--
			if seat.left[0] == 0 {
				seat.drop()
				seat.waits = len(seat.left) == 0
			}
		}
	}
}

func (seat *modelSeat) drop() {
	seat.left, seat.goal, seat.kind, seat.order = seat.left[1:], seat.goal[1:], seat.kind[1:], seat.order[1:]
}

// whistle is a stoppage: the waiting leave, and each side has the skaters that
// its penalties leave it, never fewer than three; the other side adds instead.
func (m *model) whistle(second int) {
	for i := range m.sides {
		s := &m.sides[i]
		for _, seat := range s.over {
			m.leave(i, seat.player, second)
		}
		s.over = nil
		for _, seat := range s.off {
			if seat.waits {
				m.leave(i, seat.player, second)
			}
		}
		s.off = slices.DeleteFunc(s.off, func(seat *modelSeat) bool { return seat.waits })
	}
}

func (m *model) level() {
	for i := range m.sides {
		m.onIce[i] = m.full - min(2, len(m.sides[i].short))
	}
	for m.onIce[0] < 3 || m.onIce[1] < 3 {
		m.onIce[0], m.onIce[1] = m.onIce[0]+1, m.onIce[1]+1
	}
	for i := range m.onIce {
		m.onIce[i] = min(m.onIce[i], 5)
	}
}

// goal ends the minor with least time left of a side that is short-handed. It
// reports whether one ended, and whether the captain would have had to choose.
func (m *model) goal(side, second int, signalled bool) (ended, choice bool) {
	against := 1 - side
	more := m.onIce[against] - m.onIce[side]
	if more > 0 || more == 0 && !(m.counts && signalled) {
		return false, false
	}
	s := &m.sides[against]
	var least *modelSeat
	for _, seat := range s.short[:min(2, len(s.short))] {
		if !seat.goal[0] {
			continue
		}
		switch {
		case least == nil || seat.left[0] < least.left[0]:
			least, choice = seat, false
		case seat.left[0] == least.left[0] && m.reported:
			if seat.order[0] < least.order[0] {
				least = seat
			}
		case seat.left[0] == least.left[0]:
			choice = true
		}
	}
	if least == nil {
		return false, false
	}
	least.drop()
	if len(least.left) == 0 {
		s.short = slices.DeleteFunc(s.short, func(o *modelSeat) bool { return o == least })
		m.leave(against, least.player, second)
	}
	return true, choice
}

// modelCall is a call in the model's words: player "bench..." for the bench.
type modelCall struct {
	side      int
	player    string
	parts     []entry.Part
	lengths   []int
	signalled bool
}

// calls assesses the calls of a stoppage. It reports whether a captain would
// have had to choose among players.
func (m *model) calls(list []modelCall, wiped [2]bool, late bool) (choice bool) {
	type one struct {
		call    *modelCall
		index   int
		matched bool
		four    bool
		length  int
		order   int
		gone    bool
	}
	var all []*one
	for c := range list {
		call := &list[c]
		for i := range call.parts {
			all = append(all, &one{call: call, index: i, length: call.lengths[i], order: m.order})
			m.order++
		}
	}
	part := func(o *one) entry.Part { return o.call.parts[o.index] }
	isMinor := func(o *one) bool { return part(o) == entry.Minor || part(o) == entry.BenchMinor }
	isMajor := func(o *one) bool { return part(o) == entry.Major || part(o) == entry.Match }
	// A goal wipes out one signalled minor of a side that was not short by one.
	for side := range 2 {
		var could []*one
		callers := map[*modelCall]bool{}
		for _, o := range all {
			if o.call.side == side && o.call.signalled && isMinor(o) {
				could = append(could, o)
				callers[o.call] = true
			}
		}
		if wiped[side] && len(could) > 0 {
			could[0].gone = true
			choice = choice || len(callers) > 1 && !m.reported
		}
	}
	pick := func(side int, is func(*one) bool) (out []*one) {
		for _, o := range all {
			if o.call.side == side && is(o) && !o.gone {
				out = append(out, o)
			}
		}
		return out
	}
	single := len(pick(0, isMinor)) == 1 && len(pick(1, isMinor)) == 1 &&
		len(pick(0, isMajor)) == 0 && len(pick(1, isMajor)) == 0
	empty := len(m.sides[0].short) == 0 && len(m.sides[1].short) == 0
	if m.four && single && empty && m.full == m.strength {
		pick(0, isMinor)[0].four, pick(1, isMinor)[0].four = true, true
	} else {
		for _, is := range []func(*one) bool{isMajor, isMinor} {
			a, b := pick(0, is), pick(1, is)
			n := min(len(a), len(b))
			for _, mine := range [][]*one{a, b} {
				players := map[string]bool{}
				for _, o := range mine {
					players[o.call.player] = true
				}
				choice = choice || n > 0 && n < len(mine) && len(players) > 1
				for _, o := range mine[:n] {
					o.matched = true
				}
			}
		}
		if late {
			for side := range 2 {
				open := func(o *one) bool { return !o.matched }
				ma, mi := keepIf(pick(side, isMajor), open), keepIf(pick(1-side, isMinor), open)
				players := map[string]bool{}
				sum := 0
				for _, o := range mi {
					players[o.call.player] = true
					sum += o.length
				}
				alone := len(keepIf(pick(1-side, isMajor), open)) == 0 && len(keepIf(pick(side, isMinor), open)) == 0
				if len(ma) == 1 && len(players) == 1 && alone && sum < ma[0].length {
					for _, o := range mi {
						o.matched = true
					}
					ma[0].length -= sum
				}
			}
		}
	}
	for _, o := range all {
		s := &m.sides[o.call.side]
		switch part(o) {
		case entry.Minor, entry.BenchMinor, entry.Major, entry.PenaltyShot:
			// nobody is sent off for these
		case entry.GameMisconduct, entry.Match:
			s.ejected[o.call.player] = true
		case entry.Misconduct:
			s.counts[o.call.player]++
			if m.two > 0 && s.counts[o.call.player] >= m.two {
				s.ejected[o.call.player] = true
			}
		}
	}
	for i := range m.sides {
		s := &m.sides[i]
		s.off = slices.DeleteFunc(s.off, func(seat *modelSeat) bool { return s.ejected[seat.player] && !seat.waits })
	}
	// Who sits: a player with something running goes on after it; others are
	// recorded in the order called, those with a minor before those with a major.
	var fresh [2][]*modelSeat
	for _, o := range all {
		i := o.call.side
		s := &m.sides[i]
		if o.gone || !isMinor(o) && !isMajor(o) || o.matched {
			continue
		}
		seat := find(s.short, o.call.player)
		from := 1
		if seat == nil {
			seat, from = find(fresh[i], o.call.player), 0
		}
		if seat == nil {
			seat = &modelSeat{player: o.call.player}
			fresh[i] = append(fresh[i], seat)
		}
		at := len(seat.left)
		if isMajor(o) {
			for at > from && !(seat.kind[at-1] == entry.Major || seat.kind[at-1] == entry.Match) {
				at--
			}
		}
		seat.left = slices.Insert(seat.left, at, o.length)
		seat.kind = slices.Insert(seat.kind, at, part(o))
		seat.goal = slices.Insert(seat.goal, at, isMinor(o) && !o.four)
		seat.order = slices.Insert(seat.order, at, o.order)
	}
	for i := range fresh {
		for _, minorsFirst := range []bool{true, false} {
			for _, seat := range fresh[i] {
				major := seat.kind[0] == entry.Major || seat.kind[0] == entry.Match
				if major != minorsFirst {
					m.sides[i].short = append(m.sides[i].short, seat)
				}
			}
		}
	}
	for _, misconducts := range []bool{false, true} {
		for _, o := range all {
			s := &m.sides[o.call.side]
			isOff := o.matched || part(o) == entry.Misconduct
			if o.gone || !isOff || (part(o) == entry.Misconduct) != misconducts || s.ejected[o.call.player] {
				continue
			}
			seat := find(s.off, o.call.player)
			if seat == nil {
				seat = &modelSeat{player: o.call.player}
				s.off = append(s.off, seat)
			}
			at := len(seat.left)
			for !misconducts && at > 0 && seat.kind[at-1] == entry.Misconduct {
				at--
			}
			seat.left = slices.Insert(seat.left, at, o.length)
			seat.kind = slices.Insert(seat.kind, at, part(o))
			seat.goal = slices.Insert(seat.goal, at, false)
			seat.order = slices.Insert(seat.order, at, o.order)
			seat.waits = false
		}
	}
	return choice
}

func find(seats []*modelSeat, player string) *modelSeat {
	for _, seat := range seats {
		if seat.player == player {
			return seat
		}
	}
	return nil
}

func keepIf[T any](list []T, ok func(T) bool) (out []T) {
	for _, v := range list {
		if ok(v) {
			out = append(out, v)
		}
	}
	return out
}
