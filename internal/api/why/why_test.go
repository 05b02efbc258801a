package why

import (
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/internal/demo"
)

// bare gives keys with what fills their gaps, so that a test sees what was said.
type bare struct{}

func (bare) Language() string { return "en" }

func (bare) Text(key string, args rules.Args) string {
	return message.Say{Key: key, Args: args}.String()
}

func ledger(t *testing.T) []entry.Entry {
	t.Helper()
	entries, err := demo.Ledger("third-period", 1_700_000_000_000)
	if err != nil {
		t.Fatal(err)
	}
	return entries
}

func TestMomentsThatCannotBe(t *testing.T) {
	entries := ledger(t)
	for name, c := range map[string]struct {
		q    Question
		want string
	}{
		"no time":                {Question{Period: 1, Time: "noon"}, "command.why.no_time"},
		"longer than the period": {Question{Period: 1, Time: "59:00"}, "command.why.too_late"},
		"not played yet":         {Question{Period: 9, Time: "1:00"}, "command.why.no_period"},
	} {
		if _, err := Explain(bare{}, entries, c.q); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := Explain(bare{}, nil, Question{Period: 1, Time: "1:00"}); err == nil {
		t.Error("no game at all was explained")
	}
}

// Time played and time left are two names of one moment.
func TestTimeLeftIsTheSameMoment(t *testing.T) {
	entries := ledger(t)
	state, err := rules.Fold(entries)
	if err != nil {
		t.Fatal(err)
	}
	length := state.Periods[0].Length
	for _, played := range []entry.Millis{0, 60_000, length / 2, length} {
		one, err := Explain(bare{}, entries, Question{Period: 1, Time: played.String()})
		if err != nil {
			t.Fatal(err)
		}
		other, err := Explain(bare{}, entries, Question{Period: 1, Time: (length - played).String(), Left: true})
		if err != nil {
			t.Fatal(err)
		}
		if one != other {
			t.Errorf("%v played: two explanations", played)
		}
	}
}

// A ledger until a moment has nothing that happened later, and everything before:
// its fold has the score of that moment, whatever came after.
func TestUntilAMoment(t *testing.T) {
	entries := ledger(t)
	whole, err := rules.Fold(entries)
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, span := range whole.Periods {
		if !span.Begun {
			continue
		}
		for elapsed := entry.Millis(0); elapsed <= span.Length; elapsed += 30_000 {
			now := rules.Moment{Abs: span.Abs + elapsed, Period: span.Period, Elapsed: elapsed, Left: span.Length - elapsed}
			then, err := rules.Fold(until(entries, whole, now))
			if err != nil {
				t.Fatal(err)
			}
			want := 0
			for _, line := range whole.Lines {
				if _, goal := line.Body.(entry.Goal); goal && !line.Struck && !later(line.Moment.Period, line.Moment.Elapsed, now) {
					want++
				}
			}
			got := 0
			for _, line := range then.Lines {
				if _, goal := line.Body.(entry.Goal); goal && !line.Struck {
					got++
				}
			}
			if got != want {
				t.Errorf("period %d, %v: %d goals, want %d", span.Period, elapsed, got, want)
			}
			seen = max(seen, got)
		}
	}
	if seen == 0 {
		t.Error("the game has no goal: the test sees nothing")
	}
}

// A ledger that was touched is explained with a warning.
func TestATouchedLedgerIsNamed(t *testing.T) {
	entries := ledger(t)
	entries[2].At.Elapsed += 1
	text, err := Explain(bare{}, entries, Question{File: "game.jsonl", Period: 1, Time: "1:00"})
	if err != nil || !strings.Contains(text, "command.why.chain") || !strings.Contains(text, "game.jsonl") {
		t.Errorf("%v: %s", err, text)
	}
}
