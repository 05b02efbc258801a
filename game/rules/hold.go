package rules

import (
	"strconv"
	"strings"

	"whistlestop/game/entry"
)

// position is how far play has come, as far as the ledger knows: the clock's
// anchor in a play stage, otherwise the end of the last period begun.
func (f *folding) position() entry.Millis {
	s := &f.state
	if s.Stage.Play() {
		span := f.box.axis.span(periodOf(&s.Division, s.Stage))
		return span.Abs + min(s.Clock.Elapsed, span.Length)
	}
	at := entry.Millis(0)
	for _, span := range f.box.axis {
		if span.Begun {
			at = span.Abs + span.Length
		}
	}
	return at
}

func number(n int) string { return strconv.Itoa(n) }

func jerseys(list []entry.Jersey) string {
	words := make([]string, len(list))
	for i, j := range list {
		words[i] = string(j)
		if j == "" {
			words[i] = "?"
		}
	}
	return strings.Join(words, ", ")
}

// holding is what is looked at before a puck drop.
type holding struct {
	*folding
	now entry.Millis // how far play has come
}

// hold lists what stands in the way of the puck drop, the most pressing first,
// and what will soon be asked.
func (f *folding) hold() {
	h := holding{f, f.position()}
	h.doubt()
	h.stage()
	h.choices()
	h.servers()
	h.newPeriod()
	h.box()
	h.nets()
	h.runningTime()
	h.runningPeriod()
	h.leadRules()
	h.board()
	h.coaches()
}

// coaches: so many penalties that a head coach misses the next game.
func (h holding) coaches() {
	for i, count := range h.folding.coaches {
		if count > 0 {
			h.notice(done("coach/"+string(entry.Sides[i]), Say{Key: "notice.coach", Args: Pairs(
				"team", h.folding.box.names[i], "count", number(count),
			)}))
		}
	}
}

func (h holding) add(item Item) {
	if !h.aside[item.Key] {
		h.state.Hold = append(h.state.Hold, item)
	}
}

// notice asks, or says, something that holds nobody.
func (h holding) notice(item Item) {
	if !h.aside[item.Key] {
		h.state.Notices = append(h.state.Notices, item)
	}
}

// done is a quiet item that one tap settles for good.
func done(key string, say Say) Item {
	return Item{
		Key: key, Say: say, SettleSay: &Say{Key: "tap.done"},
		Settle: entry.SetAside{Item: key}, SettleKind: entry.KindSetAside,
	}
}

// stage: the clock that is set belongs to a period.
func (h holding) stage() {
	s := &h.state
	named := Pairs("stage", stageArg(s.Stage))
	switch {
	case s.Stage.Kind == entry.Over:
		// No puck is dropped any more: what is left is the report's.
	case s.Stage.Kind == entry.Setup:
		h.add(Item{Key: "stage", Say: Say{Key: "hold.setup"}})
	case !s.Stage.Play():
		h.add(Item{Key: "stage", Say: Say{Key: "hold.stage", Args: named}})
	case h.decided():
		h.add(Item{Key: "decided", Say: Say{Key: "hold.decided"}})
	case !s.Clock.Running && s.Clock.Length > 0 && s.Clock.Elapsed >= s.Clock.Length:
		h.add(Item{Key: "period_over", Say: Say{Key: "hold.period_over", Args: named}})
	}
}

// decided reports whether a goal in overtime has ended the game.
func (h holding) decided() bool {
	s := &h.state
	o, known := overtimePeriod(&s.Division, periodOf(&s.Division, s.Stage))
	sudden := s.Division.Overtime.SuddenDeath || known && o.SuddenDeath
	return s.Stage.Kind == entry.Overtime && sudden && s.Teams[0].Score != s.Teams[1].Score
}

// choices: a captain has to say something. Once play has gone on, or when it was
// set aside, the answer is owed to the book but holds nobody.
func (h holding) choices() {
	for i := range h.state.Asked {
		q := &h.state.Asked[i]
		args := Pairs(
			"team", h.folding.box.names[q.Side.Index()], "players", jerseys(q.Players),
			"time", q.Moment.Left.Left(),
		)
		switch {
		case !q.Now || q.Answered:
		case q.Moment.Abs < h.now || h.aside[q.ID]:
			h.owe(q.ID, "", Say{Key: "owed.choice", Args: args})
		default:
			q.Open = true
			h.add(Item{Key: q.ID, Say: Say{Key: "hold.choice", Args: args}})
		}
	}
}

// servers: somebody has to sit in the box, and nobody was named. A number that
// is to follow is paperwork, which holds no puck, unless the bench wants to see
// each penalised player in the box.
func (h holding) servers() {
	said := map[string]bool{}
	for _, t := range h.state.Terms {
		if !t.Costs || t.Sits != "" || t.End.Abs <= h.now || t.Door == NoDoor && t.Out != nil || said[t.Entry] {
			continue
		}
		said[t.Entry] = true
		key := "hold.serves"
		if !t.Bench && t.Player == "" {
			if key = "hold.who"; !h.state.Bench.ConfirmBox {
				continue // it is owed
			}
		}
		who := playerArg(t.Player, t.Bench)
		args := Pairs("team", h.folding.box.names[t.Side.Index()], "player", who)
		if j := h.folding.box.unseated[t.Entry]; j != "" {
			key = "hold.serves_again"
			args = args.With("sits", string(j)).With("for", servedFor(t.Player, t.Bench))
		}
		h.add(Item{Key: "serves/" + t.Entry, Entry: t.Entry, Say: Say{Key: key, Args: args}})
	}
}

// fresh reports whether a period was begun and its clock not yet started.
func (h holding) fresh() bool {
	s := &h.state
	return s.Stage.Play() && !s.Clock.Running && s.Clock.Elapsed == 0 && periodOf(&s.Division, s.Stage) > 1
}

// newPeriod: whoever has a penalty left must be back in the box before the puck
// drops (IIHF 35.1; officials' duty in every book read), and the ends change in
// regulation (IIHF 77.2, NHL 86.3).
func (h holding) newPeriod() {
	if !h.fresh() {
		return
	}
	period := periodOf(&h.state.Division, h.state.Stage)
	name := stageArg(h.state.Stage)
	if h.state.Stage.Kind == entry.Period {
		h.notice(done("ends/"+name, Say{Key: "notice.ends", Args: Pairs("stage", name)}))
	}
	if h.state.Bench.ConfirmBox {
		return // each of them is asked for
	}
	for i, side := range entry.Sides {
		var players []entry.Jersey
		for _, t := range h.inside() {
			if t.Side == side {
				players = append(players, t.Sits)
			}
		}
		if len(players) == 0 {
			continue
		}
		key := "back/" + string(side) + "/" + stageArg(playStage(&h.state.Division, period))
		h.add(Item{
			Key: key, Settle: entry.SetAside{Item: key}, SettleKind: entry.KindSetAside,
			Say: Say{Key: "hold.back", Args: Pairs("team", h.folding.box.names[i], "players", jerseys(players))},
		})
	}
}

// inside lists the newest term of everybody who sits in the box now.
func (h holding) inside() []Term {
	var out []Term
	seen := map[string]bool{}
	for _, t := range h.state.Terms {
		gone := t.End.Abs
		switch {
		case t.Out != nil:
			gone = t.Out.Abs
		case t.Door == NextWhistle:
			gone = forever
		}
		id := string(t.Side) + "/" + string(t.Sits)
		if t.Sits == "" || t.Ended == Wiped || t.Ended == NotServed || t.Start.Abs > h.now || gone <= h.now || seen[id] {
			continue
		}
		seen[id] = true
		out = append(out, t)
	}
	return out
}

// box: each penalised player was seen in the box, if the bench wants that.
func (h holding) box() {
	if !h.state.Bench.ConfirmBox || !h.state.Stage.Play() {
		return
	}
	for _, t := range h.inside() {
		since := t.Start.Abs
		if h.fresh() {
			since = h.now
		}
		last, known := h.seen[sideNumber{t.Side, t.Sits}]
		if known && last.in && last.abs >= since {
			continue
		}
		h.add(Item{
			Key: "seat/" + string(t.Side) + "/" + string(t.Sits) + "/" + t.ID, Entry: t.Entry,
			Settle:     entry.Seated{Side: t.Side, Player: t.Sits, In: true},
			SettleKind: entry.KindSeated,
			Say: Say{Key: "hold.seat", Args: Pairs(
				"team", h.folding.box.names[t.Side.Index()], "player", string(t.Sits), "gate", gateArg(t.Side),
			)},
		})
	}
}

// nets: a net that was left empty is worth a look at every whistle. One tap says
// that the goalkeeper is back, if it is known who that is.
func (h holding) nets() {
	if !h.state.Stage.Play() || h.state.Clock.Running {
		return
	}
	for i, t := range h.state.Teams {
		if !t.NetEmpty {
			continue
		}
		item := Item{
			Key:      "net/" + string(t.Side) + "/" + strconv.FormatInt(int64(h.now), 10),
			Say:      Say{Key: "notice.net", Args: Pairs("team", t.Name)},
			AsideSay: &Say{Key: "tap.stays_out"},
		}
		if last := h.lastKeeper(i); last != "" {
			item.Settle, item.SettleKind = entry.Goalkeeper{Side: t.Side, Number: last}, entry.KindGoalkeeper
			item.SettleSay = &Say{Key: "tap.in_goal", Args: Pairs("player", string(last))}
		}
		h.notice(item)
	}
}

// lastKeeper returns who kept goal before the net was left: as it was said, or
// the only goalkeeper of the roster; "" where nobody can know.
func (h holding) lastKeeper(side int) (found entry.Jersey) {
	if h.kept[side] != "" {
		return h.kept[side]
	}
	for _, p := range h.state.Teams[side].Players {
		if !p.Goalkeeper {
			continue
		}
		if found != "" {
			return ""
		}
		found = p.Number
	}
	return found
}
