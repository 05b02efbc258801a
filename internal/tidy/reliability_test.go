package tidy

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
)

// rows are how many rows each part of the plan has.
var rows = []struct {
	part  string
	count int
}{{"S", 15}, {"T", 3}, {"N", 7}, {"P", 5}, {"H", 4}, {"F", 7}}

// named is a test, benchmark or fuzz target as docs/reliability.md names it.
var named = regexp.MustCompile("`((?:Test|Benchmark|Fuzz)[A-Za-z0-9_]+)`")

// Every row of the plan names a test that is there, or says that it is not done.
func TestEveryRowOfThePlanIsServed(t *testing.T) {
	page := read(t, "docs/reliability.md")
	tests := map[string]bool{}
	for _, file := range goFiles(t) {
		if file.test {
			for name := range strings.SplitSeq(read(t, file.path), "\nfunc ") {
				name, _, _ = strings.Cut(name, "(")
				tests[name] = true
			}
		}
	}
	for _, part := range rows {
		for n := 1; n <= part.count; n++ {
			row := fmt.Sprintf("\n| %s%d | ", part.part, n)
			_, after, found := strings.Cut(page, row)
			if !found {
				t.Errorf("row %s%d is missing", part.part, n)
				continue
			}
			line, _, _ := strings.Cut(after, "\n")
			if !named.MatchString(line) && !strings.Contains(line, "Not done") && !strings.Contains(line, "seeds of N3") {
				t.Errorf("row %s%d names no test and does not say why", part.part, n)
			}
		}
	}
	for _, found := range named.FindAllStringSubmatch(page, -1) {
		if !tests[found[1]] {
			t.Errorf("docs/reliability.md names %s, which is not there", found[1])
		}
	}
}
