package audit_test

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/locale"
	"whistlestop/record/audit"
)

var gap = regexp.MustCompile(`\{([a-z_]+)\}`)

// wholeSentence checks that a sentence has no gap: everything that it names is there.
func wholeSentence(t interface{ Errorf(string, ...any) }, where string, s rules.Say) {
	template := locale.English().Text(s.Key, nil)
	if template == s.Key {
		t.Errorf("%s: there is no sentence %s", where, s.Key)
	}
	for _, m := range gap.FindAllStringSubmatch(template, -1) {
		if s.Args.Get(m[1]) == "" {
			t.Errorf("%s: %s has nothing for %s", where, s.Key, m[0])
		}
	}
	text := say(s)
	if strings.Contains(text, "  ") || strings.ContainsAny(text, "{}@") || strings.Contains(text, " .") || strings.Contains(text, " ,") ||
		strings.HasPrefix(text, " ") || strings.HasSuffix(text, " ") {
		t.Errorf("%s: %q", where, text)
	}
}

// scrambled is a sheet of a random game from which somebody has taken, put and
// changed whatever a sheet may have.
func scrambled(t *rapid.T, s audit.Sheet) audit.Sheet {
	s.Goals, s.Calls, s.Changes, s.Totals = slices.Clone(s.Goals), slices.Clone(s.Calls), slices.Clone(s.Changes), slices.Clone(s.Totals)
	s.Exact, s.Stoppages, s.Choices, s.Played = false, nil, nil, 0
	number := rapid.SampledFrom([]entry.Jersey{"", "1", "7", "9", "12", "13", "19", "30", "77"})
	shake := func(p *audit.Place) {
		switch rapid.IntRange(0, 11).Draw(t, "place") {
		case 0:
			p.NoTime = true
		case 1:
			p.At.Elapsed = entry.Millis(rapid.IntRange(-60, 1000).Draw(t, "elapsed")) * 1000
		case 2:
			p.At.Period = rapid.IntRange(0, 6).Draw(t, "period")
		case 3:
			p.Side = rapid.SampledFrom(entry.Sides[:]).Draw(t, "side")
		}
		p.Entry = ""
	}
	for i := range s.Goals {
		g := &s.Goals[i]
		shake(&g.Place)
		switch rapid.IntRange(0, 9).Draw(t, "goal") {
		case 0:
			g.Scorer = number.Draw(t, "scorer")
		case 1:
			g.Assists = []entry.Jersey{number.Draw(t, "a1"), number.Draw(t, "a2"), number.Draw(t, "a3")}
		case 2:
			g.Class = rapid.SampledFrom([]rules.Class{rules.EvenStrength, rules.PowerPlay, rules.ShortHanded}).Draw(t, "class")
		case 3:
			g.EmptyNet, g.Goalkeeper = !g.EmptyNet, number.Draw(t, "goalkeeper")
		case 4:
			g.Score = &[2]int{rapid.IntRange(0, 5).Draw(t, "home"), rapid.IntRange(0, 5).Draw(t, "visitors")}
		}
	}
	for i := range s.Calls {
		c := &s.Calls[i]
		entryID := c.Entry
		shake(&c.Place)
		c.Entry = entryID
		switch rapid.IntRange(0, 9).Draw(t, "call") {
		case 0:
			c.Player = number.Draw(t, "player")
		case 1:
			c.ServedBy = number.Draw(t, "server")
		case 2:
			c.On, c.End, c.Start = nil, nil, nil
		case 3:
			c.Call = ""
		case 4:
			n := entry.Clock(rapid.IntRange(0, 12).Draw(t, "minutes"), 0)
			c.Charged = &n
		}
	}
	for i := range s.Changes {
		shake(&s.Changes[i].Place)
	}
	if rapid.Bool().Draw(t, "names") {
		s.Teams[0].Name, s.Teams[1].Name = "", ""
	}
	for i := range s.Totals {
		s.Totals[i].Count += rapid.IntRange(-1, 1).Draw(t, "total")
	}
	return s
}

// TestSentencesHaveNoGaps: whatever a sheet leaves out, no sentence about it has
// an empty place.
func TestSentencesHaveNoGaps(t *testing.T) {
	sheet, seen := audit.SheetOf(wholeDocument(t)), map[audit.Kind]bool{}
	rapid.Check(t, func(t *rapid.T) {
		findings, err := audit.Check(scrambled(t, sheet))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range findings {
			seen[f.Kind] = true
			for _, s := range []rules.Say{f.What, f.Why.Say, f.Right} {
				wholeSentence(t, f.ID, s)
			}
		}
	})
	if len(seen) < 30 {
		t.Errorf("only %d kinds of findings were seen: %v", len(seen), seen)
	}
}

// TestRowOrderDoesNotMatter: a sheet whose rows stand in any order has the same
// findings, but those that are about the order itself.
func TestRowOrderDoesNotMatter(t *testing.T) {
	sheet := audit.SheetOf(wholeDocument(t))
	rapid.Check(t, func(t *rapid.T) {
		s := scrambled(t, sheet)
		before := facts(t, s)
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		s.Goals, s.Changes, s.TimeOuts = shuffled(r, s.Goals), shuffled(r, s.Changes), shuffled(r, s.TimeOuts)
		s.Shots, s.Totals, s.Players, s.Goalkeepers = shuffled(r, s.Shots), shuffled(r, s.Totals), shuffled(r, s.Players), shuffled(r, s.Goalkeepers)
		s.Attempts = shuffled(r, s.Attempts)
		for i := range s.Teams {
			s.Teams[i].Players = shuffled(r, s.Teams[i].Players)
		}
		var calls [][]audit.SheetCall // the parts of a call stay together
		for i, c := range s.Calls {
			if i > 0 && c.Entry != "" && s.Calls[i-1].Entry == c.Entry {
				calls[len(calls)-1] = append(calls[len(calls)-1], c)
			} else {
				calls = append(calls, []audit.SheetCall{c})
			}
		}
		s.Calls = slices.Concat(shuffled(r, calls)...)
		after := facts(t, s)
		if !slices.Equal(before, after) {
			t.Fatalf("as written:\n%s\nshuffled:\n%s", strings.Join(before, "\n"), strings.Join(after, "\n"))
		}
	})
}

func shuffled[T any](r *rand.Rand, list []T) []T {
	list = slices.Clone(list)
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	return list
}

// facts writes findings without their rows, in an order of their own.
func facts(t *rapid.T, s audit.Sheet) (lines []string) {
	findings, err := audit.Check(s)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range findings {
		if f.Kind != audit.OutOfOrder && f.Kind != audit.TimesReversed {
			lines = append(lines, string(f.Kind)+": "+say(f.What))
		}
	}
	slices.Sort(lines)
	return lines
}
