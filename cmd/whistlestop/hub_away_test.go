package main

import (
	"bufio"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// nodeProcesses are nodes between hubs, each a program of its own.
type nodeProcesses struct {
	t               *testing.T
	folder          string
	listen, between []string
	running         []*exec.Cmd
}

func newNodeProcesses(t *testing.T) *nodeProcesses {
	t.Helper()
	n := &nodeProcesses{t: t, folder: t.TempDir()}
	for range 3 {
		n.listen, n.between = append(n.listen, nodeAddress(t)), append(n.between, nodeAddress(t))
	}
	t.Cleanup(n.kill)
	return n
}

func (n *nodeProcesses) urls() string { return "nats://" + strings.Join(n.listen, ",nats://") }

// start starts all of them, and returns when each says that it can be reached.
func (n *nodeProcesses) start() {
	n.t.Helper()
	var said []io.Reader
	for i := range n.listen {
		others := strings.Join(slices.Delete(slices.Clone(n.between), i, i+1), ",")
		cmd := exec.Command(os.Args[0], "hub", "node", "--name", fmt.Sprint("n", i), "--data", filepath.Join(n.folder, fmt.Sprint(i)),
			"--listen", n.listen[i], "--cluster", n.between[i], "--others", others)
		cmd.Env = append(os.Environ(), runAsProgram+"=1", "GOMAXPROCS=2")
		out, err := cmd.StdoutPipe()
		if err == nil {
			err = cmd.Start()
		}
		if err != nil {
			n.t.Fatal(err)
		}
		n.running, said = append(n.running, cmd), append(said, out)
	}
	for _, out := range said {
		if line, err := bufio.NewReader(out).ReadString('\n'); err != nil || !strings.HasPrefix(line, "node ") {
			n.t.Fatal(line, err)
		}
	}
}

// kill ends all of them as a crash does.
func (n *nodeProcesses) kill() {
	for _, cmd := range n.running {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	}
	n.running = nil
}

// Two hubs are started while no node runs. Benches are answered, families at the other hub
// see what came in, and the page says that the nodes are away. Then the nodes are started,
// and killed, and started again: no hub is started anew, and nobody misses anything.
func TestHubsWithoutTheirNodes(t *testing.T) {
	t.Parallel() // it waits most of its time
	c, nodes := ownPostgres(t), newNodeProcesses(t)
	must(t, "hub", "prepare", "--postgres", c.Super("hub"))
	arguments := []string{"hub", "--postgres", c.URL(hubApp, "hub"), "--nats", nodes.urls(), "--listen", "127.0.0.1:0", "--name", "Harbour League"}
	here, out := running(t, arguments...)
	there, _ := running(t, arguments...)
	ask := admin(t, out)
	pair := linkOf(t, ask("/admin/bench", "label", "Saltworks Arena"))
	follow := strings.Replace(linkOf(t, ask("/admin/team", "label", "Kelp Bay")), here.hub.address, there.hub.address, 1)
	bench, _ := running(t, "demo", "--moment", "power-play", "--data", t.TempDir(), "--listen", "127.0.0.1:0", "--hub", pair)
	games, err := bench.store.Ends(t.Context())
	if err != nil || len(games) != 1 {
		t.Fatal(games, err)
	}
	// says waits until both hubs say of the nodes that they are away, or do not.
	says := func(away bool) {
		t.Helper()
		for _, p := range []*Program{here, there} {
			listed(t, follow, func(string) bool {
				answer, err := http.Get(p.hub.address + "/status")
				if err != nil {
					t.Fatal(err)
				}
				raw, err := io.ReadAll(answer.Body)
				if closing := answer.Body.Close(); err != nil || closing != nil {
					t.Fatal(err, closing)
				}
				return strings.Contains(string(raw), "nodes between the hubs are away") == away
			})
		}
	}
	for game, entries := range games {
		hubHas(t, there, game, entries)
		request, err := http.NewRequestWithContext(t.Context(), http.MethodGet,
			strings.Replace(follow, "/follow/", "/v1/follow/", 1)+"/games/"+game+"/stream", nil)
		if err != nil {
			t.Fatal(err)
		}
		request.Header.Set("Accept-Encoding", "identity")
		answer, err := http.DefaultClient.Do(request)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = answer.Body.Close() }()
		lines := bufio.NewScanner(answer.Body)
		lines.Buffer(nil, 4<<20)
		shown := func(want int) {
			t.Helper()
			for lines.Scan() {
				if id, is := strings.CutPrefix(lines.Text(), "id: "); is && strings.Split(id, "-")[1] == fmt.Sprint(want) {
					return
				}
			}
			t.Fatalf("%s: the stream ended, %v", answer.Status, lines.Err())
		}
		posted := 0
		post := func() {
			t.Helper()
			posted++
			postShot(t, bench, game, posted)
			hubHas(t, here, game, entries+posted)
			shown(entries + posted)
		}
		shown(entries)
		says(true)
		post()
		nodes.start()
		says(false)
		post()
		waitingIn(t, here, 0)
		nodes.kill()
		says(true)
		post()
		waitingIn(t, here, 1)
		nodes.start()
		says(false)
		waitingIn(t, here, 0)
		post()
	}
}

// waitingIn waits until so many changes wait to be told to other hubs.
func waitingIn(t *testing.T, p *Program, want int) {
	t.Helper()
	for range 3000 {
		if rows, _, err := p.hub.nation.store.Waiting(t.Context()); err == nil && rows == want {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Fatalf("never %d changes waited", want)
}
