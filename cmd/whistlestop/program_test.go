package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// runAsProgram makes the test's own binary the real program: it is started,
// killed and started again like the one that people run.
const runAsProgram = "WHISTLESTOP_RUN_AS_PROGRAM"

func TestMain(m *testing.M) {
	if beat := os.Getenv(runAsBroadcaster); beat != "" {
		os.Exit(broadcast(beat))
	}
	if os.Getenv(runAsProgram) != "" {
		spoilDisk()
		os.Exit(run())
	}
	os.Exit(withoutOwnGames(m))
}

// withoutOwnGames runs the tests with an empty folder of settings: what this computer's user
// keeps, a bench's key above all, changes what a command without --data says.
func withoutOwnGames(m *testing.M) int {
	settings, err := os.MkdirTemp("", "whistlestop-settings")
	if err != nil {
		panic(err)
	}
	defer func() { _ = os.RemoveAll(settings) }()
	if err := os.Setenv("XDG_CONFIG_HOME", settings); err != nil {
		panic(err)
	}
	return m.Run()
}

// process is a running program.
type process struct {
	t      testing.TB
	cmd    *exec.Cmd
	bench  string // the printed addresses
	wall   string
	root   string // of the HTTP API
	output bytes.Buffer
}

// start starts a program and waits for its addresses.
func start(t testing.TB, binary string, arguments ...string) *process {
	t.Helper()
	p, started := launch(t, binary, arguments...)
	if !started {
		p.kill()
		t.Fatalf("the program printed no addresses\n%s", &p.output)
	}
	return p
}

// launch starts a program, which may end before it has printed its addresses.
func launch(t testing.TB, binary string, arguments ...string) (p *process, started bool) {
	t.Helper()
	p = &process{t: t, cmd: exec.Command(binary, arguments...)}
	p.cmd.Env = append(os.Environ(), runAsProgram+"=1")
	p.cmd.Stderr = &p.output
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(p.kill)
	lines := bufio.NewReader(out)
	for _, line := range []struct {
		name string
		into *string
	}{{"bench", &p.bench}, {"wall", &p.wall}} {
		text, err := lines.ReadString('\n')
		if err != nil {
			return p, false
		}
		name, address, _ := strings.Cut(strings.TrimSpace(text), " ")
		if name != line.name {
			t.Fatalf("the program printed %q", text)
		}
		*line.into = address
	}
	p.root, _, _ = strings.Cut(p.bench, "/bench")
	return p, true
}

// kill ends the program as a power cut would: it gets to do nothing.
func (p *process) kill() {
	if p.cmd.ProcessState == nil {
		_ = p.cmd.Process.Kill() // it may have ended by itself
		_ = p.cmd.Wait()         // "signal: killed"
	}
}

// get asks a question and returns the answer's body.
func (p *process) get(path string) []byte {
	p.t.Helper()
	answer, err := http.Get(p.root + path)
	if err != nil {
		p.t.Fatalf("%v\n%s", err, &p.output)
	}
	return p.body(answer)
}

// post posts a body that must be taken.
func (p *process) post(path string, body any) []byte {
	p.t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		p.t.Fatal(err)
	}
	answer, err := http.Post(p.root+path, "application/json", bytes.NewReader(raw))
	if err != nil {
		p.t.Fatalf("%v\n%s", err, &p.output)
	}
	return p.body(answer)
}

func (p *process) body(answer *http.Response) []byte {
	p.t.Helper()
	defer func() { _ = answer.Body.Close() }() // it was read
	raw, err := io.ReadAll(answer.Body)
	if err != nil {
		p.t.Fatal(err)
	}
	if answer.StatusCode >= 300 {
		p.t.Fatalf("status %d: %s", answer.StatusCode, raw)
	}
	return raw
}

const gameID = "01JD0000000000000000000000"

// snapshot is an answer with a state.
type snapshot struct {
	State json.RawMessage `json:"state"`
	Now   entry.Millis    `json:"now_ms"`
}

func (s snapshot) clock(t testing.TB) rules.Clock {
	var state struct{ Clock rules.Clock }
	if err := json.Unmarshal(s.State, &state); err != nil {
		t.Fatal(err)
	}
	return state.Clock
}

func (p *process) snapshot() (s snapshot) {
	p.t.Helper()
	if err := json.Unmarshal(p.get("/api/games/"+gameID), &s); err != nil {
		p.t.Fatal(err)
	}
	return s
}

func (p *process) openGame() {
	p.t.Helper()
	p.post("/api/games", map[string]any{
		"id": gameID, "division": "harbour-u14",
		"home": entry.Team{Name: "Kelp Bay"}, "visitors": entry.Team{Name: "Lanternside"},
	})
}

// draft is an entry touched now.
func draft(n int, body entry.Body) entry.Entry {
	return entry.Entry{
		ID: fmt.Sprintf("01JD%022d", n), Game: gameID, Seat: entry.Solo,
		Wall: wallNow(), Body: body,
	}
}

func wallNow() entry.Millis { return entry.Millis(time.Now().UnixMilli()) }

func (p *process) enter(drafts ...entry.Entry) []byte {
	p.t.Helper()
	return p.post("/api/games/"+gameID+"/entries", map[string]any{"entries": drafts})
}

func TestDemoSaysWhereItIs(t *testing.T) {
	var out, log bytes.Buffer
	program := &Program{Out: &out, Log: &log}
	ctx, cancel := context.WithCancel(t.Context())
	if err := program.Run(ctx, []string{"demo", "--moment", "power-play", "--listen", "127.0.0.1:0"}); err != nil {
		t.Fatal(program.explain(err))
	}
	if !regexp.MustCompile(`^bench http://127\.0\.0\.1:\d+/bench/[0-9A-Z]{26}\nwall http://127\.0\.0\.1:\d+/wall/[0-9A-Z]{26}\n$`).MatchString(out.String()) {
		t.Errorf("the program printed %q", &out)
	}
	answer, err := http.Get("http://" + program.address.String() + "/api/games")
	if err != nil {
		t.Fatal(err)
	}
	var body struct {
		Games []struct {
			Home  string
			Score [2]int
		}
	}
	if err := json.NewDecoder(answer.Body).Decode(&body); err != nil || len(body.Games) != 1 || body.Games[0].Score != [2]int{1, 1} {
		t.Errorf("the games are %+v, %v", body, err)
	}
	if err := answer.Body.Close(); err != nil {
		t.Error(err)
	}
	http.DefaultClient.CloseIdleConnections()
	cancel()
	if err := program.Wait(ctx); err != nil {
		t.Error(err)
	}
	folder := program.folder
	if err := program.Close(); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(folder); !os.IsNotExist(err) {
		t.Errorf("the temporary folder is still there: %v", err)
	}
	for _, name := range []string{"Imre", "Casterby", "Lanternside"} {
		if strings.Contains(log.String(), name) {
			t.Errorf("%s is in the log:\n%s", name, &log)
		}
	}
}

func TestPlainWordsWhenItCannotStart(t *testing.T) {
	used := t.TempDir()
	p := start(t, os.Args[0], "demo", "--data", used, "--listen", "127.0.0.1:0")
	address := strings.TrimPrefix(p.root, "http://")
	full := t.TempDir()
	start(t, os.Args[0], "demo", "--data", full, "--listen", "127.0.0.1:0").kill()
	for name, test := range map[string]struct {
		arguments []string
		says      string
	}{
		"folder in use":   {[]string{"bench", "--data", used, "--listen", "127.0.0.1:0"}, "Another Whistlestop has the folder " + used},
		"address in use":  {[]string{"bench", "--data", t.TempDir(), "--listen", address}, "--listen 127.0.0.1:0"},
		"no address":      {[]string{"bench", "--data", t.TempDir(), "--listen", "8480"}, "--listen"},
		"no such moment":  {[]string{"demo", "--moment", "half-time"}, "warm-up, power-play, coincidental, third-period, overtime"},
		"a full folder":   {[]string{"demo", "--data", full}, "whistlestop bench --data " + full},
		"no such command": {[]string{"play"}, "play"},
		"not a folder":    {[]string{"bench", "--data", "/dev/null/games"}, "--data"},
	} {
		t.Run(name, func(t *testing.T) {
			cmd := exec.Command(os.Args[0], test.arguments...)
			cmd.Env = append(os.Environ(), runAsProgram+"=1")
			out, err := cmd.CombinedOutput()
			if cmd.ProcessState.ExitCode() != 1 || !strings.Contains(string(out), test.says) || strings.Contains(string(out), "goroutine") {
				t.Errorf("%v: %s", err, out)
			}
		})
	}
}

func TestStopsInOrder(t *testing.T) {
	for _, signal := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		p := start(t, os.Args[0], "bench", "--data", t.TempDir(), "--listen", "127.0.0.1:0")
		p.openGame()
		asked := time.Now()
		stream, err := http.Get(p.root + "/api/games/" + gameID + "/stream")
		if err != nil {
			t.Fatal(err)
		}
		asking, started := time.Since(asked), time.Now()
		if err := p.cmd.Process.Signal(signal); err != nil {
			t.Fatal(err)
		}
		if _, err := io.ReadAll(stream.Body); err != nil {
			t.Errorf("%v: the stream was cut: %v", signal, err)
		}
		if err := stream.Body.Close(); err != nil {
			t.Error(err)
		}
		if err := p.cmd.Wait(); err != nil {
			t.Errorf("%v: %v\n%s", signal, err, &p.output)
		}
		// A request that hangs is given five seconds. On a busy machine everything takes longer.
		if took := time.Since(started); took > 4*time.Second+100*asking {
			t.Errorf("%v: it took %v; opening a stream took %v", signal, took, asking)
		}
	}
}

func TestVersion(t *testing.T) {
	var out bytes.Buffer
	program := &Program{Out: &out, Log: io.Discard}
	if err := program.Run(t.Context(), []string{"version"}); err != nil {
		t.Fatal(err)
	}
	if err := program.Wait(t.Context()); err != nil {
		t.Fatal(err)
	}
	if err := program.Close(); err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(out.String(), "whistlestop "+version+" go1.") {
		t.Errorf("printed %q", &out)
	}
}
