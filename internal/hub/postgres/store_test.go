package postgres_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"whistlestop/internal/hub/hubtest"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people/peopletest"
	"whistlestop/internal/hub/postgres"
	"whistlestop/internal/hub/postgres/private"
)

// One cluster for the tests of this package, started by the first that needs it.
var cluster struct {
	sync.Once
	*private.Cluster
	err error
}

func TestMain(m *testing.M) {
	code := m.Run()
	if cluster.Cluster != nil {
		if err := cluster.Stop(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			code = 1
		}
	}
	os.Exit(code)
}

const (
	app      = "whistlestop_app"
	prepared = "prepared"
)

func running(t testing.TB) *private.Cluster {
	t.Helper()
	cluster.Do(func() {
		ctx := context.Background() // it outlives the test
		if cluster.Cluster, cluster.err = private.Start(ctx); cluster.err != nil {
			return
		}
		if cluster.err = cluster.Make(ctx, prepared, ""); cluster.err == nil {
			cluster.err = postgres.Prepare(ctx, cluster.Super(prepared))
		}
	})
	if errors.Is(cluster.err, private.ErrNoPrograms) {
		t.Skip(cluster.err)
	}
	if cluster.err != nil {
		t.Fatal(cluster.err)
	}
	return cluster.Cluster
}

var made atomic.Int64

// fresh is an empty hub's database.
func fresh(t testing.TB) (database string) {
	t.Helper()
	c := running(t)
	database = fmt.Sprintf("hub%d", made.Add(1))
	if err := c.Make(t.Context(), database, prepared); err != nil {
		t.Fatal(err)
	}
	return database
}

func open(t testing.TB, url string) *postgres.Store {
	t.Helper()
	s, err := postgres.Open(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// super is a superuser's connection to one of the databases.
func super(t testing.TB, database string) *pgx.Conn {
	t.Helper()
	return connect(t, running(t).Super(database))
}

func connect(t testing.TB, url string) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := conn.Close(context.Background()); err != nil {
			t.Error(err)
		}
	})
	return conn
}

func exec(t testing.TB, conn *pgx.Conn, text string) {
	t.Helper()
	if _, err := conn.Exec(t.Context(), text); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
}

func list[T any](t testing.TB, conn *pgx.Conn, text string, args ...any) []T {
	t.Helper()
	rows, err := conn.Query(t.Context(), text, args...)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	all, err := pgx.CollectRows(rows, pgx.RowTo[T])
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return all
}

// tablesOf is the tables with an association's rows.
func tablesOf(t testing.TB, conn *pgx.Conn) []string {
	t.Helper()
	return list[string](t, conn, "SELECT tablename::text FROM pg_tables WHERE schemaname = 'hub' AND tablename <> 'goose_db_version' ORDER BY 1")
}

// The suite has one database, emptied before each test: making one takes longer than
// most of the tests.
func TestSuite(t *testing.T) {
	database := fresh(t)
	owner := super(t, database)
	all := "hub." + strings.Join(tablesOf(t, owner), ", hub.")
	hubtest.Run(t, func(t *testing.T) hubtest.Store {
		exec(t, owner, "TRUNCATE "+all)
		return open(t, running(t).URL(app, database))
	})
}

// People and their sessions stand in the same database.
func TestPeople(t *testing.T) {
	database := fresh(t)
	owner := super(t, database)
	all := "hub." + strings.Join(tablesOf(t, owner), ", hub.")
	peopletest.Run(t, func(t *testing.T) peopletest.Store {
		exec(t, owner, "TRUNCATE "+all)
		return open(t, running(t).URL(app, database))
	})
}

// Eight benches begin one game in the same moment, each in its own way: one is the
// ledger, the others stand beside it.
func TestManyBeginOneGame(t *testing.T) {
	s := open(t, running(t).URL(app, fresh(t)))
	defer closed(t, s)
	found(t, s)
	const racers = 8
	var group sync.WaitGroup
	for i := range racers {
		group.Go(func() {
			_, err := s.Append(t.Context(), hubtest.At, 1, hubtest.Chain(fmt.Sprint("r", i), nil, 3), 7)
			var fork *ledgers.ForkError
			if err != nil && (!errors.As(err, &fork) || fork.Kept != 3) {
				t.Errorf("racer %d: %v", i, err)
			}
		})
	}
	group.Wait()
	beside, err := s.Branches(t.Context(), hubtest.At)
	head, failed := s.Head(t.Context(), hubtest.At)
	if err != nil || failed != nil || len(beside) != racers-1 || head.Seq != 3 || !head.Forked || head.Common != 0 {
		t.Errorf("%d branches, %+v, %v, %v", len(beside), head, err, failed)
	}
}

func found(t testing.TB, s *postgres.Store) {
	t.Helper()
	for _, id := range []string{hubtest.Ours, hubtest.Theirs} {
		if err := s.Found(t.Context(), office.Association{ID: id, Name: id, Made: 1}, ledgers.Note{At: 1, Who: "test", What: "founded"}); err != nil {
			t.Fatal(err)
		}
	}
}

func closed(t testing.TB, s *postgres.Store) {
	t.Helper()
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}

// The server is killed in the midst of benches that send, again and again, and started
// again. Every line that was acknowledged is there, and the store goes on by itself.
func TestKilledAndStartedAgain(t *testing.T) {
	c, database := running(t), fresh(t)
	s := open(t, c.URL(app, database))
	defer closed(t, s)
	found(t, s)
	const benches, rounds, linesEach = 4, 3, 15
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Minute) // for what hangs
	defer cancel()
	for round := range rounds {
		acknowledged := make(chan struct{}, benches*linesEach)
		var group sync.WaitGroup
		chains := make([][]ledgers.Line, benches)
		heads := make([]int, benches)
		for i := range benches {
			at := ledgers.Where{Association: hubtest.Ours, Game: fmt.Sprintf("G%d-%d", round, i)}
			chains[i] = hubtest.Chain(fmt.Sprint(round, i), nil, linesEach)
			group.Go(func() {
				for heads[i] < linesEach && ctx.Err() == nil {
					head, err := s.Append(ctx, at, 1, chains[i][heads[i]:heads[i]+1], 7)
					if err != nil {
						time.Sleep(10 * time.Millisecond) // a bench waits longer before it tries again
						continue
					}
					heads[i] = head.Seq
					acknowledged <- struct{}{}
				}
			})
		}
		for range benches * (2 + round) { // some lines are there, and others under way
			<-acknowledged
		}
		if err := c.Kill(); err != nil {
			t.Fatal(err)
		}
		if err := c.Begin(ctx); err != nil {
			t.Fatal(err)
		}
		group.Wait()
		reads := open(t, c.URL(app, database)) // none of its connections broke
		for i, chain := range chains {
			lines, err := reads.Lines(ctx, ledgers.Where{Association: hubtest.Ours, Game: fmt.Sprintf("G%d-%d", round, i)}, 0, 100)
			if err != nil || len(lines) != linesEach || lines[linesEach-1].Hash != chain[linesEach-1].Hash {
				t.Fatalf("%d lines of %d, %v", len(lines), linesEach, err)
			}
		}
		closed(t, reads)
	}
}
