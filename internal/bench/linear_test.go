package bench

import (
	"context"
	"fmt"
	"math/rand/v2"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/anishathalye/porcupine"

	"whistlestop/game/entry"
	"whistlestop/internal/store/memory"
)

// asked is what a device asks: to enter a goal, to strike one, or how it stands.
type asked struct {
	what string // goal, strike, read
	goal int
}

// told is what it heard. A device whose answer was lost heard nothing.
type told struct {
	lost, refused bool
	seq, standing int // entries in the ledger, goals that count
}

// book is the whole of what one bench must look like to everybody: a list that
// grows by one entry at a time. It shares nothing with the bench.
type book struct {
	seq            int
	posted, struck uint64 // goals, by number
}

func (b book) step(a asked) (next book, refused bool) {
	bit := uint64(1) << a.goal
	switch a.what {
	case "goal":
		if b.posted&bit == 0 { // a second sending of it changes nothing
			b.posted |= bit
			b.seq++
		}
	case "strike":
		if b.posted&bit == 0 || b.struck&bit != 0 {
			return b, true
		}
		b.struck |= bit
		b.seq++
	}
	return b, false
}

func (b book) standing() (n int) {
	for bits := b.posted &^ b.struck; bits != 0; bits &= bits - 1 {
		n++
	}
	return n
}

// oneBench says that the answers of all devices are those of one list, each
// change in force for everybody from some instant between question and answer.
func oneBench(opened int) porcupine.Model {
	return porcupine.Model{
		Init: func() any { return book{seq: opened} },
		Step: func(state, input, output any) (bool, any) {
			next, refused := state.(book).step(input.(asked))
			o := output.(told)
			fits := o.lost || refused == o.refused && (refused || o.seq == next.seq && o.standing == next.standing())
			return fits, next
		},
	}
}

// Several devices post, strike and read at once, some answers are lost and asked
// for again: an independent checker finds one order that explains every answer.
func TestPostsOfSeveralDevicesAreLinearizable(t *testing.T) {
	runs := 40
	if testing.Short() {
		runs = 10
	}
	for run := range runs {
		history := playAtOnce(t, uint64(run))
		if !porcupine.CheckOperations(oneBench(1), history) {
			t.Errorf("run %d: no order explains what the devices were told:\n%v", run, history)
		}
	}
}

// The checker can find a fault: an answer from a state that never was.
func TestTheCheckerFindsAFault(t *testing.T) {
	history := playAtOnce(t, 7)
	for i := range history {
		if o := history[i].Output.(told); !o.lost && !o.refused && o.seq > 2 {
			o.seq--
			history[i].Output = o
			break
		}
	}
	if porcupine.CheckOperations(oneBench(1), history) {
		t.Error("an answer that is one entry short was explained")
	}
}

// strikes numbers strikes: each is an act of its own.
var strikes atomic.Int64

func playAtOnce(t *testing.T, seed uint64) []porcupine.Operation {
	t.Helper()
	tb := &table{t: t, log: memory.New()}
	tb.start()
	defer tb.bench.Close()
	if _, err := tb.bench.Open(t.Context(), opening(t)); err != nil {
		t.Fatal(err)
	}
	begun := tb.draft(period(1, 15))
	tb.send(begun)
	var mutex sync.Mutex
	var history []porcupine.Operation
	// The period counts as an entry that was there before.
	base := len(tb.ledger()) - 1
	began := time.Now()
	var devices sync.WaitGroup
	for device := range 2 + int(seed%4) {
		random := rand.New(rand.NewPCG(seed, uint64(device)))
		devices.Go(func() {
			for range 12 {
				ask := asked{what: []string{"goal", "goal", "strike", "read"}[random.IntN(4)], goal: random.IntN(12)}
				lost := random.IntN(5) == 0
				call := time.Since(began).Nanoseconds()
				answer := tb.answer(ask, lost)
				answer.seq -= base
				mutex.Lock()
				history = append(history, porcupine.Operation{
					ClientId: device, Input: ask, Call: call, Output: answer, Return: time.Since(began).Nanoseconds(),
				})
				mutex.Unlock()
			}
		})
	}
	devices.Wait()
	return history
}

// answer asks the bench. The id of a goal and of its strike follow from its
// number, so every device that enters it sends the same entry again.
func (tb *table) answer(a asked, lost bool) told {
	var update Update
	var err error
	switch a.what {
	case "read":
		update, err = tb.bench.State(context.Background(), gameID)
	default:
		d := entry.Entry{
			ID: fmt.Sprintf("01JG%022d", a.goal), Game: gameID, Wall: 1_700_000_000_000, Seat: entry.Solo,
			At: entry.At{Period: 1, Elapsed: entry.Clock(1, 0)}, Body: entry.Goal{Side: entry.Home, Scorer: "7"},
		}
		if a.what == "strike" {
			d.ID, d.Of, d.Body = fmt.Sprintf("01JS%022d", strikes.Add(1)), fmt.Sprintf("01JG%022d", a.goal), entry.Struck{Reason: "was not so"}
		}
		var reply Reply
		reply, err = tb.bench.Post(context.Background(), gameID, []entry.Entry{d})
		update = reply.Update
	}
	if lost {
		return told{lost: true}
	}
	if err != nil {
		if !isKind(err, Refused) {
			tb.t.Errorf("%+v: %v", a, err)
		}
		return told{refused: true}
	}
	standing := 0
	for range update.State.Goals {
		standing++
	}
	return told{seq: update.State.Seq, standing: standing}
}
