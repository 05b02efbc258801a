package evening

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"maps"
	"math/rand/v2"
	"net/http"
	"slices"
	"sync"
	"time"

	"whistlestop/internal/folder/durable"
	"whistlestop/internal/restart"
)

// Program is the program under test, without a network: its handler.
type Program interface {
	http.Handler
	Close() error
}

// Place is the computer that a program is started on.
type Place struct {
	Folder string                 // of the games
	Stick  string                 // a folder for further copies
	Disk   durable.Disk           // of the copies
	Clocks func() restart.Reading // the computer's
}

// Setup is what an evening needs.
type Setup struct {
	Seed    uint64
	Moves   int // how many; 0: as many as usual
	Folder  string
	Hostile map[string][]byte // files of strangers, by name
	Start   func(ctx context.Context, place Place) (Program, error)
}

// Outcome is how an evening went.
type Outcome struct {
	Faults  []string // what broke the oracle; empty: nothing
	Moves   int
	Entries int // in all ledgers at the end
	Counts  map[string]int
	Trace   string // hash of everything that happened, in order
	Log     []string
}

const (
	usualMoves = 70
	faultsMost = 12
	logMost    = 5000 // lines that are kept
	gamesMost  = 3
)

// evening is one that is being played. One move happens at a time.
type evening struct {
	Setup
	ctx      context.Context
	random   *rand.Rand
	laptop   *laptop
	games    []*game // those that are played
	others   map[string]*game
	brought  map[string]bool // games that somebody brought, and may be here
	phones   []*phone
	screens  []*screen
	gone     map[string]bool // names that were taken out
	offers   map[string]bool // ids of entries that a person took from a proposal
	mutex    sync.Mutex      // of what is written down
	out      Outcome
	trace    hash.Hash
	older    map[string][]byte // what was on the stick once
	database map[string][]byte // as it was at an earlier end of the program
	begins   time.Time
	moves    int
}

// Play plays an evening. It is called inside a bubble of simulated time.
func Play(ctx context.Context, setup Setup) Outcome {
	if setup.Moves == 0 {
		setup.Moves = usualMoves
	}
	v := &evening{
		Setup: setup, ctx: ctx, random: rand.New(rand.NewPCG(setup.Seed, 0xe7e)), others: map[string]*game{},
		offers: map[string]bool{}, gone: map[string]bool{}, brought: map[string]bool{}, trace: sha256.New(), begins: time.Now(), out: Outcome{Counts: map[string]int{}},
	}
	v.laptop = newLaptop(v)
	v.start()
	v.openGames()
	for v.moves = 1; v.moves <= v.Moves && v.fine(); v.moves++ {
		time.Sleep(v.wait())
		v.move()
	}
	if v.fine() {
		v.judge()
	}
	v.laptop.end(inOrder)
	v.laptop.leave()
	v.out.Moves = v.moves - 1
	v.out.Trace = hex.EncodeToString(v.trace.Sum(nil))
	return v.out
}

// wait is how long nobody does anything.
func (v *evening) wait() time.Duration {
	if v.chance(8) {
		return v.between(30*time.Second, 6*time.Minute)
	}
	return v.between(200*time.Millisecond, 12*time.Second)
}

// move lets one thing happen.
func (v *evening) move() {
	moves := []struct {
		weight int
		name   string
		do     func()
	}{
		{50, "post", func() { v.post(v.one()) }},
		{8, "together", v.together},
		{6, "guest", v.guest},
		{4, "again", func() { v.again(v.one()) }},
		{5, "killed", func() { v.goDown(killed) }},
		{5, "power cut", func() { v.goDown(powerCut) }},
		{6, "in a post", v.downInAPost},
		{5, "ended", func() { v.goDown(inOrder) }},
		{4, "disk", v.disk},
		{9, "stick", v.stick},
		{10, "stranger", v.stranger},
		{4, "decision", v.decide},
		{3, "over", func() { v.finish(v.one()) }},
		{24, "phone", v.phone},
		{7, "follow", v.follow},
		{4, "report", func() { v.report(v.one()) }},
		{2, "withdraw", v.withdraw},
	}
	all := 0
	for _, m := range moves {
		all += m.weight
	}
	at := v.random.IntN(all)
	for _, m := range moves {
		if at -= m.weight; at < 0 {
			v.out.Counts[m.name]++
			v.note(m.name, "")
			m.do()
			break
		}
	}
	if v.moves%8 == 0 {
		v.lookAll()
	}
}

// openGames opens the games of the evening, and takes one over from a copy.
func (v *evening) openGames() {
	for i := range 2 + v.random.IntN(gamesMost-1) {
		v.games = append(v.games, v.open(i))
	}
	if ours := v.takeOver(); ours != nil {
		v.games = append(v.games, ours)
	}
	v.lookAll()
}

// judge mends everything, lets what waits go out, closes the reports, starts once
// more and holds everything against the oracle.
func (v *evening) judge() {
	v.note("mended", "")
	v.laptop.mend()
	for range 6 {
		time.Sleep(5 * time.Second)
		for _, g := range v.games {
			v.send(g)
		}
	}
	v.lookAll()
	for _, g := range v.games {
		if g.waiting != nil {
			v.fault("%s still has something to post, although everything was mended", g.id)
		}
		v.finish(g)
	}
	v.lookAll()
	for _, g := range v.games {
		v.report(g)
	}
	time.Sleep(20 * time.Second) // copies come after
	v.laptop.end(inOrder)
	v.copiesAgree()
	v.copiesUnnamed()
	v.nowhere()
	v.laptop.goOn()
	v.start()
	v.lookAll()
	for _, g := range v.games {
		v.out.Entries += len(g.seen)
		v.verifySeals(g)
		v.played(g)
	}
}

func (v *evening) one() *game { return v.games[v.random.IntN(len(v.games))] }

func (v *evening) chance(ofHundred int) bool { return v.random.IntN(100) < ofHundred }

func (v *evening) between(least, most time.Duration) time.Duration {
	return least + time.Duration(v.random.Int64N(int64(most-least)+1))
}

func (v *evening) fine() bool { return len(v.out.Faults) == 0 }

func (v *evening) fault(form string, args ...any) {
	what := fmt.Sprintf(form, args...)
	v.note("FAULT", "%s", what)
	v.mutex.Lock()
	defer v.mutex.Unlock()
	if len(v.out.Faults) < faultsMost {
		v.out.Faults = append(v.out.Faults, fmt.Sprintf("move %d: %s", v.moves, what))
	}
}

// note writes down what happened. Nothing in it is of the program's own chance.
func (v *evening) note(what, form string, args ...any) {
	v.mutex.Lock()
	defer v.mutex.Unlock()
	line := fmt.Sprintf("%3d %9.3f %-10s %s", v.moves, time.Since(v.begins).Seconds(), what, fmt.Sprintf(form, args...))
	v.trace.Write([]byte(line + "\n"))
	if len(v.out.Log) < logMost {
		v.out.Log = append(v.out.Log, line)
	}
}

// sorted are the keys of a map in order.
func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
