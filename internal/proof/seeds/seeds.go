package seeds

import (
	"os"
	"strconv"
	"testing"
)

// Number is a number of the environment, or another one where it has none. A text
// that is no number ends the test.
func Number(t testing.TB, name string, otherwise uint64) uint64 {
	t.Helper()
	text := os.Getenv(name)
	if text == "" {
		return otherwise
	}
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
