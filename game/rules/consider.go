package rules

import (
	"errors"
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// Consider folds the ledger with tentative entries, without counting them: what
// would follow, in sentences, and why an entry cannot be posted, if it cannot.
// The instant now is used to say what changes for people who are in the box at
// this moment. The drafts may lack a sequence number.
func Consider(ledger, drafts []entry.Entry, now entry.Millis) Preview {
	before, err := FoldAfter(nil, ledger)
	if err != nil && !errors.Is(err, ErrNotOpened) {
		p := Preview{Says: []Say{}, Warnings: []Say{}, Refused: []Refusal{}}
		p.Refused = append(p.Refused, Refusal{Say: Say{Key: "refused.broken", Args: Pairs("detail", message.Inside(err))}})
		return p
	}
	return ConsiderAfter(before, ledger, drafts, now)
}

// ConsiderAfter is Consider for a ledger that was folded already. Before is nil
// for an empty one.
func ConsiderAfter(before *Folded, ledger, drafts []entry.Entry, now entry.Millis) Preview {
	p := Preview{Says: []Say{}, Warnings: []Say{}, Refused: []Refusal{}}
	var was State
	if before != nil {
		was = before.State
	}
	p.State = was
	state := was
	all := posted{ledger: ledger, drafts: make([]entry.Entry, 0, len(drafts))}
	for _, d := range drafts {
		folded, refused := all.take(d, before, state, false)
		if refused != nil {
			p.Refused = append(p.Refused, *refused)
			return p
		}
		state, p.Fresh = folded.State, folded.Fresh
	}
	p.State = state
	p.Says = sentences(was, state, drafts, now)
	p.Warnings = warnings(was, state)
	return p
}

// Accept folds a ledger with entries that are chained behind it and about to be
// posted, or says why one of them cannot be. It gives what FoldAfter gives of all
// of them. That their ids are new knows whoever posts them.
func Accept(before *Folded, ledger, entries []entry.Entry) (*Folded, *Refusal) {
	all := posted{ledger: ledger, drafts: make([]entry.Entry, 0, len(entries)), unused: true}
	last, fresh := before, []int(nil)
	for _, e := range entries {
		var state State
		if last != nil {
			state = last.State
		}
		folded, refused := all.take(e, last, state, true)
		if refused != nil {
			return nil, refused
		}
		fresh = append(fresh, folded.Fresh...)
		last = folded
	}
	slices.Sort(fresh)
	last.Fresh = slices.Compact(fresh)
	return last, nil
}

// take adds a draft, if nothing speaks against it, and folds it.
func (p *posted) take(d entry.Entry, before *Folded, state State, grows bool) (*Folded, *Refusal) {
	if r, ok := refusal(*p, state, d); !ok {
		return nil, &r
	}
	d.Seq = p.len() + 1
	p.drafts = append(p.drafts, d)
	f, err := foldOn(before, p.ledger, p.drafts, grows)
	if err != nil {
		return nil, &Refusal{
			Entry: d.ID, Field: "division", Say: Say{Key: "refused.broken", Args: Pairs("detail", message.Inside(err))},
		}
	}
	return f.folded(), nil
}

// refusal checks one draft against the game so far.
func refusal(all posted, state State, d entry.Entry) (Refusal, bool) {
	no := func(field, key string, args Args) (Refusal, bool) {
		return Refusal{Entry: d.ID, Field: field, Say: Say{Key: key, Args: args}}, false
	}
	if err := d.Validate(); err != nil {
		var bad *entry.Invalid
		field := ""
		if errors.As(err, &bad) {
			field = bad.Field
		}
		return no(field, "refused.invalid", Pairs("detail", message.Inside(err)))
	}
	_, opening := d.Body.(entry.GameOpened)
	if opening != (all.len() == 0) {
		return no("kind", "refused.opening", nil)
	}
	if opening {
		return Refusal{}, true
	}
	if d.Game != state.Game {
		return no("source", "refused.other_game", nil)
	}
	if !all.unused {
		if _, used := all.place(d.ID); used {
			return no("id", "refused.used_id", nil)
		}
	}
	body := d.Body
	switch b := body.(type) {
	case entry.Amended:
		return amendRefusal(all, state, d, b, no)
	case entry.Struck:
		_, of, found := all.before(all.len(), d.Of)
		if !found {
			return no("of", "refused.unknown_entry", nil)
		}
		if of.Kind() == entry.KindGameOpened {
			return no("of", "refused.strike_opening", nil)
		}
		if key := stays(of.Kind()); key != "" {
			return no("of", key, nil)
		}
		for _, l := range state.Lines {
			if l.Entry == d.Of && l.Struck {
				return no("of", "refused.already_struck", nil)
			}
		}
		return Refusal{}, true
	default:
		return bodyRefusal(state, d.At, body, no)
	}
}

// stays says why entries of a kind are neither amended nor struck, or nothing: a
// later entry takes their place.
func stays(k entry.Kind) string { return k.About().Stays }

type noFunc func(field, key string, args Args) (Refusal, bool)

func amendRefusal(all posted, state State, d entry.Entry, b entry.Amended, no noFunc) (Refusal, bool) {
	_, of, found := all.before(all.len(), d.Of)
	if !found {
		return no("of", "refused.unknown_entry", nil)
	}
	kind := of.Kind()
	if earlier, ok := of.Body.(entry.Amended); ok {
		kind = earlier.To.Kind()
	}
	if kind != b.To.Kind() {
		return no("body", "refused.other_kind", nil)
	}
	if key := stays(kind); key != "" {
		return no("of", key, nil)
	}
	if opened, ok := b.To.(entry.GameOpened); ok {
		if was, isOpening := all.at(0).Body.(entry.GameOpened); isOpening && string(was.Division) != string(opened.Division) {
			return no("division", "refused.other_division", nil)
		}
	}
	if kind == entry.KindClockStarted || kind == entry.KindClockStopped {
		return Refusal{}, true
	}
	return bodyRefusal(state, d.At, b.To, no)
}

func goalRefusal(state State, at entry.At, goal entry.Goal, no noFunc) (Refusal, bool) {
	for _, a := range goal.Assists {
		if goal.Scorer != "" && a.Same(goal.Scorer) && !twoWays(state.Teams[goal.Side.Index()].Players, a, goal.Scorer) {
			return no("assists", "refused.own_assist", Pairs("player", string(goal.Scorer)))
		}
	}
	return placeRefusal(state, at, no)
}

func startRefusal(state State, started entry.ClockStarted, no noFunc) (Refusal, bool) {
	switch {
	case state.Clock.Running:
		return no("kind", "refused.already_running", nil)
	case state.Clock.Length == 0:
		return no("kind", "refused.no_clock", Pairs("stage", stageArg(state.Stage)))
	case started.Elapsed >= state.Clock.Length:
		return no("elapsed_ms", "refused.ran_out", Pairs("stage", stageArg(state.Stage)))
	}
	return Refusal{}, true
}

func stageRefusal(state State, begun entry.StageBegun, no noFunc) (Refusal, bool) {
	if state.Clock.Running && state.Stage.Play() {
		return no("kind", "refused.stage_running", nil)
	}
	if begun.Stage.Play() && begun.Length <= 0 {
		return no("length_ms", "refused.no_length", nil)
	}
	return Refusal{}, true
}

func sealRefusal(state State, sealed entry.Sealed, no noFunc) (Refusal, bool) {
	switch {
	case state.Stage.Kind != entry.Over:
		return no("kind", "refused.seal_not_over", nil)
	case sealed.Version != len(state.Book.Seals)+1:
		return no("version", "refused.seal_version", nil)
	}
	return Refusal{}, true
}

// placeRefusal checks the moment of a goal or a call: a period that was begun,
// and a time within it.
func placeRefusal(state State, at entry.At, no noFunc) (Refusal, bool) {
	for _, p := range state.Periods {
		if p.Period != at.Period {
			continue
		}
		if !p.Begun {
			return no("at.period", "refused.not_begun", Pairs("stage", stageArg(p.Stage)))
		}
		if at.Elapsed > p.Length {
			return no("at.elapsed_ms", "refused.outside", Pairs(
				"time", at.Elapsed.String(), "length", p.Length.String(), "stage", stageArg(p.Stage),
			))
		}
		return Refusal{}, true
	}
	return no("at.period", "refused.no_period", Pairs("period", strconv.Itoa(at.Period)))
}

func clockRefusal(state State, elapsed entry.Millis, no noFunc) (Refusal, bool) {
	if state.Clock.Length == 0 {
		return no("elapsed_ms", "refused.no_clock", Pairs("stage", stageArg(state.Stage)))
	}
	if elapsed > state.Clock.Length {
		return no("elapsed_ms", "refused.clock_too_long", Pairs("length", state.Clock.Length.Left()))
	}
	return Refusal{}, true
}
