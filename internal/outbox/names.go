package outbox

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"maps"
	"slices"
	"strings"

	"whistlestop/game/entry"
)

// named is which names of a game's players were sent last.
type named struct {
	end  int    // of the ledger then
	hub  string // what the hub said that it has after it
	mark string // of the names that were sent
}

// sendNames sends the names of a game's players to a hub that shows them to everybody, and
// no others of a person: they lie beside the ledger, and what was taken out here is not
// among them. A hub that does not ask is sent none.
func (o *Outbox) sendNames(game string, at head) error {
	o.mutex.Lock()
	before, end := o.names[game], o.ends[game]
	o.mutex.Unlock()
	if e, _ := o.Ending(game); e.Ended {
		return nil // the hub's are not ended by what is not here any more
	}
	if !at.Names || before.end == end && before.hub == at.Named && before.end > 0 {
		return nil
	}
	ledger, err := o.Ledgers.Load(o.ctx, game)
	if err != nil {
		return nil // what is wrong with the ledger is said where it is sent
	}
	names := playerNames(ledger)
	commitments := make([]string, len(names))
	for i, n := range names {
		commitments[i] = n.Commitment
	}
	var older [][]byte
	if at.OlderNames {
		var inside []string
		if older, inside, err = playersInside(ledger); err != nil {
			return err
		}
		commitments = append(commitments, inside...)
	}
	next := named{end: end, hub: at.Named, mark: markOf(commitments)}
	if next.mark != at.Named && (next.mark != before.mark || before.hub != at.Named) {
		var body []byte
		for _, n := range names {
			line, err := n.MarshalJSON()
			if err != nil {
				return err
			}
			body = append(append(body, line...), '\n')
		}
		for _, line := range older {
			body = append(append(body, line...), '\n')
		}
		after, err := o.hub.name(o.ctx, game, body)
		var no *refusal
		switch {
		case errors.As(err, &no) && no.Status != statusUnauthorized && no.after == 0:
			o.Logger.Warn("the hub does not take the names of a game's players", "game", game, "why", no.Detail)
		case err != nil:
			return err
		default:
			next.hub = after.Named
		}
	}
	o.mutex.Lock()
	defer o.mutex.Unlock()
	o.names[game] = next
	return nil
}

// playerNames are the names of players that are known of a ledger, each once, in the order
// of their commitments.
func playerNames(ledger []entry.Entry) (names []entry.Name) {
	seen := map[string]bool{}
	for _, e := range ledger {
		for _, n := range e.NamesOf(entry.TextPlayer) {
			if !seen[n.Commitment] {
				seen[n.Commitment] = true
				names = append(names, n)
			}
		}
	}
	slices.SortFunc(names, func(a, b entry.Name) int { return strings.Compare(a.Commitment, b.Commitment) })
	return names
}

// playersInside are the lines of version 1 that have names of players inside, and the
// commitments that stand for those names in the lines without them.
func playersInside(ledger []entry.Entry) (lines [][]byte, commitments []string, err error) {
	for _, e := range ledger {
		if !e.Inside() {
			continue
		}
		without, err := entry.WithoutTexts(e)
		if err != nil {
			return nil, nil, err
		}
		texts, err := entry.Opened(e, without, entry.TextPlayer)
		if err != nil {
			return nil, nil, err
		}
		if len(texts) == 0 {
			continue
		}
		line, err := e.MarshalJSON()
		if err != nil {
			return nil, nil, err
		}
		lines, commitments = append(lines, line), slices.AppendSeq(commitments, maps.Keys(texts))
	}
	return lines, commitments, nil
}

// markOf names a set of names as a hub does, by their commitments; empty: there are none.
func markOf(commitments []string) string {
	if len(commitments) == 0 {
		return ""
	}
	slices.Sort(commitments)
	sum := sha256.New()
	for _, one := range commitments {
		sum.Write([]byte(one + "\n"))
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}
