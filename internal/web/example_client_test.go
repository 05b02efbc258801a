package web_test

import (
	"bufio"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// The ten lines of docs/stream.md do what the page says.
func TestTheExampleClientFollowsAGame(t *testing.T) {
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("node is not installed")
	}
	page, err := os.ReadFile("../../docs/stream.md")
	if err != nil {
		t.Fatal(err)
	}
	_, after, found := strings.Cut(string(page), "```js\n")
	script, _, closed := strings.Cut(after, "```")
	if !found || !closed || strings.Count(script, "\n") != 10 {
		t.Fatalf("the page has %d lines of example", strings.Count(script, "\n"))
	}
	path := filepath.Join(t.TempDir(), "follow.mjs")
	if err := os.WriteFile(path, []byte(script), 0o600); err != nil {
		t.Fatal(err)
	}
	s := newServer(t, built)
	client := exec.Command(node, path, listen(t, s), game)
	client.Stderr = os.Stderr
	out, err := client.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := client.Start(); err != nil {
		t.Fatal(err)
	}
	stuck := time.AfterFunc(30*time.Second, func() { _ = client.Process.Kill() }) // then the reading below ends
	defer func() {
		stuck.Stop()
		_ = client.Process.Kill() // it would follow for ever
		_ = client.Wait()         // ended by the kill
	}()
	lines := bufio.NewScanner(out)
	expect := func(want string) {
		t.Helper()
		for lines.Scan() {
			if lines.Text() == want {
				return
			}
		}
		t.Fatalf("the client never said %q", want)
	}
	expect("Kelp Bay 0, Lanternside 0")
	begun := entryJSON(nextID(), "stage_begun", `{"stage":{"kind":"period","number":1},"length_ms":900000}`)
	do(s, post(entryURL, entries(begun, entryJSON(nextID(), "goal", bodies["goal"]))))
	expect("Kelp Bay 1, Lanternside 0")
}
