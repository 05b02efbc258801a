package sim

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/bench"
)

// auditor remembers what seats did, were told and saw, and holds the ledger
// against it. It believes nothing that the bench says about itself.
type auditor struct {
	w        *world
	faults   []string
	drafts   map[string]entry.Entry // as they were offered
	order    map[*seat][]string     // ids, as each seat offered them
	batches  []batch
	told     map[string]bool           // ids that were acknowledged
	refused  map[string]bool           // ids that were refused
	touched  map[string]time.Time      // the true instant of each entry
	arrived  map[string]time.Time      // when it reached the disk
	sleeps   [][2]time.Time            // of the bench's computer
	crashes  []time.Time               // of the bench
	starts   []begun                   // of the program
	axis     time.Duration             // by which the bench's time is ahead of the true one
	axisThen time.Duration             // the same when the newest entry was kept
	astray   map[string]bool           // touched on a device that had not heard of a new start
	newest   time.Time                 // when the last entry reached the disk
	kept     []time.Time               // when entries reached it
	shown    map[int][sha256.Size]byte // what a screen showed after so many entries
}

func newAuditor(w *world) *auditor {
	return &auditor{
		w: w, drafts: map[string]entry.Entry{}, order: map[*seat][]string{}, told: map[string]bool{},
		refused: map[string]bool{}, touched: map[string]time.Time{}, arrived: map[string]time.Time{}, astray: map[string]bool{}, shown: map[int][sha256.Size]byte{},
	}
}

const faultsMost = 20

func (a *auditor) fault(form string, args ...any) {
	if len(a.faults) < faultsMost {
		a.faults = append(a.faults, fmt.Sprintf(form, args...))
	}
}

func (a *auditor) offered(s *seat, b batch) {
	a.batches = append(a.batches, b)
	for _, e := range b.entries {
		a.drafts[e.ID], a.touched[e.ID] = e, time.Now()
		a.astray[e.ID] = s.since.Before(a.w.host.begun)
		a.order[s] = append(a.order[s], e.ID)
	}
}

// took notes when entries reached the disk.
func (a *auditor) took(entries []entry.Entry) {
	a.newest, a.axisThen = time.Now(), a.axis
	a.kept = append(a.kept, a.newest)
	for _, e := range entries {
		a.arrived[e.ID] = a.newest
	}
}

func (a *auditor) acknowledged(b batch) {
	for _, e := range b.entries {
		a.told[e.ID] = true
	}
}

func (a *auditor) turnedDown(b batch) {
	for _, e := range b.entries {
		a.refused[e.ID] = true
	}
}

// sees notes what a screen shows: after as many entries all show the same.
func (a *auditor) sees(s *seat, update bench.Update) {
	sum := sha256.Sum256(update.JSON())
	if before, known := a.shown[update.State.Seq]; known && before != sum {
		a.fault("%s shows another game after %d entries than was shown before", s.name, update.State.Seq)
	}
	a.shown[update.State.Seq] = sum
}

// watchClocks holds the bench's time, as each device works it out, against the
// bench's own: never further off than the bound that it shows.
func (a *auditor) watchClocks() {
	if !a.w.host.up {
		return
	}
	for _, s := range a.w.seats {
		now, bound, known := s.benchNow()
		if !known || s.since.Before(a.w.host.begun) { // it has yet to hear that there is another program
			continue
		}
		if off := now - a.w.host.live.Now(); off > bound+1 || off < -bound-1 {
			a.fault("%s takes the time to be off by %d ms at most, and it is off by %d ms", s.name, bound, off)
		}
	}
}

// judge holds everything against the oracle, when all is mended and settled.
func (a *auditor) judge() {
	ledger := a.w.host.disk.ledger()
	place := map[string]int{}
	for i, e := range ledger {
		if _, twice := place[e.ID]; twice {
			a.fault("entry %s is in the ledger twice", e.ID)
		}
		place[e.ID] = i
		a.sameAsOffered(e)
	}
	if err := entry.VerifyChain(ledger); err != nil {
		a.fault("the chain is broken: %v", err)
	}
	for id := range a.told {
		if _, kept := place[id]; !kept {
			a.fault("entry %s was acknowledged and is gone", id)
		}
	}
	for id := range a.refused {
		if _, kept := place[id]; kept {
			a.fault("entry %s was refused and is in the ledger", id)
		}
	}
	a.inOrder(place)
	a.batchesWhole(place)
	a.screens(ledger)
	a.clocks(ledger)
	a.doubtsCome(ledger)
}

// inOrder looks whether each seat's entries are there as it made them, and all of them.
func (a *auditor) inOrder(place map[string]int) {
	for _, s := range a.w.seats {
		last := -1
		for _, id := range a.order[s] {
			at, kept := place[id]
			if kept && at < last {
				a.fault("entry %s of %s is out of order", id, s.name)
			}
			if kept {
				last = at
			}
		}
		if n := len(s.waiting); n > 0 {
			a.fault("%s still has %d batches to post, minutes after everything was mended", s.name, n)
		}
	}
}

// batchesWhole looks whether what was posted together was kept together, or not at all.
func (a *auditor) batchesWhole(place map[string]int) {
	for _, b := range a.batches {
		kept := 0
		for i, e := range b.entries {
			if at, there := place[e.ID]; there && (i == 0 || at == place[b.key()]+i) {
				kept++
			}
		}
		if kept != 0 && kept != len(b.entries) {
			a.fault("%d of the %d entries of %s were kept", kept, len(b.entries), b.key())
		}
	}
}

// sameAsOffered compares an entry with the draft that somebody made of it.
func (a *auditor) sameAsOffered(e entry.Entry) {
	if e.Seat == entry.Program || e.Kind() == entry.KindGameOpened {
		return
	}
	draft, known := a.drafts[e.ID]
	switch e.Body.(type) {
	case entry.ClockStarted, entry.ClockStopped: // the bench works out where the clock stood
		draft.Body = e.Body
	default: // the other entries say nothing here
	}
	mine, errMine := json.Marshal(draft.Body)
	theirs, errTheirs := json.Marshal(e.Body)
	if !known || errMine != nil || errTheirs != nil || !bytes.Equal(mine, theirs) || draft.Of != e.Of || draft.Seat != e.Seat {
		a.fault("entry %s is not what was entered: %s, was %s", e.ID, theirs, mine)
	}
}

// screens compares what was shown at any time with the fold of the ledger up to
// there, and the seats with each other.
func (a *auditor) screens(ledger []entry.Entry) {
	for seq, sum := range a.shown {
		if seq > len(ledger) {
			a.fault("a screen showed %d entries, and there are %d", seq, len(ledger))
			continue
		}
		state, err := rules.Fold(ledger[:seq])
		raw, errJSON := json.Marshal(state)
		if err != nil || errJSON != nil || sha256.Sum256(raw) != sum {
			a.fault("after %d entries a screen showed what does not follow from them: %v %v", seq, err, errJSON)
		}
	}
	for _, s := range a.w.seats {
		if s.state == nil || s.state.Seq != len(ledger) {
			a.fault("%s does not show the newest of %d entries in the end", s.name, len(ledger))
		}
	}
}

// clocks follows the game clock from the true instants of the touches. From a
// start to its stop the recorded time differs from the true one by the bounds of
// the two at most, unless the clock was at its end before.
func (a *auditor) clocks(ledger []entry.Entry) {
	var start *entry.Entry
	length := entry.Millis(0)
	for i, e := range ledger {
		switch body := e.Body.(type) {
		case entry.ClockStarted:
			start = &ledger[i]
		case entry.ClockStopped:
			if start != nil && e.Seat != entry.Program {
				a.stretch(*start, e, body, body.Elapsed == length)
			}
			start = nil
		case entry.StageBegun:
			start, length = nil, body.Length
		case entry.ClockSet, entry.ClockDoubted:
			start = nil
		default: // the other entries say nothing here
		}
	}
}

// overslept reports whether a clock that ran through a sleep should have been
// doubted. A program that crashes after a sleep before its disk took anything
// knows nothing of the sleep when it is started again.
func (a *auditor) overslept(start, stop entry.Entry) bool {
	for _, sleep := range a.sleeps {
		if !a.arrived[start.ID].Before(sleep[0]) || !a.arrived[stop.ID].After(sleep[1]) {
			continue
		}
		crashed := slices.ContainsFunc(a.crashes, func(at time.Time) bool {
			saved := slices.ContainsFunc(a.kept, func(kept time.Time) bool { return kept.After(sleep[1]) && kept.Before(at) })
			return !at.Before(sleep[0]) && !saved
		})
		if !crashed {
			return true
		}
	}
	return false
}

func (a *auditor) stretch(start, stop entry.Entry, stopped entry.ClockStopped, atEnd bool) {
	started := start.Body.(entry.ClockStarted)
	truly := entry.Millis(a.touched[stop.ID].Sub(a.touched[start.ID]).Milliseconds())
	recorded := stopped.Elapsed - started.Elapsed
	bound := started.Error + stopped.Error + 3 // whole milliseconds, three times over
	if a.unsure(start.ID) || a.unsure(stop.ID) {
		return
	}
	for _, s := range a.starts { // each reads whole milliseconds anew
		if s.at.After(a.touched[start.ID]) && s.at.Before(a.arrived[stop.ID]) {
			bound += 2
		}
	}
	a.w.counts["stretches of play"]++
	if a.overslept(start, stop) {
		a.fault("from %s to %s the computer slept, and nobody doubted the clock", start.ID, stop.ID)
	}
	if off := recorded - truly; off > bound || off < -bound && !atEnd {
		a.fault("from %s to %s %d ms were played, %d recorded: off by more than %d", start.ID, stop.ID, truly, recorded, bound)
	}
}
