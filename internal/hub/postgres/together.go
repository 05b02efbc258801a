package postgres

import (
	"context"
	"errors"
	"runtime"
	"slices"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
)

// How lines of an association's games go together (ours). Of two transactions under way
// the server works out one while the disk has the other; a third makes each smaller.
const (
	underWay      = 2
	linesTogether = 64
	eachWithin    = 30 * time.Second // as askWithin, where the server does not answer at all
)

// request is one line that somebody waits for.
type request struct {
	ctx   context.Context
	at    ledgers.Where
	epoch int
	line  ledgers.Line
	now   entry.Millis

	done     chan struct{} // closed when the rest is known
	common   int           // as appendOne says it
	straight bool
	err      error
}

// queue has those who wait because enough of their association is under way. An
// association has its own turn: a transaction sees the rows of one only.
type queue struct {
	sync.Mutex
	under map[string]int
	waits map[string][]*request
}

// enter says whether a request may go alone at once; otherwise it waits.
func (q *queue) enter(r *request) bool {
	q.Lock()
	defer q.Unlock()
	of := r.at.Association
	if q.under[of] < underWay {
		q.under[of]++
		return true
	}
	q.waits[of] = append(q.waits[of], r)
	return false
}

// forget takes out a request that nobody waits for any more, unless it is under way.
func (q *queue) forget(r *request) {
	q.Lock()
	defer q.Unlock()
	of := r.at.Association
	q.waits[of] = slices.DeleteFunc(q.waits[of], func(one *request) bool { return one == r })
}

// next takes out who goes together in the place of what has just ended, the oldest
// first. Nobody: there is one less under way.
func (q *queue) next(association string) (list []*request) {
	q.Lock()
	defer q.Unlock()
	if waits := q.waits[association]; len(waits) > 0 {
		n := min(len(waits), linesTogether)
		q.waits[association] = waits[n:]
		return waits[:n:n]
	}
	delete(q.waits, association)
	if q.under[association]--; q.under[association] == 0 {
		delete(q.under, association)
	}
	return nil
}

// appendTogether is appendOne where many benches send at once: what comes while others are
// under way waits, and then goes in one transaction.
func (s *Store) appendTogether(
	ctx context.Context, at ledgers.Where, epoch int, lines []ledgers.Line, now entry.Millis,
) (common int, straight bool, err error) {
	r := &request{ctx: ctx, at: at, epoch: epoch, line: lines[0], now: now, done: make(chan struct{})}
	if s.queue.enter(r) {
		defer func() {
			if list := s.queue.next(at.Association); len(list) > 0 {
				go s.goOn(at.Association, list)
			}
		}()
		return s.appendOne(ctx, at, epoch, lines, now)
	}
	select {
	case <-r.done:
	case <-ctx.Done(): // where it is under way already, it may be taken all the same
		s.queue.forget(r)
		return 0, false, ctx.Err()
	}
	var said *pgconn.PgError
	if errors.As(r.err, &said) { // of one of them, and nothing of any was kept
		return s.appendOne(ctx, at, epoch, lines, now)
	}
	return r.common, r.straight, r.err
}

// goOn lets those go who waited, until nobody waits.
func (s *Store) goOn(association string, list []*request) {
	for ; len(list) > 0; list = s.queue.next(association) {
		s.appendEach(association, list)
		for _, r := range list {
			close(r.done)
		}
		runtime.Gosched() // whoever is about to ask comes along
	}
}

// appendEach asks for all of them in one transaction. Who began may be gone meanwhile: it is
// for the others too.
func (s *Store) appendEach(association string, list []*request) {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(list[0].ctx), eachWithin)
	defer cancel()
	var games, ids, prevs, hashes []string
	var epochs, seqs, nows []int64
	var texts [][]byte
	for _, r := range list {
		games, ids, prevs, hashes = append(games, r.at.Game), append(ids, r.line.ID), append(prevs, r.line.Prev), append(hashes, r.line.Hash)
		epochs, seqs, nows = append(epochs, int64(r.epoch)), append(seqs, int64(r.line.Seq)), append(nows, int64(r.now))
		texts = append(texts, r.line.Bytes)
	}
	rows, err := s.pool.Query(ctx, "SELECT place, common FROM hub.append_each($1, $2, $3, $4, $5, $6, $7, $8, $9)",
		association, games, epochs, seqs, ids, prevs, hashes, texts, nows)
	if err == nil {
		var place, common int
		_, err = pgx.ForEachRow(rows, []any{&place, &common}, func() error {
			list[place-1].common, list[place-1].straight = common, true
			return nil
		})
	}
	for _, r := range list {
		r.err = err
	}
}
