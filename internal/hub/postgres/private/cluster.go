package private

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
)

// ErrNoPrograms says that PostgreSQL's programs are not installed here.
var ErrNoPrograms = errors.New("PostgreSQL is not installed here: install Debian's package postgresql")

// super is the superuser of a cluster.
const super = "postgres"

// Cluster is a PostgreSQL that runs.
type Cluster struct {
	folder, programs string
	settings         []string
	process          *exec.Cmd
	ready            chan bool  // true when it answers; closed when it never did
	ended            chan error // when all its processes are gone
}

// programs returns the folder with PostgreSQL's programs, the newest.
func programs() (string, error) {
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if err != nil || len(found) == 0 {
		return "", errors.Join(ErrNoPrograms, err)
	}
	sort.Slice(found, func(i, j int) bool {
		return len(found[i]) < len(found[j]) || len(found[i]) == len(found[j]) && found[i] < found[j]
	})
	return filepath.Dir(found[len(found)-1]), nil
}

// There returns ErrNoPrograms where PostgreSQL is not installed.
func There() error {
	_, err := programs()
	return err
}

// Start makes a cluster and starts it, with settings such as "fsync=off" beside the usual.
func Start(ctx context.Context, settings ...string) (_ *Cluster, err error) {
	bin, err := programs()
	if err != nil {
		return nil, err
	}
	folder, err := os.MkdirTemp("", "whistlestop-postgresql-")
	if err != nil {
		return nil, err
	}
	c := &Cluster{folder: folder, programs: bin, settings: settings}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.RemoveAll(folder))
		}
	}()
	if err := give(folder); err != nil {
		return nil, err
	}
	made := exec.CommandContext(ctx, filepath.Join(bin, "initdb"), "-D", c.data(), "-U", super, "-A", "trust",
		"-E", "UTF8", "--locale=C", "--no-sync", "--no-instructions")
	if err := apart(made); err != nil {
		return nil, err
	}
	made.Dir = folder
	if out, err := made.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("initdb: %w\n%s", err, out)
	}
	return c, c.Begin(ctx)
}

// Place makes an empty folder into which clusters and their programs may write. Whoever asks
// removes it.
func Place() (string, error) {
	folder, err := os.MkdirTemp("", "whistlestop-postgresql-")
	if err == nil {
		err = give(folder)
	}
	return folder, err
}

// Over starts a cluster whose files lie in the folder "data" of another one, as put back
// from a copy.
func Over(ctx context.Context, folder string, settings ...string) (*Cluster, error) {
	bin, err := programs()
	if err != nil {
		return nil, err
	}
	c := &Cluster{folder: folder, programs: bin, settings: settings}
	return c, c.Begin(ctx)
}

// Run runs a program as whoever runs PostgreSQL and returns what it says.
func Run(ctx context.Context, name string, arguments ...string) (string, error) {
	c := exec.CommandContext(ctx, name, arguments...)
	if err := apart(c); err != nil {
		return "", err
	}
	c.Dir = string(filepath.Separator)
	said, err := c.CombinedOutput()
	if err != nil {
		err = fmt.Errorf("%s: %w\n%s", name, err, said)
	}
	return string(said), err
}

func (c *Cluster) data() string { return filepath.Join(c.folder, "data") }

// Begin starts the cluster again after Kill, and returns when it answers.
func (c *Cluster) Begin(ctx context.Context) error {
	arguments := []string{"-D", c.data(), "-k", c.folder}
	for _, setting := range append([]string{
		"listen_addresses=", "shared_buffers=32MB", "max_connections=60", "max_wal_size=256MB", "logging_collector=off",
		"log_destination=stderr", "lc_messages=C",
		"dynamic_shared_memory_type=mmap", // in the folder: a server that is killed leaves it lying
	}, c.settings...) {
		arguments = append(arguments, "-c", setting)
	}
	process := exec.Command(filepath.Join(c.programs, "postgres"), arguments...) //nolint:noctx // it outlives the call
	if err := apart(process); err != nil {
		return err
	}
	process.Dir = c.folder
	read, write, err := os.Pipe()
	if err != nil {
		return err
	}
	process.Stderr = write
	if err := process.Start(); err != nil {
		return errors.Join(err, read.Close(), write.Close())
	}
	if err := write.Close(); err != nil {
		return err
	}
	c.process, c.ready, c.ended = process, make(chan bool, 1), make(chan error, 1)
	go c.listen(read)
	select {
	case ready := <-c.ready:
		if !ready {
			return fmt.Errorf("PostgreSQL did not start: %w", <-c.ended)
		}
		return nil
	case <-ctx.Done():
		return errors.Join(ctx.Err(), c.Kill())
	}
}

// listen reads what the cluster says until its last process is gone: each of them holds
// the other end.
func (c *Cluster) listen(read *os.File) {
	lines, ready := bufio.NewScanner(read), false
	var last []string
	for lines.Scan() {
		if !ready && strings.Contains(lines.Text(), "database system is ready to accept connections") {
			ready = true
			c.ready <- true
		}
		if last = append(last, lines.Text()); len(last) > 20 {
			last = last[1:]
		}
	}
	_, _ = io.Copy(io.Discard, read) // a line that was too long
	err := errors.Join(lines.Err(), read.Close(), c.process.Wait())
	c.ended <- fmt.Errorf("%w\n%s", err, strings.Join(last, "\n"))
	if !ready {
		close(c.ready)
	}
}

// Kill ends the cluster as a crash does, and returns when all its processes are gone.
func (c *Cluster) Kill() error {
	if err := c.process.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
		return err
	}
	<-c.ended
	return nil
}

// Stop ends the cluster and removes its folder. Nothing of it is kept, so it is not
// asked to put anything in order.
func (c *Cluster) Stop() error { return errors.Join(c.Kill(), os.RemoveAll(c.folder)) }

// URL is how to sign in as somebody to one of the databases. Whoever may look into the
// folder may.
func (c *Cluster) URL(role, database string) string {
	return (&url.URL{Scheme: "postgres", User: url.User(role), Path: "/" + database, RawQuery: "host=" + url.QueryEscape(c.folder)}).String()
}

// Super is URL for the superuser.
func (c *Cluster) Super(database string) string { return c.URL(super, database) }

// Make makes an empty database, or one like another.
func (c *Cluster) Make(ctx context.Context, database, like string) (err error) {
	conn, err := pgx.Connect(ctx, c.Super(super))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, conn.Close(ctx)) }()
	text := "CREATE DATABASE " + pgx.Identifier{database}.Sanitize()
	if like != "" {
		text += " TEMPLATE " + pgx.Identifier{like}.Sanitize()
	}
	_, err = conn.Exec(ctx, text)
	return err
}

// goneWithin is how long connections may take to end.
const goneWithin = 30 * time.Second

// Terminate lets the server end every connection to a database but those that call
// themselves by a name, and returns when they are gone.
func (c *Cluster) Terminate(ctx context.Context, database, but string) (err error) {
	ctx, cancel := context.WithTimeout(ctx, goneWithin)
	defer cancel()
	conn, err := pgx.Connect(ctx, c.Super(super))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, conn.Close(ctx)) }()
	// Whether they are gone is asked here: the server's own waiting looks ten times a second.
	const ask = `SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity WHERE datname = $1 AND application_name <> $2`
	for left := 1; left > 0 && err == nil; {
		err = conn.QueryRow(ctx, ask, database, but).Scan(&left)
	}
	return err
}
