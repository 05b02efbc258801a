package tables_test

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"whistlestop/internal/hub/tables"
)

// A step that was released is never another one: databases have taken it.
func TestReleasedStepsStayAsTheyWere(t *testing.T) {
	steps, err := tables.Steps()
	if err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile("testdata/released.txt")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(raw)) {
		sum, name, _ := strings.Cut(strings.TrimSpace(line), "  ")
		text, err := fs.ReadFile(steps, name)
		if err != nil {
			t.Fatal(err)
		}
		if got := sha256.Sum256(text); hex.EncodeToString(got[:]) != sum {
			t.Errorf("%s is not what it was when it was released: make another step", name)
		}
	}
}

// What takes something away that an older program asks for, or holds up hubs that run.
// Whoever has to do such a thing does it a release later, in words of its own.
var forbidden = map[string]*regexp.Regexp{
	"takes something away":                regexp.MustCompile(`(?i)\b(DROP|TRUNCATE|RENAME)\b`),
	"changes a column":                    regexp.MustCompile(`(?i)\bALTER\s+COLUMN\b|\bSET\s+NOT\s+NULL\b|\bTYPE\b`),
	"wants values that an older does not": regexp.MustCompile(`(?i)\bADD\s+COLUMN\b[^;]*\bNOT\s+NULL\b`),
	"forbids what an older writes":        regexp.MustCompile(`(?i)\bADD\s+(CONSTRAINT|CHECK|UNIQUE|FOREIGN)\b`),
	"changes rows, as long as there are":  regexp.MustCompile(`(?i)\b(UPDATE|DELETE\s+FROM)\b`),
}

// withDefault is a column that older programs need not know.
var withDefault = regexp.MustCompile(`(?i)\bADD\s+COLUMN\b[^;]*\bDEFAULT\b`)

var (
	made    = regexp.MustCompile(`(?i)\bCREATE\s+TABLE\s+(\w+)`)
	indexed = regexp.MustCompile(`(?i)\bCREATE\s+(?:UNIQUE\s+)?INDEX\s+\w+\s+ON\s+(\w+)`)
	remark  = regexp.MustCompile(`(?m)--.*$`)
)

// faults says what is wrong with a step, for hubs of the version before that still run.
func faults(step string) (found []string) {
	up, _, _ := strings.Cut(step, "-- +goose Down")
	up = remark.ReplaceAllString(up, "")
	var here []string
	for _, table := range made.FindAllStringSubmatch(up, -1) {
		here = append(here, table[1])
	}
	for statement := range strings.SplitSeq(up, ";") {
		for what, is := range forbidden {
			if is.MatchString(statement) && !(strings.HasPrefix(what, "wants") && withDefault.MatchString(statement)) {
				found = append(found, what+": "+strings.TrimSpace(statement))
			}
		}
		// An index on a table that may have a season in it keeps out everybody who writes.
		if on := indexed.FindStringSubmatch(statement); on != nil && !slices.Contains(here, on[1]) {
			found = append(found, "makes an index on a table that may be large: make it CONCURRENTLY, in package postgres")
		}
	}
	return found
}

func TestStepsOnlyAdd(t *testing.T) {
	steps, err := tables.Steps()
	if err != nil {
		t.Fatal(err)
	}
	names, err := fs.Glob(steps, "*.sql")
	if err != nil || len(names) < 5 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		text, err := fs.ReadFile(steps, name)
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range faults(string(text)) {
			t.Errorf("%s %s", name, fault)
		}
	}
	for step, want := range map[string]int{
		"ALTER TABLE person ADD COLUMN note TEXT NOT NULL DEFAULT '';": 0, "ALTER TABLE person ADD COLUMN note TEXT NOT NULL;": 1,
		"ALTER TABLE person DROP COLUMN name;": 1, "ALTER TABLE person RENAME TO people;": 1, "UPDATE person SET name = '';": 1,
		"CREATE INDEX i ON entry (id);": 1, "CREATE TABLE a (b TEXT); CREATE INDEX i ON a (b);": 0, "ALTER TABLE entry ADD CONSTRAINT c CHECK (seq < 9);": 1,
	} {
		if got := faults("-- +goose Up\n" + step); len(got) != want {
			t.Errorf("%s: %v, want %d", step, got, want)
		}
	}
}
