package papertest

import (
	"bytes"
	"crypto/ed25519"
	"fmt"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/demo"
	"whistlestop/record/report"
	"whistlestop/record/seal"
)

// start is when the games end, near enough: a Saturday evening in March.
const start = entry.Millis(1_773_518_400_000)

// key is that with which the games are sealed.
var key = seal.Key(ed25519.NewKeyFromSeed(bytes.Repeat([]byte{3}, ed25519.SeedSize)))

// tape adds entries to the end of a ledger.
type tape struct {
	t      testing.TB
	ledger []entry.Entry
	at     entry.At
	wall   entry.Millis
}

// Game is an ordinary game that went to overtime, with shots, goalkeepers, crew,
// signatures and an incident, sealed once.
func Game(t testing.TB) []entry.Entry {
	t.Helper()
	ledger, err := demo.Ledger("overtime", start)
	if err != nil {
		t.Fatal(err)
	}
	last := ledger[len(ledger)-1]
	g := &tape{t: t, ledger: ledger, at: last.At, wall: last.Wall}
	g.counts()
	g.post(entry.CrewSet{
		Officials: []entry.Official{{Role: entry.Referee, Name: "Idris Calloway"}, {Role: entry.Linesperson, Name: "Petra Windle"}},
		Crew:      []entry.Official{{Role: entry.Scorer, Name: "Agnes Tolliver"}, {Role: entry.Timekeeper, Name: "Hugo Brandreth"}},
	})
	g.post(entry.RosterConfirmed{Side: entry.Home, By: "Coach Varga"})
	g.post(entry.RosterConfirmed{Side: entry.Visitors, By: "Coach Lindqvist"})
	g.post(entry.Goal{Side: entry.Visitors, Scorer: "16", Assists: []entry.Jersey{"9"}})
	g.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}})
	g.post(entry.Note{Text: "Number 24 of Kelp Bay left the ice with help after a fall at 9:55 of period 1.", About: entry.Incident})
	g.post(entry.Signed{Role: entry.Referee, Name: "Idris Calloway", Drawing: "M2 30 C 10 2 20 2 24 28 Q 30 2 40 20 L 60 18 Q 70 0 84 22"})
	g.post(entry.Signed{Role: entry.Scorer, Name: "Agnes Tolliver", Code: "4417"})
	g.seal("The visitors' coach had left.")
	return g.ledger
}

// counts posts shots and goalkeepers, as if they had been taken down on the way.
func (g *tape) counts() {
	end := g.at
	g.at = entry.At{Period: 1}
	g.post(entry.Goalkeeper{Side: entry.Home, Number: "1"})
	g.post(entry.Goalkeeper{Side: entry.Visitors, Number: "30"})
	for period, shots := range [][2]int{{9, 7}, {6, 11}, {8, 8}, {2, 3}} {
		g.at = entry.At{Period: period + 1, Elapsed: entry.Clock(1, 0)}
		g.post(entry.Shots{Side: entry.Home, Count: shots[0]})
		g.post(entry.Shots{Side: entry.Visitors, Count: shots[1]})
	}
	g.at = end
}

// Unkind is a game that no page likes: full rosters, names of every alphabet with
// the marks of pages and spreadsheets in them, many goals, calls and remarks.
func Unkind(t testing.TB) []entry.Entry {
	t.Helper()
	ledger, err := demo.Ledger(demo.WarmUp, start)
	if err != nil {
		t.Fatal(err)
	}
	last := ledger[len(ledger)-1]
	g := &tape{t: t, ledger: ledger, at: entry.At{}, wall: last.Wall}
	for _, side := range entry.Sides {
		team := entry.Team{Name: Unkindest[side.Index()]}
		for i := range 60 {
			team.Players = append(team.Players, entry.Player{
				Number: entry.Jersey(fmt.Sprint(i + 1)), Name: Unkindest[i%len(Unkindest)], Goalkeeper: i < 2,
			})
		}
		g.post(entry.RosterSet{Side: side, Team: team})
	}
	for period := 1; period <= 3; period++ {
		g.at = entry.At{Period: period}
		g.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: period}, Length: entry.Clock(15, 0)})
		for minute := 1; minute < 15; minute++ {
			g.at = entry.At{Period: period, Elapsed: entry.Clock(minute, 7)}
			g.post(entry.Goal{Side: entry.Sides[minute%2], Scorer: entry.Jersey(fmt.Sprint(minute)), Assists: []entry.Jersey{"40", "41"}})
			g.post(entry.Penalty{
				Side: entry.Sides[minute%2], Player: entry.Jersey(fmt.Sprint(minute + 20)),
				Call: "checking_from_behind", Parts: []entry.Part{entry.Minor, entry.Misconduct},
			})
		}
		g.post(entry.Note{Text: Unkindest[period] + " and again and again, as long as a remark may be", About: entry.Incident})
		g.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.Intermission, Number: period}, Length: entry.Clock(1, 0)})
	}
	return g.ledger
}

// Unkindest are names that must stay text wherever they are written.
var Unkindest = []string{
	`<script>alert("home")</script>`, `=HYPERLINK("http://example.invalid","win")`, `Łucja Żółć-Gębała`,
	`+1+1`, `-2+3`, `@SUM(A1:A9)`, `"quoted", with; commas`, `Nguyễn Thị Hạnh Phúc`, `O’Brien & Sons <b>bold</b>`,
	"two  parts", `名前 不明`, `'single`, `{{.Names}}`, `%s%d%n`, `Åse Öström, née Ñandú`, `]]>&lt;`,
	`WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW`,
}

// next makes the next entry.
func (g *tape) next(body entry.Body) entry.Entry {
	g.t.Helper()
	g.wall += 3000
	hash, err := g.ledger[len(g.ledger)-1].Hash()
	if err != nil {
		g.t.Fatal(err)
	}
	return entry.Entry{
		ID: fmt.Sprintf("01PAPER%019d", len(g.ledger)+1), Game: g.ledger[0].Game, Seq: len(g.ledger) + 1,
		At: g.at, Wall: g.wall, Seat: entry.Solo, Prev: hash, Body: body,
	}
}

// post adds an entry.
func (g *tape) post(body entry.Body) {
	g.t.Helper()
	e := g.next(body)
	if err := e.Validate(); err != nil {
		g.t.Fatalf("entry %d: %v", e.Seq, err)
	}
	g.ledger = append(g.ledger, e)
}

// seal seals a game as it stands.
func (g *tape) seal(missing string) {
	g.t.Helper()
	body, err := key.Make(g.ledger, missing)
	if err != nil {
		g.t.Fatal(err)
	}
	signed, err := key.Sign(g.next(body))
	if err != nil {
		g.t.Fatal(err)
	}
	g.ledger = append(g.ledger, signed)
}

// Report makes the report of a ledger.
func Report(t testing.TB, ledger []entry.Entry, times rulebook.ReportTimes) report.Document {
	t.Helper()
	d, err := report.Build(ledger, report.Options{Times: times})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// State folds a ledger.
func State(t testing.TB, ledger []entry.Entry) rules.State {
	t.Helper()
	s, err := rules.Fold(ledger)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
