package main_test

import (
	"bufio"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/internal/practice"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
)

const noon = entry.Millis(1_770_000_000_000)

// asked is a question with the answer of the native program.
type asked struct {
	method, path, body string
	now                entry.Millis
	status             int
	answer             string
}

// native asks the native program, and notes question and answer.
type native struct {
	t    *testing.T
	room *practice.Room
	list []asked
}

func (n *native) ask(method, path, body string, now entry.Millis) (int, string) {
	n.t.Helper()
	status, raw := n.room.Call(method, path, []byte(body), now)
	n.list = append(n.list, asked{method, path, body, now, status, string(raw)})
	return status, string(raw)
}

// fold folds a ledger, and holds the answer to what the rules say by themselves.
func (n *native) fold(lines string, ledger []entry.Entry) {
	n.t.Helper()
	state, err := rules.Fold(ledger)
	if err != nil {
		n.t.Fatal(err)
	}
	want, err := json.Marshal(state)
	if err != nil {
		n.t.Fatal(err)
	}
	if status, got := n.ask("POST", "/fold", lines, noon); status != 200 || got != string(want) {
		n.t.Fatalf("%d: the room folds to something else than the rules", status)
	}
}

// golden folds the golden ledgers.
func (n *native) golden() {
	n.t.Helper()
	files, err := filepath.Glob("../../game/rules/testdata/golden/*.jsonl")
	if err != nil || len(files) == 0 {
		n.t.Fatal("there are no golden ledgers", err)
	}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			n.t.Fatal(err)
		}
		var ledger []entry.Entry
		for line := range strings.Lines(string(raw)) {
			var e entry.Entry
			if err := json.Unmarshal([]byte(line), &e); err != nil {
				n.t.Fatal(err)
			}
			ledger = append(ledger, e)
		}
		n.fold(string(raw), ledger)
	}
}

// codes folds the answers of made games under every code.
func (n *native) codes() {
	n.t.Helper()
	divisions := rulebook.Divisions()
	for i, code := range rulebook.Codes() {
		for level := 2; level <= plot.Levels; level++ {
			d := divisions[(i+level)%len(divisions)]
			d.Code = code.ID
			s, err := maker.Generate(uint32(i), level, nil, d)
			if err != nil {
				n.t.Fatal(code.ID, err)
			}
			lines, err := api.Lines(s.Ledger())
			if err != nil {
				n.t.Fatal(err)
			}
			n.fold(string(lines), s.Ledger())
		}
	}
}

// play plays the standard game: the other seats are played by the program, the
// learner does little, and every answer counts, up to the grade.
func (n *native) play() {
	n.t.Helper()
	now := noon
	n.ask("GET", "/practice/scripts", "", now)
	n.ask("POST", "/practice/scripts/made", `{"seed":7,"level":4,"skills":[],"division":"harbour-u14"}`, now)
	_, raw := n.ask("POST", "/practice/begin", `{"script":"standard","seat":"book","pace":"fast"}`, now)
	var begun practice.Begun
	if err := json.Unmarshal([]byte(raw), &begun); err != nil {
		n.t.Fatal(raw, err)
	}
	for looks := 0; ; looks++ {
		status, raw := n.ask("POST", "/practice/look", "{}", now)
		var seen practice.Seen
		if err := json.Unmarshal([]byte(raw), &seen); err != nil || status != 200 || looks > 10_000 {
			n.t.Fatal(status, raw, err)
		}
		if looks%40 == 0 {
			n.ask("GET", "/games/"+begun.Game, "", now)
		}
		if seen.Told {
			n.ask("GET", "/practice/told", "", now)
		}
		if seen.Over {
			break
		}
		now += max(1, seen.Jump+seen.Next-now)
	}
	for _, path := range []string{"/practice/grade", "/practice/record", "/practice/frames/3", "/games/" + begun.Game + "/ledger.jsonl"} {
		if status, raw := n.ask("GET", path, "", now); status != 200 {
			n.t.Fatal(path, raw)
		}
	}
	n.ask("POST", "/practice/result", `{"name":"Wren","day":2000}`, now)
}

// engine builds the engine and asks it the same under node. It returns its
// answers.
func engine(t *testing.T, list []asked) []asked {
	t.Helper()
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("there is no node here, so the engine was not run in WebAssembly")
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	wasmExec := filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js")
	folder := t.TempDir()
	wasm, questions, answers := filepath.Join(folder, "engine.wasm"), filepath.Join(folder, "questions"), filepath.Join(folder, "answers")
	// As the Makefile builds it for the practice site, so that nothing is compiled twice.
	build := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags", "-s -w", "-gcflags", "all=-l",
		"-tags", "no_ui", "-o", wasm, "whistlestop/cmd/engine")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	var text strings.Builder
	for _, q := range list {
		line, err := json.Marshal([]any{q.method, q.path, q.body, q.now})
		if err != nil {
			t.Fatal(err)
		}
		text.Write(append(line, '\n'))
	}
	if err := os.WriteFile(questions, []byte(text.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(node, "testdata/ask.cjs", wasmExec, wasm, questions, answers).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	file, err := os.Open(answers)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = file.Close() }()
	lines := bufio.NewScanner(file)
	lines.Buffer(nil, 64<<20)
	var got []asked
	for lines.Scan() {
		var pair [2]json.RawMessage
		var a asked
		if err := json.Unmarshal(lines.Bytes(), &pair); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(pair[0], &a.status); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(pair[1], &a.answer); err != nil {
			t.Fatal(err)
		}
		got = append(got, a)
	}
	return got
}

// TestTheSameBytesInWebAssembly: the engine in a browser and the native program
// give the same bytes: for every golden ledger, for games under every code, and
// for a whole practice with all that is asked in it.
func TestTheSameBytesInWebAssembly(t *testing.T) {
	n := &native{t: t, room: practice.NewRoom()}
	n.golden()
	n.codes()
	n.play()
	got := engine(t, n.list)
	if len(got) != len(n.list) {
		t.Fatalf("%d questions, %d answers", len(n.list), len(got))
	}
	for i, q := range n.list {
		if got[i].status != q.status || got[i].answer != q.answer {
			t.Fatalf("%s %s (question %d) is answered\n%d %.2000s\nthe native program answers\n%d %.2000s",
				q.method, q.path, i, got[i].status, got[i].answer, q.status, q.answer)
		}
	}
	t.Logf("%d answers are the same", len(got))
}
