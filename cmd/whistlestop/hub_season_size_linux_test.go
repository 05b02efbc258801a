package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"whistlestop/internal/hub/copied"
	"whistlestop/internal/proof/seeds"
)

// A season of a country's hub is copied and put into another database, by the commands:
// every ledger ends as it did, and every chain is followed. How long that took, on which
// processor time and memory, is logged. WHISTLESTOP_RESTORE_GAMES asks for more games of
// 150 entries (130,000 are a country's season).
func TestASeasonIsPutBack(t *testing.T) {
	t.Parallel() // it waits most of its time
	games := int(seeds.Number(t, "WHISTLESTOP_RESTORE_GAMES", 20))
	c := ownPostgres(t)
	must(t, "hub", "prepare", "--postgres", c.Super("hub"))
	running(t, "hub", "--postgres", c.URL(hubApp, "hub"), "--listen", "127.0.0.1:0", "--name", "Harbour League")
	conn, err := pgx.Connect(t.Context(), c.Super("hub"))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	var association string
	if err := conn.QueryRow(t.Context(), "SELECT id FROM hub.association").Scan(&association); err != nil {
		t.Fatal(err)
	}
	s := &seasonSize{t: t, games: games}
	began := time.Now()
	s.fill(conn, association)
	var size int64
	if err := conn.QueryRow(t.Context(), "SELECT pg_total_relation_size('hub.entry')").Scan(&size); err != nil {
		t.Fatal(err)
	}
	t.Logf("%d games with %d entries in %v: %s in the database", games, games*seasonEntries, time.Since(began).Round(time.Second), s.each(size))
	folder := filepath.Join(t.TempDir(), "copy")
	if said := s.run("backup", "hub", "backup", folder, "--postgres", c.URL(hubApp, "hub")); !strings.Contains(said, fmt.Sprint(games, " games")) {
		t.Error(said)
	}
	t.Logf("the copy: %s", s.each(sizeOf(t, folder)))
	if err := c.Make(t.Context(), "again", ""); err != nil {
		t.Fatal(err)
	}
	said := s.run("restore", "hub", "restore", folder, "--postgres", c.Super("again"))
	m, err := copied.Read(filepath.Join(folder, copied.Games))
	if err != nil || m.Heads.Games != games || m.Heads.Entries != games*seasonEntries || !strings.Contains(said, m.Heads.Hash) {
		t.Errorf("%+v %v: %s", m.Heads, err, said)
	}
}

// seasonEntries is how many entries a game has.
const seasonEntries = 150

// seasonSize is a season by its size only.
type seasonSize struct {
	t     *testing.T
	games int
}

// fill writes the games where a hub would have kept them: one real game, with a chain of its
// own under each id.
func (s *seasonSize) fill(conn *pgx.Conn, association string) {
	whole := invented(s.t)
	const atOnce = 500
	for first := 0; first < s.games; first += atOnce {
		var heads, lines [][]any
		for i := first; i < min(s.games, first+atOnce); i++ {
			id := fmt.Sprintf("01JD0000000000000000%06d", i)
			var hash string
			for _, one := range renamed(s.t, whole, id, seasonEntries) {
				raw, err := one.MarshalJSON()
				if err == nil {
					hash, err = one.Hash()
				}
				if err != nil {
					s.t.Fatal(err)
				}
				lines = append(lines, []any{association, id, one.Seq, 1, one.ID, one.Prev, hash, raw})
			}
			heads = append(heads, []any{association, id, 1, seasonEntries, hash, wallNow()})
		}
		for _, table := range []struct {
			name    string
			columns []string
			rows    [][]any
		}{
			{"ledger_head", []string{"association", "game", "epoch", "seq", "hash", "heard"}, heads},
			{"entry", []string{"association", "game", "seq", "epoch", "id", "prev", "hash", "line"}, lines},
		} {
			if _, err := conn.CopyFrom(s.t.Context(), pgx.Identifier{"hub", table.name}, table.columns, pgx.CopyFromRows(table.rows)); err != nil {
				s.t.Fatal(err)
			}
		}
	}
}

// each says how much something is, and of a million entries.
func (s *seasonSize) each(size int64) string {
	return fmt.Sprintf("%.0f MB, %.0f MB of a million entries", float64(size)/1e6, float64(size)/float64(s.games*seasonEntries))
}

// run runs a command in a process of its own and says what that took.
func (s *seasonSize) run(what string, arguments ...string) string {
	s.t.Helper()
	cmd := exec.Command(os.Args[0], arguments...)
	cmd.Env = append(os.Environ(), runAsProgram+"=1")
	said := &bytes.Buffer{}
	cmd.Stdout, cmd.Stderr = said, said
	began := time.Now()
	if err := cmd.Start(); err != nil {
		s.t.Fatal(err)
	}
	most := make(chan int, 1) // what the system counts has what the test held in it
	ended := make(chan struct{})
	go func() { most <- mostHeld(cmd.Process.Pid, ended) }()
	err := cmd.Wait()
	close(ended)
	if err != nil {
		s.t.Fatalf("%s: %v %s", what, err, said)
	}
	took, used := time.Since(began), cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime()
	millions := float64(s.games*seasonEntries) / 1e6
	s.t.Logf("%s: %v, %.1f s of a million entries; the command took %v of the processor and held %d MB (load %s)", what, took.Round(time.Millisecond),
		took.Seconds()/millions, used.Round(time.Millisecond), <-most/1024, load())
	return said.String()
}

// mostHeld is the most memory that a process held, in kB, as far as it was seen.
func mostHeld(process int, ended <-chan struct{}) (most int) {
	for {
		select {
		case <-ended:
			return most
		case <-time.After(20 * time.Millisecond):
		}
		raw, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", process))
		if err != nil {
			continue // it just ended
		}
		_, after, _ := strings.Cut(string(raw), "VmHWM:")
		line, _, _ := strings.Cut(after, " kB")
		if held, err := strconv.Atoi(strings.TrimSpace(line)); err == nil {
			most = max(most, held)
		}
	}
}

// sizeOf is how many bytes the files of a folder have.
func sizeOf(t *testing.T, folder string) (sum int64) {
	t.Helper()
	err := filepath.WalkDir(folder, func(_ string, one fs.DirEntry, err error) error {
		if err != nil || one.IsDir() {
			return err
		}
		info, err := one.Info()
		if err == nil {
			sum += info.Size()
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return sum
}
