package rules

import (
	"cmp"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// kept is what a side still serves after cancelling: units marked true.
type kept struct {
	units map[*calledPart]bool
}

// keep decides which of a side's penalties stay on the clock when it has more
// than the other side has. The captain chooses among players; until then, and
// where the book gives an order: as few skaters short as possible, then nobody
// taken off the ice besides, then the first called cancels first (Hockey Canada
// branch slides; the others leave it to the captain).
func (b *box) keep(side entry.Side, majors, minors, theirMajors, theirMinors units) kept {
	p := keeping{
		lists: [2]units{majors, minors},
		stay:  [2]int{max(0, len(majors)-len(theirMajors)), max(0, len(minors)-len(theirMinors))},
		want:  b.keptMatches(majors, theirMajors),
	}
	p.picks[0] = b.choice(side, majors, p.stay[0], "major")
	p.picks[1] = b.choice(side, minors, p.stay[1], "minor")
	best := p.choose()
	b.setDefaults(side, majors, best, "major")
	b.setDefaults(side, minors, best, "minor")
	return best
}

// keptMatches returns how many of a side's match penalties stay on the clock
// where the book pairs equal kinds before a major with a match (USA Hockey
// casebook 403), and -1 where it does not care.
func (b *box) keptMatches(mine, theirs units) int {
	if !b.code.Policies.MatchApart {
		return -1
	}
	myMatches, theirMatches := mine.matches(), theirs.matches()
	theirMajorsLeft := max(0, len(theirs)-theirMatches-(len(mine)-myMatches))
	return max(0, myMatches-theirMatches-theirMajorsLeft)
}

func (list units) matches() (n int) {
	for _, u := range list {
		if u.p.term.Part == entry.Match {
			n++
		}
	}
	return n
}

// keeping is the question which units of a side stay: so many majors and so many
// minors. It is worked out row by row: for every number of majors, minors and
// matches kept so far only the best way to get there is remembered, so the work
// grows with the calls and not with the ways to choose among them.
type keeping struct {
	lists [2]units // majors, minors
	stay  [2]int
	want  int // match penalties to keep; -1: any number
	picks [2][]entry.Jersey
	work  int // steps taken, for the test that bounds them
}

// mostUnits and mostWork bound what is worked out. Beyond them those called last stay:
// the captain is asked all the same. Nine calls of one player at one stoppage are worked
// out in any mix, and more than a hundred of many players.
const (
	mostUnits = 64
	mostWork  = 10_000
)

// rowUnits are one player's units, by index into the lists, in the order called.
type rowUnits struct {
	of    [2][]int
	least [2]int // as many stay at least, as the captain said
	most  [2]int
	match []int // the player's majors that are match penalties
}

// way is a way to keep units: how many skaters short, how many players who sit
// both on and off the clock, and which units, the first called in the highest
// bit. Of two sets of one size the smaller number keeps what was called later.
type way struct {
	known    bool
	on, both int
	set      [2]uint64
}

func (w way) compare(o way) int {
	return cmp.Or(cmp.Compare(w.on, o.on), cmp.Compare(w.both, o.both),
		cmp.Compare(w.set[0], o.set[0]), cmp.Compare(w.set[1], o.set[1]))
}

func (p *keeping) choose() kept {
	out := kept{units: map[*calledPart]bool{}}
	if p.stay == [2]int{} {
		return out
	}
	rows := p.rows()
	matches := 0
	if p.want >= 0 {
		matches = min(p.stay[0], p.lists[0].matches())
	}
	best, found := p.search(rows, matches)
	if !found {
		p.last(rows, out)
		return out
	}
	for kind, list := range p.lists {
		for i, u := range list {
			if best.set[kind]&bit(i) != 0 {
				out.units[u.p] = true
			}
		}
	}
	return out
}

func bit(i int) uint64 { return 1 << (mostUnits - 1 - i) }

// rows gathers the units by player, with what the captain's word leaves open:
// whoever was named keeps at least one; others keep one only when all that the
// named have is kept.
func (p *keeping) rows() []*rowUnits {
	var order []*rowUnits
	byRow := map[*row]*rowUnits{}
	var named [2]int
	for kind, list := range p.lists {
		for i, u := range list {
			r := byRow[u.c.row]
			if r == nil {
				r = &rowUnits{}
				byRow[u.c.row] = r
				order = append(order, r)
			}
			r.of[kind] = append(r.of[kind], i)
			if kind == 0 && u.p.term.Part == entry.Match {
				r.match = append(r.match, i)
			}
			if slices.Contains(p.picks[kind], u.c.Player) {
				named[kind]++
			}
		}
	}
	for _, r := range order {
		for kind := range r.of {
			n := len(r.of[kind])
			r.most[kind] = n
			if n == 0 || len(p.picks[kind]) == 0 {
				continue
			}
			player := p.lists[kind][r.of[kind][0]].c.Player
			switch is := slices.Contains(p.picks[kind], player); {
			case is && named[kind] <= p.stay[kind]:
				r.least[kind] = n
			case is && player != "":
				r.least[kind] = 1
			case !is && named[kind] >= p.stay[kind]:
				r.most[kind] = 0
			}
		}
	}
	return order
}

// search finds the best way, unless that would take too long.
func (p *keeping) search(rows []*rowUnits, matches int) (best way, found bool) {
	width, depth := p.stay[1]+1, matches+1
	states := (p.stay[0] + 1) * width * depth
	options := 0
	for _, r := range rows {
		options += r.count(p.want >= 0)
	}
	if len(p.lists[0]) > mostUnits || len(p.lists[1]) > mostUnits || states > mostWork/max(1, options) {
		return way{}, false
	}
	at := func(ma, mi, match int) int { return (ma*width+mi)*depth + match }
	now, next := make([]way, states), make([]way, states)
	now[0] = way{known: true}
	for _, r := range rows {
		clear(next)
		for _, o := range r.options(p.want >= 0) {
			p.work += o.onto(now, next, p.stay[0]+1, width, depth)
		}
		now, next = next, now
	}
	off := -1
	for match := 0; match <= matches; match++ {
		w := now[at(p.stay[0], p.stay[1], match)]
		away := max(match-p.want, p.want-match)
		if p.want < 0 {
			away = 0
		}
		if w.known && (off < 0 || away < off || away == off && w.compare(best) < 0) {
			best, off = w, away
		}
	}
	return best, off >= 0
}

// option is one way for one player: so many majors, matches among them, and
// minors, always those called last.
type option struct {
	ma, mi, match int
	way           way
}

// onto goes on by the option from every way now known, over so many majors, minors
// and matches, and keeps the best of the ways that meet. It returns the work.
func (o option) onto(now, next []way, majors, minors, matches int) (work int) {
	for from, w := range now {
		work++
		match, mi, ma := from%matches+o.match, from/matches%minors+o.mi, from/matches/minors+o.ma
		if !w.known || match >= matches || mi >= minors || ma >= majors {
			continue
		}
		to := &next[(ma*minors+mi)*matches+match]
		w.on, w.both = w.on+o.way.on, w.both+o.way.both
		w.set[0], w.set[1] = w.set[0]|o.way.set[0], w.set[1]|o.way.set[1]
		if !to.known || w.compare(*to) < 0 {
			*to = w
		}
	}
	return work
}

// count is how many options the player has, which is how often every state is gone through.
func (r *rowUnits) count(apart bool) (n int) {
	for ma := r.least[0]; ma <= r.most[0]; ma++ {
		ways := 1
		if apart {
			plain := len(r.of[0]) - len(r.match)
			ways = min(ma, len(r.match)) - max(0, ma-plain) + 1
		}
		n += ways * (r.most[1] - r.least[1] + 1)
	}
	return n
}

func (r *rowUnits) options(apart bool) []option {
	var out []option
	for ma := r.least[0]; ma <= r.most[0]; ma++ {
		for mi := r.least[1]; mi <= r.most[1]; mi++ {
			for _, majors := range r.majors(ma, apart) {
				out = append(out, r.option(majors, ma, mi, apart))
			}
		}
	}
	return out
}

// majors lists the sets of so many majors: those called last, and where matches
// are counted apart, each number of matches among them.
func (r *rowUnits) majors(ma int, apart bool) [][]int {
	if !apart {
		return [][]int{newest(r.of[0], ma)}
	}
	var sets [][]int
	plain := slices.DeleteFunc(slices.Clone(r.of[0]), func(i int) bool { return slices.Contains(r.match, i) })
	for match := max(0, ma-len(plain)); match <= min(ma, len(r.match)); match++ {
		sets = append(sets, slices.Concat(newest(r.match, match), newest(plain, ma-match)))
	}
	return sets
}

// newest is the last n of a list.
func newest[T any](list []T, n int) []T { return list[len(list)-n : len(list) : len(list)] }

func (r *rowUnits) option(majors []int, ma, mi int, apart bool) option {
	o := option{ma: ma, mi: mi, way: way{known: true}}
	for _, i := range majors {
		o.way.set[0] |= bit(i)
		if apart && slices.Contains(r.match, i) {
			o.match++
		}
	}
	for _, i := range newest(r.of[1], mi) {
		o.way.set[1] |= bit(i)
	}
	if ma+mi > 0 {
		o.way.on = 1
		if ma < len(r.of[0]) || mi < len(r.of[1]) {
			o.way.both = 1
		}
	}
	return o
}

// last keeps those called last, after what the captain named.
func (p *keeping) last(rows []*rowUnits, out kept) {
	for kind, list := range p.lists {
		left := p.stay[kind]
		take := func(i int) {
			if u := list[i].p; left > 0 && !out.units[u] {
				out.units[u] = true
				left--
			}
		}
		for _, r := range rows {
			for _, i := range newest(r.of[kind], r.least[kind]) {
				take(i)
			}
		}
		for _, named := range []bool{true, false} {
			for i := len(list) - 1; i >= 0; i-- {
				if !named || slices.Contains(p.picks[kind], list[i].c.Player) {
					take(i)
				}
			}
		}
	}
}

// choice asks which of a side's players serve, where some but not all of their
// equal penalties cancel and more than one player has one. It returns the
// answer. Where the book goes by the order reported nobody is asked.
func (b *box) choice(side entry.Side, list units, stay int, kind string) []entry.Jersey {
	if b.code.Policies.MatchedPick == rulebook.Reported {
		return nil
	}
	players := playersOf(list)
	if stay == 0 || stay == len(list) || len(players) < 2 {
		return nil
	}
	id := "serve/" + kind + "/" + list[0].c.play.id
	ask := Say{Key: "ask.serve_minor"}
	if kind == "major" {
		ask = Say{Key: "ask.serve_major"}
	}
	picks, answered := b.answers[id]
	picks = asWritten(picks, players)
	if len(picks) > stay {
		picks = picks[:stay]
	}
	b.ask(Question{
		ID: id, Side: side, Moment: b.axis.momentAt(list[0].c.at), Now: true, Players: players,
		Count: stay, Answered: answered && len(picks) > 0, Say: ask,
		Reason: b.reason(rulebook.TopicMatchedPick, "why.matched_pick", nil),
	})
	return picks
}

// setDefaults writes what the fold goes on with into the question.
func (b *box) setDefaults(side entry.Side, list units, k kept, kind string) {
	for i := range b.asked {
		q := &b.asked[i]
		if q.Side != side || len(list) == 0 || q.ID != "serve/"+kind+"/"+list[0].c.play.id {
			continue
		}
		for _, u := range list {
			if k.units[u.p] && !slices.Contains(q.Default, u.c.Player) {
				q.Default = append(q.Default, u.c.Player)
			}
		}
	}
}

func playersOf(list units) []entry.Jersey {
	var out []entry.Jersey
	rows := map[*row]bool{}
	for _, u := range list {
		if !rows[u.c.row] {
			rows[u.c.row] = true
			out = append(out, u.c.Player)
		}
	}
	return out
}
