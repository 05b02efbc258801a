package rota_test

import (
	"encoding/json"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/crew/rota"
)

// bytesTo names the file into which this test, compiled to WebAssembly, writes its rotas.
const bytesTo = "WHISTLESTOP_ROTA_BYTES"

// rotaLines are rotas of the small instances and of random problems, one a line.
func rotaLines(t *testing.T) string {
	t.Helper()
	var out strings.Builder
	write := func(p rota.Problem, o rota.Options) {
		t.Helper()
		made, err := rota.Make(p, o)
		if err != nil {
			t.Fatal(err)
		}
		line, err := json.Marshal(made)
		if err != nil {
			t.Fatal(err)
		}
		out.Write(append(line, '\n'))
	}
	for _, in := range instances(t) {
		if len(in.Games) <= 200 {
			p, pairs := in.problem()
			write(p, rota.Options{Seed: 1, Moves: 5_000, Steps: 20_000 / (pairs + 1)})
		}
	}
	for i := range 25 {
		random := rand.New(rand.NewPCG(uint64(i), 11))
		write(made(random, 3+random.IntN(12), 3+random.IntN(16)), rota.Options{Seed: uint64(i), Moves: 3_000, Steps: 5_000})
	}
	return out.String()
}

// The same input and seed give the same bytes in the browser's engine as in the native
// program: seats, cost, bound and whether nothing is cheaper.
func TestTheSameBytesInWebAssembly(t *testing.T) {
	if file := os.Getenv(bytesTo); file != "" { // this is the one in WebAssembly
		if err := os.WriteFile(file, []byte(rotaLines(t)), 0o600); err != nil {
			t.Fatal(err)
		}
		return
	}
	node, err := exec.LookPath("node")
	if err != nil || testing.Short() || raced {
		t.Skip("it needs node, and is left out of quick runs and of those under the race detector")
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	wasm, written := filepath.Join(folder, "rota.wasm"), filepath.Join(folder, "rotas")
	build := exec.Command("go", "test", "-c", "-trimpath", "-tags", "no_ui", "-o", wasm, ".")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	run := exec.Command(node, filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec_node.js"), wasm,
		"-test.run", "^TestTheSameBytesInWebAssembly$", "-test.timeout", "30m")
	run.Env = []string{"HOME=" + folder, "PATH=/", bytesTo + "=" + written} // what it is given is little there
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	got, err := os.ReadFile(written)
	if err != nil {
		t.Fatal(err)
	}
	want, have := strings.Split(rotaLines(t), "\n"), strings.Split(string(got), "\n")
	if len(want) < 27 || len(have) != len(want) {
		t.Fatalf("%d rotas, %d in WebAssembly", len(want)-1, len(have)-1)
	}
	for i := range want {
		if want[i] != have[i] {
			t.Errorf("rota %d is\n%.500s\nand in WebAssembly\n%.500s", i, want[i], have[i])
		}
	}
}
