package nodekeys_test

import (
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"testing"
	"time"

	"whistlestop/internal/hub/nodekeys"
)

func load(t *testing.T, folder string) *nodekeys.Keys {
	t.Helper()
	keys, err := nodekeys.Load(folder)
	if err != nil {
		t.Fatal(err)
	}
	return keys
}

// talk lets a client say something to a server, and returns what went wrong for either.
func talk(t *testing.T, server, client *tls.Config) error {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = l.Close() }()
	done := make(chan error, 1)
	go func() {
		conn, err := l.Accept()
		if err == nil {
			secure := tls.Server(conn, server)
			if err = secure.Handshake(); err == nil {
				_, err = secure.Write([]byte("yes"))
			}
			err = errors.Join(err, conn.Close())
		}
		done <- err
	}()
	conn, err := tls.Dial("tcp", l.Addr().String(), client)
	if err == nil {
		_, err = conn.Read(make([]byte, 3))
		_ = conn.Close()
	}
	return errors.Join(err, <-done)
}

func TestKeys(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "keys")
	nodes := map[string][]string{"a": {"127.0.0.1", "node-a"}, "b": {"10.0.0.2"}}
	if err := nodekeys.Make(folder, nodes, time.Now()); err != nil {
		t.Fatal(err)
	}
	if err := nodekeys.Make(folder, nodes, time.Now()); !errors.Is(err, nodekeys.ErrThere) {
		t.Error(err)
	}
	for _, bad := range []string{"hub", "authority", "../x", ""} {
		if err := nodekeys.Make(folder+"2", map[string][]string{bad: nil}, time.Now()); !errors.Is(err, nodekeys.ErrName) {
			t.Errorf("%q: %v", bad, err)
		}
	}
	a, b, hub := load(t, filepath.Join(folder, "a")), load(t, filepath.Join(folder, "b")), load(t, filepath.Join(folder, nodekeys.Hub))
	if left := time.Until(a.Ends()); left < 4*365*24*time.Hour {
		t.Error(left)
	}
	if err := talk(t, a.Server(), hub.Client()); err != nil {
		t.Error(err)
	}
	if err := talk(t, a.Server(), b.Client()); err != nil {
		t.Error("a node is a client of the others: ", err)
	}
	strangers := filepath.Join(t.TempDir(), "strangers")
	if err := nodekeys.Make(strangers, nodes, time.Now()); err != nil {
		t.Fatal(err)
	}
	stranger := load(t, filepath.Join(strangers, nodekeys.Hub))
	for what, pair := range map[string][2]*tls.Config{
		"a node at another's address":         {b.Server(), hub.Client()},
		"a stranger asks":                     {a.Server(), stranger.Client()},
		"a stranger listens":                  {load(t, filepath.Join(strangers, "a")).Server(), hub.Client()},
		"somebody who believes anybody":       {a.Server(), {InsecureSkipVerify: true}}, //nolint:gosec // that is what is tried
		"somebody who only has the authority": {a.Server(), {RootCAs: hub.Client().RootCAs}},
	} {
		if err := talk(t, pair[0], pair[1]); err == nil {
			t.Errorf("%s: nobody said no", what)
		}
	}
	old := filepath.Join(t.TempDir(), "old")
	if err := nodekeys.Make(old, nodes, time.Now().Add(-6*365*24*time.Hour)); err != nil {
		t.Fatal(err)
	}
	if err := talk(t, load(t, filepath.Join(old, "a")).Server(), load(t, filepath.Join(old, "hub")).Client()); err == nil {
		t.Error("keys of six years ago are good")
	}
	for _, file := range []string{"key.pem", "authority.pem"} {
		if info, err := os.Stat(filepath.Join(folder, "a", file)); err != nil || info.Mode().Perm() != 0o600 {
			t.Error(info, err)
		}
		if err := os.WriteFile(filepath.Join(folder, "a", file), []byte("nothing"), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := nodekeys.Load(filepath.Join(folder, "a")); !errors.Is(err, nodekeys.ErrNoKeys) {
			t.Error(err)
		}
	}
}

func ExampleHere() {
	fmt.Println(nodekeys.Here("127.0.0.1"), nodekeys.Here("10.0.0.1"), nodekeys.Here("node-a"))
	// Output: true false false
}
