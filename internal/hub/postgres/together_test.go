package postgres_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"whistlestop/internal/hub/hubtest"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/postgres"
)

// crowd is games with a first line each, and benches that send the second ones.
type crowd struct {
	*testing.T
	store *postgres.Store
	holds [2]*pgx.Conn // superusers who hold rows
	owner *pgx.Conn    // another one, who looks on
	lines [][]ledgers.Line
}

func crowded(t *testing.T, games int, adjust ...func(*pgx.ConnConfig)) *crowd {
	t.Helper()
	database := fresh(t)
	s, err := postgres.Open(t.Context(), running(t).URL(app, database)+"&pool_max_conns=12", adjust...)
	if err != nil {
		t.Fatal(err)
	}
	found(t, s)
	c := &crowd{T: t, store: s, owner: super(t, database), holds: [2]*pgx.Conn{super(t, database), super(t, database)}}
	for g := range games {
		c.lines = append(c.lines, hubtest.Chain(fmt.Sprint("g", g), nil, 4))
		if _, err := s.Append(t.Context(), c.at(g), 1, c.lines[g][:1], 7); err != nil {
			t.Fatal(err)
		}
	}
	return c
}

func (c *crowd) at(game int) ledgers.Where {
	return ledgers.Where{Association: hubtest.Ours, Game: fmt.Sprint("G", game)}
}

// send sends a line in the background; what it came to is in the channel.
func (c *crowd) send(ctx context.Context, game, epoch int, line ledgers.Line) <-chan error {
	came := make(chan error, 1)
	go func() {
		_, err := c.store.Append(ctx, c.at(game), epoch, []ledgers.Line{line}, 7)
		came <- err
	}()
	return came
}

// until waits for something that is to come.
func (c *crowd) until(what string, is func() bool) {
	c.Helper()
	for begun := time.Now(); !is(); time.Sleep(time.Millisecond) {
		if time.Since(begun) > time.Minute {
			c.Fatal("still not: " + what)
		}
	}
}

// letGo lets go of the row that together holds.
func (c *crowd) letGo() {
	c.Helper()
	exec(c.T, c.holds[0], "ROLLBACK")
}

// stuck is how many of the hub's questions of a kind wait for somebody's row.
func (c *crowd) stuck(function string) int {
	c.Helper()
	return list[int](c.T, c.owner, `SELECT count(*)::int FROM pg_stat_activity WHERE datname = current_database() AND wait_event_type = 'Lock'
		AND query LIKE '%hub.' || $1 || '(%'`, function)[0]
}

// together has the games from the third on wait behind the first two, whose rows are held,
// and be in one transaction that cannot go on before letGo: game 2 is held as well.
func (c *crowd) together(send func(game int) <-chan error) (came []<-chan error) {
	c.Helper()
	exec(c.T, c.holds[0], "BEGIN; SELECT FROM hub.ledger_head WHERE game = 'G2' FOR UPDATE")
	exec(c.T, c.holds[1], "BEGIN; SELECT FROM hub.ledger_head WHERE game IN ('G0', 'G1') FOR UPDATE")
	for game := range c.lines {
		came = append(came, send(game))
		switch {
		case game == 1:
			c.until("two are under way", func() bool { return c.stuck("append_line") == 2 })
		case game > 1: // in their order
			c.until("it waits", func() bool { return postgres.WhoWaits(c.store, hubtest.Ours) == game-1 })
		}
	}
	exec(c.T, c.holds[1], "ROLLBACK")
	c.until("they go together", func() bool { return c.stuck("append_each") == 1 })
	return came
}

// has says how many lines a game has.
func (c *crowd) has(game, want int) {
	c.Helper()
	lines, err := c.store.Lines(c.Context(), c.at(game), 0, 10)
	if err != nil || len(lines) != want {
		c.Errorf("game %d has %d lines, want %d, %v", game, len(lines), want, err)
	}
	for i, line := range lines {
		if line.Hash != c.lines[game][i].Hash {
			c.Errorf("game %d has another line at %d", game, i+1)
		}
	}
}

// Twenty-four benches of two associations send at once, over few connections: each line is
// there once, in its place, and is told once.
func TestManyBenchesAtOnce(t *testing.T) {
	s := open(t, running(t).URL(app, fresh(t))+"&pool_max_conns=4")
	defer closed(t, s)
	found(t, s)
	const benches, each = 24, 20
	where := func(i int) ledgers.Where {
		return ledgers.Where{Association: []string{hubtest.Ours, hubtest.Theirs}[i%2], Game: fmt.Sprint("G", i)}
	}
	var group sync.WaitGroup
	chains := make([][]ledgers.Line, benches)
	for i := range benches {
		chains[i] = hubtest.Chain(fmt.Sprint(i), nil, each)
		group.Go(func() {
			for n := range each {
				head, err := s.Append(t.Context(), where(i), 1, chains[i][n:n+1], 7)
				if want := (ledgers.Head{Epoch: 1, Seq: n + 1, Hash: chains[i][n].Hash}); err != nil || head != want {
					t.Errorf("%+v, %v, want %+v", head, err, want)
				}
			}
		})
	}
	group.Wait()
	told := map[string]bool{}
	for _, m := range take(t, s) {
		one := m.Association + " " + m.ID()
		if told[one] {
			t.Errorf("%s is told twice", one)
		}
		told[one] = true
	}
	if len(told) != benches*each {
		t.Errorf("%d lines are told of %d", len(told), benches*each)
	}
	for i, chain := range chains {
		lines, err := s.Lines(t.Context(), where(i), 0, 100)
		if err != nil || len(lines) != each || lines[each-1].Hash != chain[each-1].Hash {
			t.Errorf("game %d: %d lines, %v", i, len(lines), err)
		}
	}
}

// A game that somebody changes holds up no other: its own line waits until that is done.
func TestHeldGameHoldsUpNoOther(t *testing.T) {
	c := crowded(t, 6)
	defer closed(t, c.store)
	other := super(t, list[string](t, c.owner, "SELECT current_database()::text")[0])
	exec(t, other, "BEGIN; SELECT pg_advisory_xact_lock(hashtextextended('g/harbour/G4', 0))")
	came := c.together(func(game int) <-chan error { return c.send(t.Context(), game, 1, c.lines[game][1]) })
	c.letGo()
	for game, one := range came {
		if game == 4 {
			continue
		}
		if err := <-one; err != nil {
			t.Errorf("game %d: %v", game, err)
		}
	}
	// Both of those that go at once may be held: others go all the same.
	again := c.send(t.Context(), 4, 1, c.lines[4][1])
	for n := 2; n < 4; n++ {
		if err := <-c.send(t.Context(), 0, 1, c.lines[0][n]); err != nil {
			t.Error(err)
		}
	}
	select {
	case err := <-came[4]:
		t.Errorf("who waits for a game was answered: %v", err)
	default:
	}
	exec(t, other, "COMMIT")
	for _, one := range []<-chan error{came[4], again} {
		if err := <-one; err != nil {
			t.Error(err)
		}
	}
	c.has(0, 4)
	c.has(4, 2)
}

// Whoever gives up waiting gets an answer at once; the others' lines go on, and a line that
// was under way may be there, and is no mistake when it comes again.
func TestWhoGivesUpTakesNobodyAlong(t *testing.T) {
	c := crowded(t, 6)
	defer closed(t, c.store)
	ctx, cancel := context.WithCancel(t.Context())
	came := c.together(func(game int) <-chan error {
		if game == 2 || game == 3 { // 2 is the first of its transaction
			return c.send(ctx, game, 1, c.lines[game][1])
		}
		return c.send(t.Context(), game, 1, c.lines[game][1])
	})
	waiting := c.send(ctx, 5, 1, c.lines[5][2]) // of the second that may be under way
	cancel()
	for _, one := range []<-chan error{came[2], came[3], waiting} {
		if err := <-one; !errors.Is(err, context.Canceled) {
			t.Error(err)
		}
	}
	c.letGo()
	for _, game := range []int{0, 1, 4, 5} {
		if err := <-came[game]; err != nil {
			t.Errorf("game %d: %v", game, err)
		}
	}
	for _, game := range []int{2, 3} {
		if err := <-c.send(t.Context(), game, 1, c.lines[game][1]); err != nil {
			t.Error(err)
		}
	}
	for game := range 5 {
		c.has(game, 2)
	}
}

// What cannot be taken is refused as if it had come alone, and takes nothing of the others
// along: a gap, a fork, a bench that was fenced off, an id that stands elsewhere (over which
// the server takes back all of them) and an epoch that cannot be.
func TestRefusedAmongGoodOnes(t *testing.T) {
	for _, all := range []bool{false, true} {
		c := crowded(t, 9)
		if _, err := c.store.Raise(t.Context(), c.at(4), ledgers.Note{At: 1, Who: "test", What: "raised"}); err != nil {
			t.Fatal(err)
		}
		came := c.together(func(game int) <-chan error {
			line, epoch := c.lines[game][1], 1
			switch {
			case game == 3:
				line = c.lines[game][2]
			case game == 5:
				line = hubtest.Chain("x", nil, 2)[1]
			case game == 6 && all:
				line.ID = c.lines[game][0].ID
			case game == 7 && all:
				epoch = -1
			}
			return c.send(t.Context(), game, epoch, line)
		})
		c.letGo()
		var gap *ledgers.GapError
		var fork *ledgers.ForkError
		var fenced *ledgers.FencedError
		var twice *ledgers.TwiceError
		for game, one := range came {
			err, right, has := <-one, false, 1
			switch {
			case game == 3:
				right = errors.As(err, &gap) && gap.Want == 2
			case game == 4:
				right = errors.As(err, &fenced) && fenced.Epoch == 2
			case game == 5:
				right = errors.As(err, &fork) && fork.Seq == 1 && fork.Kept == 0
			case game == 6 && all:
				right = errors.As(err, &twice)
			case game == 7 && all:
				right = errors.As(err, &fenced)
			default:
				right, has = err == nil, 2
			}
			if !right {
				t.Errorf("game %d: %v", game, err)
			}
			c.has(game, has)
		}
		closed(t, c.store)
	}
}

// The wall stands around lines that go together: of another association's game nothing is
// seen and nothing written.
func TestTogetherBehindTheWall(t *testing.T) {
	c := crowded(t, 1)
	defer closed(t, c.store)
	hub := connect(t, running(t).URL(app, list[string](t, c.owner, "SELECT current_database()::text")[0]))
	const ask = "SELECT place FROM hub.append_each($1, '{G0}', '{1}', '{2}', '{id}', ARRAY[$2], '{hash}', '{x}', '{7}')"
	if got := list[int](t, hub, ask, hubtest.Theirs, c.lines[0][0].Hash); len(got) != 0 {
		t.Errorf("taken: %v", got)
	}
	c.has(0, 1)
	if got := list[int](t, hub, ask, hubtest.Ours, c.lines[0][0].Hash); len(got) != 1 {
		t.Errorf("taken: %v", got)
	}
}

// The server ends the connection on which lines go together: nothing of them was kept, and
// each is asked for alone.
func TestServerEndsThoseThatGoTogether(t *testing.T) {
	c := crowded(t, 6)
	defer closed(t, c.store)
	came := c.together(func(game int) <-chan error { return c.send(t.Context(), game, 1, c.lines[game][1]) })
	ended := list[bool](t, c.owner, `SELECT pg_terminate_backend(pid, 60000) FROM pg_stat_activity
		WHERE datname = current_database() AND wait_event_type = 'Lock' AND query LIKE '%hub.append_each(%'`)
	if len(ended) != 1 || !ended[0] {
		t.Fatal(ended)
	}
	for _, game := range []int{3, 4, 5} { // game 2 is still held
		if err := <-came[game]; err != nil {
			t.Errorf("game %d: %v", game, err)
		}
	}
	c.letGo()
	if err := <-came[2]; err != nil {
		t.Error(err)
	}
	for game := range 6 {
		c.has(game, 2)
	}
}

// deaf is a connection that hears nothing any more once it is told so.
type deaf struct {
	net.Conn
	now *atomic.Bool
}

func (d deaf) Read(into []byte) (int, error) {
	n, err := d.Conn.Read(into)
	if d.now.Load() {
		return 0, errors.Join(io.ErrUnexpectedEOF, d.Close())
	}
	return n, err
}

// The answer for lines that went together is lost: nobody is told that a line was taken,
// although all were, and all of them may come again.
func TestAnswerForAllIsLost(t *testing.T) {
	var lost atomic.Bool
	c := crowded(t, 6, func(config *pgx.ConnConfig) {
		config.DialFunc = func(ctx context.Context, network, address string) (net.Conn, error) {
			conn, err := (&net.Dialer{}).DialContext(ctx, network, address)
			return deaf{conn, &lost}, err
		}
	})
	defer closed(t, c.store)
	came := c.together(func(game int) <-chan error { return c.send(t.Context(), game, 1, c.lines[game][1]) })
	lost.Store(true)
	c.letGo()
	for _, game := range []int{2, 3, 4, 5} {
		if err := <-came[game]; err == nil {
			t.Errorf("game %d was told that its line is there", game)
		}
	}
	lost.Store(false)
	for game := range 6 {
		c.until("a connection is made anew", func() bool { return <-c.send(t.Context(), game, 1, c.lines[game][1]) == nil })
		c.has(game, 2)
	}
}

// A hub that closes answers everybody, and what it said was taken is there.
func TestClosingAnswersEverybody(t *testing.T) {
	c := crowded(t, 6)
	came := c.together(func(game int) <-chan error { return c.send(t.Context(), game, 1, c.lines[game][1]) })
	var more []<-chan error
	for game := 2; game < 6; game++ {
		more = append(more, c.send(t.Context(), game, 1, c.lines[game][2]))
	}
	done := make(chan error)
	go func() { done <- c.store.Close() }()
	c.letGo()
	if err := <-done; err != nil {
		t.Error(err)
	}
	want := map[int]int{}
	for game, one := range came {
		if err := <-one; err == nil {
			want[game] = 2
		}
	}
	for i, one := range more {
		if err := <-one; err == nil {
			want[i+2] = 3
		}
	}
	if want[2] < 2 {
		t.Errorf("who was under way was not answered: %v", want)
	}
	for game, least := range want {
		if n := list[int](t, c.owner, "SELECT count(*)::int FROM hub.entry WHERE game = $1", c.at(game).Game)[0]; n < least {
			t.Errorf("game %d has %d lines, and was told of %d", game, n, least)
		}
	}
}
