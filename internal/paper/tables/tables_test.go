package tables_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"whistlestop/internal/paper/tables"
)

func Example() {
	rows := [][]string{{"Team", "Points"}, {"Kelp Bay", "12"}, {"Millrace, \"old\"", "9"}}
	for _, name := range []string{"txt", "csv"} {
		format, _ := tables.ByName(name)
		if err := format.Write(os.Stdout, rows); err != nil {
			fmt.Println(err)
		}
	}
	// Output:
	// Team             Points
	// Kelp Bay         12
	// Millrace, "old"  9
	// Team,Points
	// Kelp Bay,12
	// "Millrace, ""old""",9
}

// Each format stands in the list once, with a media type of its own.
func TestEveryFormatIsInTheList(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range tables.Formats {
		var out strings.Builder
		if found, known := tables.ByName(f.Name); !known || found.Media != f.Media || seen[f.Media] || f.Write(&out, [][]string{{"a"}}) != nil || out.String() != "a\n" {
			t.Errorf("%s: %q", f.Name, out.String())
		}
		seen[f.Media] = true
	}
	if _, known := tables.ByName("doc"); known {
		t.Error("there is a format that is not in the list")
	}
}
