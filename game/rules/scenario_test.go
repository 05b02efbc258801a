package rules_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/locale"
)

// A scenario is a game told in short lines, in the order of the rule book's
// example that it follows, with what Whistlestop says to each. Blocks are
// commands, "----", and the answer. Run with -update to write the answers anew,
// and read the difference before committing it.
//
//	game usah-youth
//	begin 1
//	4:00 penalty home 17 minor tripping
//	----
//	Kelp Bay 17, tripping, minor. Kelp Bay 17 sits 2:00, out at 14:00. Four against five.
//
// Commands: game CODE [overtime SKATERS]; begin PERIOD; TIME start; TIME stop;
// TIME goal SIDE [NUMBER] [from N N] [shot|awarded|own]; TIME penalty SIDE NUMBER|bench|?
// PART... [CALL] [served N] [signalled]; choose NUMBER...; strike LINE; amend LINE COMMAND;
// box TIME; report. Times are elapsed in the period begun last.
var update = flag.Bool("update", false, "write the answers of the scenario and golden files anew")

func TestScenarios(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal("no scenarios", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			raw, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			var out strings.Builder
			s := &scenario{t: t}
			for i, block := range strings.Split(strings.TrimRight(string(raw), "\n"), "\n\n") {
				if i > 0 {
					out.WriteString("\n\n")
				}
				input, _, found := strings.Cut(block, "\n----")
				out.WriteString(input)
				if !found {
					continue // a comment
				}
				answer := s.run(input)
				out.WriteString("\n----" + answer)
				if want := strings.TrimPrefix(block, input+"\n----"); want != answer && !*update {
					t.Errorf("%s\ngot%s\nwant%s", input, answer, want)
				}
			}
			out.WriteString("\n")
			if *update {
				if err := os.WriteFile(file, []byte(out.String()), 0o644); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

type scenario struct {
	t      *testing.T
	game   *game
	period int
}

// text fills the gaps of a sentence. A word that is missing fails the test.
func (s *scenario) text(say rules.Say) string {
	words := locale.English()
	if !words.Has(say.Key) {
		s.t.Errorf("the catalogue has no %q", say.Key)
	}
	for _, arg := range say.Args {
		inner, nested := strings.CutPrefix(arg.Text, "@")
		if key, _, _ := strings.Cut(inner, " "); nested && !words.Has(key) {
			s.t.Errorf("the catalogue has no %q", key)
		}
	}
	text := words.Say(say)
	if strings.Contains(text, "{") {
		s.t.Errorf("%s leaves a gap: %s", say.Key, text)
	}
	return text
}

func (s *scenario) texts(says []rules.Say) string {
	words := make([]string, len(says))
	for i, say := range says {
		words[i] = s.text(say)
	}
	return strings.Join(words, " ")
}

func (s *scenario) run(input string) string {
	answer := ""
	for _, line := range strings.Split(input, "\n") {
		if strings.HasPrefix(line, "#") || strings.TrimSpace(line) == "" {
			continue
		}
		if text := s.command(strings.Fields(line)); text != "" {
			answer += "\n" + text
		}
	}
	return answer
}

func (s *scenario) command(words []string) string {
	switch words[0] {
	case "game":
		s.game = newGame(s.t, words[1])
		if len(words) == 4 {
			s.game = openGame(s.t, withOvertime(s.game.division, atoi(entry.Jersey(words[3]))))
		}
		return ""
	case "begin":
		s.period = atoi(entry.Jersey(words[1]))
		s.game.begin(s.period)
		return ""
	case "box":
		return s.box(words[1])
	case "report":
		return s.report()
	case "choose":
		return s.choose(words[1:])
	case "strike":
		return s.draft("", entry.At{}, entry.Struck{}, s.lineID(words[1]))
	case "amend":
		at, body := s.body(words[2:])
		return s.draft("", at, entry.Amended{To: body}, s.lineID(words[1]))
	}
	at, body := s.body(words)
	return s.draft(strings.Join(words, " "), at, body, "")
}

func withOvertime(d rulebook.Division, skaters int) rulebook.Division {
	d.Overtime = overtimeOf(entry.Clock(5, 0), skaters, false)
	return d
}

// lineID returns the id of the nth goal or call, counted from 1.
func (s *scenario) lineID(n string) string {
	count := atoi(entry.Jersey(n))
	for _, e := range s.game.ledger {
		if k := e.Kind(); k == entry.KindGoal || k == entry.KindPenalty {
			if count--; count == 0 {
				return e.ID
			}
		}
	}
	s.t.Fatalf("there is no line %s", n)
	return ""
}

// body reads TIME WORD ... as an entry.
func (s *scenario) body(words []string) (entry.At, entry.Body) {
	at := entry.At{Period: s.period, Elapsed: mustClock(s.t, words[0])}
	switch words[1] {
	case "start":
		return at, entry.ClockStarted{Elapsed: at.Elapsed}
	case "stop":
		return at, entry.ClockStopped{Elapsed: at.Elapsed}
	case "goal":
		return at, s.goal(words[2:])
	case "penalty":
		return at, s.penalty(words[2:])
	}
	s.t.Fatalf("unknown command %v", words)
	return at, nil
}

func (s *scenario) goal(words []string) entry.Goal {
	g := entry.Goal{Side: entry.Side(words[0])}
	from := false
	for _, w := range words[1:] {
		switch w {
		case "from":
			from = true
		case "shot":
			g.On = entry.OnPenaltyShot
		case "awarded":
			g.On = entry.OnAwarded
		case "own":
			g.OwnGoal = true
		default:
			if from {
				g.Assists = append(g.Assists, entry.Jersey(w))
			} else {
				g.Scorer = entry.Jersey(w)
			}
		}
	}
	return g
}

func (s *scenario) penalty(words []string) entry.Penalty {
	p := entry.Penalty{Side: entry.Side(words[0])}
	switch words[1] {
	case "bench":
		p.Bench = true
	case "?":
	default:
		p.Player = entry.Jersey(words[1])
	}
	for i := 2; i < len(words); i++ {
		switch w := words[i]; {
		case w == "signalled":
			p.Signalled = true
		case w == "served":
			i++
			p.ServedBy = entry.Jersey(words[i])
		case entry.Part(w).Valid():
			p.Parts = append(p.Parts, entry.Part(w))
		default:
			p.Call = w
		}
	}
	return p
}

// draft considers an entry, posts it, and returns the sentence.
func (s *scenario) draft(_ string, at entry.At, body entry.Body, of string) string {
	d := entry.Entry{
		ID: id26(len(s.game.ledger) + 1), Game: gameID, At: at, Seat: entry.Solo, Body: body, Of: of,
		Wall: s.game.wall + 1000,
	}
	preview := rules.Consider(s.game.ledger, []entry.Entry{d}, d.Wall)
	if len(preview.Refused) > 0 {
		return "refused: " + s.text(preview.Refused[0].Say)
	}
	s.game.of(of, at, body)
	switch body.(type) {
	case entry.ClockStarted, entry.ClockStopped:
		return ""
	}
	text := s.texts(preview.Says)
	if len(preview.Warnings) > 0 {
		text += "\nlook again: " + s.texts(preview.Warnings)
	}
	for _, q := range preview.State.Asked {
		if q.Now && !q.Answered {
			text += fmt.Sprintf("\nasks: %s %v", s.text(q.Say), q.Players)
		}
	}
	return text
}

func (s *scenario) choose(words []string) string {
	state := s.fold()
	for _, q := range state.Asked {
		if q.Now && !q.Answered {
			picks := make([]entry.Jersey, len(words))
			for i, w := range words {
				picks[i] = entry.Jersey(w)
			}
			return s.draft("", entry.At{}, entry.Choice{Question: q.ID, Picks: picks}, "")
		}
	}
	s.t.Fatal("nothing is asked")
	return ""
}

func (s *scenario) fold() rules.State {
	state, err := rules.Fold(s.game.ledger)
	if err != nil {
		s.t.Fatal(err)
	}
	return state
}

// box shows the strength and who sits, at a time of the period begun last.
func (s *scenario) box(at string) string {
	state := s.fold()
	abs := state.Periods[s.period-1].Abs + mustClock(s.t, at)
	n := skatersAt(state, abs)
	lines := []string{fmt.Sprintf("%d against %d", n[0], n[1])}
	for _, t := range state.Terms {
		if t.Start.Abs > abs || t.Ended == rules.Wiped || t.Ended == rules.NotServed {
			continue
		}
		gone := t.Out != nil && t.Out.Abs <= abs || t.Door == rules.NoDoor && t.End.Abs <= abs
		if gone {
			continue
		}
		out := "out at a whistle"
		if t.Door == rules.AtEnd {
			out = "out at " + t.Out.Left.Left() + " of period " + strconv.Itoa(t.Out.Period)
		} else if t.Door == rules.NoDoor {
			out = "until " + t.End.Left.Left() + " of period " + strconv.Itoa(t.End.Period) + ", then more"
		}
		sits := string(t.Sits)
		if sits == "" {
			sits = "?"
		}
		lines = append(lines, fmt.Sprintf("%s %s for %s: %s, %s", t.Side, sits, number(t.Player), t.Part, out))
	}
	slices.Sort(lines[1:])
	return strings.Join(lines, "\n")
}

func (s *scenario) report() string {
	state := s.fold()
	var lines []string
	for _, g := range state.Goals {
		lines = append(lines, fmt.Sprintf("%d %s goal %s %s %v %s %d-%d", g.Moment.Period, g.Moment.Elapsed, g.Side,
			g.Scorer, g.Assists, g.Class, g.Score[0], g.Score[1]))
	}
	for _, c := range state.Calls {
		lines = append(lines, fmt.Sprintf("%d %s penalty %s %s %s %v charged %s", c.Moment.Period, c.Moment.Elapsed,
			c.Side, number(c.Player), c.Call, c.Parts, c.Charged))
	}
	for _, o := range state.Owed {
		lines = append(lines, "owed: "+s.text(o.Say))
	}
	return strings.Join(lines, "\n")
}
