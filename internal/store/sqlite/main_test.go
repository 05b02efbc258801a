package sqlite

import (
	"fmt"
	"os"
	"testing"

	"whistlestop/internal/proof/faults"
)

// TestMain puts the fault layer under SQLite before any test opens a database:
// one that was open before it came has none, and its failures would show nothing.
func TestMain(m *testing.M) {
	if err := faults.Install(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(m.Run())
}
