package drill

import (
	"fmt"
	"os"
	"testing"

	"whistlestop/rulebook"
)

func harbour(tb testing.TB, id string) rulebook.Division {
	tb.Helper()
	for _, d := range rulebook.Divisions() {
		if d.ID == id {
			return d
		}
	}
	tb.Fatalf("no division %q", id)
	return rulebook.Division{}
}

func TestTry(t *testing.T) {
	d := harbour(t, "harbour-u14")
	for _, s := range Skills {
		text, _ := os.ReadFile("scripts/" + string(s) + ".practice")
		x, err := Parse(text, string(s), builtIn(nil))
		fmt.Println(s, err, x.Length, x.Given, len(x.Cues), len(x.Answers), x.Skills)
	}
	all := Skills[:len(Skills)-1]
	var k []Skill
	for _, s := range all {
		if s != RunningTime {
			k = append(k, s)
		}
	}
	script, err := Generate(14, 3, k, d)
	fmt.Println(err, script.Skills, script.Length)
	os.WriteFile("scripts/standard.practice", []byte(script.Text()), 0o644)
}
