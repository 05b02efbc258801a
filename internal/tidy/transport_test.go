package tidy

import (
	"os/exec"
	"strings"
	"testing"
)

// The API knows no transport: neither it nor what it imports speaks HTTP. So an
// engine in a browser stays small, and what a shell decides cannot slip in.
func TestTheAPIKnowsNoTransport(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", module+"/internal/api", module+"/internal/api/laptop", module+"/internal/api/season", module+"/internal/api/why", module+"/internal/practice").Output()
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
