package tidy

import (
	"os"
	"os/exec"
	"strings"
	"testing"
)

// The API knows no transport: neither it nor what it imports speaks HTTP. So an
// engine in a browser stays small, and what a shell decides cannot slip in.
func TestTheAPIKnowsNoTransport(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", module+"/internal/api", module+"/internal/api/laptop", module+"/internal/api/season", module+"/internal/api/crew", module+"/internal/api/why", module+"/internal/practice").Output()
	if err != nil {
		t.Fatal(err)
	}
	list := strings.Fields(string(out))
	if len(list) < 50 {
		t.Fatalf("only %d packages: the test shows little", len(list))
	}
	for _, path := range list {
		if path == "net" || strings.HasPrefix(path, "net/") {
			t.Errorf("the API, or what it imports, imports %s", path)
		}
	}
}

// The engine of practice is loaded by every phone before anything else, so what a few
// lines of our own do as well stays out of it: patterns alone made it a twentieth larger.
func TestTheEngineCarriesNoPatterns(t *testing.T) {
	list := exec.Command("go", "list", "-deps", module+"/cmd/engine")
	list.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := list.Output()
	if err != nil {
		t.Fatal(err)
	}
	paths := strings.Fields(string(out))
	if len(paths) < 50 {
		t.Fatalf("only %d packages: the test shows little", len(paths))
	}
	for _, path := range paths {
		if path == "regexp" || path == "text/template" || path == "net" {
			t.Errorf("the engine imports %s", path)
		}
	}
}
