package announce_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/announce"
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/locale"
)

// table is a game of the Harbour League under way.
type table struct {
	*testing.T
	ledger []entry.Entry
}

func newTable(t *testing.T, times rulebook.ReportTimes) *table {
	t.Helper()
	for _, d := range rulebook.Divisions() {
		if d.ID != "harbour-u14" {
			continue
		}
		d.ReportTimes = times
		raw, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		g := &table{T: t}
		g.post(entry.At{}, entry.GameOpened{
			Division: raw,
			Home: entry.Team{Name: "Kelp Bay", Players: []entry.Player{
				{Number: "1", Goalkeeper: true}, {Number: "9", Name: "Ada North", Captain: true}, {Number: "12"},
				{Number: "17", Name: "Bo Quay"}, {Number: "19", Status: entry.Suspended},
			}},
			Visitors: entry.Team{Name: "Lanternside", Players: []entry.Player{{Number: "4", Name: "Cy Tide"}, {Number: "9"}, {Number: "30"}}},
		})
		g.post(at(0, 0), entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: d.Periods[0]})
		return g
	}
	t.Fatal("there is no such division")
	return nil
}

func at(minutes, seconds int) entry.At {
	return entry.At{Period: 1, Elapsed: entry.Clock(minutes, seconds)}
}

func (g *table) post(at entry.At, body entry.Body) string { return g.of("", at, body) }

func (g *table) of(of string, at entry.At, body entry.Body) string {
	id := fmt.Sprintf("01JTEST%019d", len(g.ledger)+1)
	g.ledger = append(g.ledger, entry.Entry{
		ID: id, Game: "01JGAME0000000000000000000", Seq: len(g.ledger) + 1, At: at, Of: of,
		Wall: 1_790_000_000_000 + entry.Millis(len(g.ledger)), Seat: entry.Solo, Body: body,
	})
	return id
}

// list returns the announcements of some kinds.
func (g *table) list(kinds ...announce.Kind) []announce.Announcement {
	g.Helper()
	state, err := rules.Fold(g.ledger)
	if err != nil {
		g.Fatal(err)
	}
	return slices.DeleteFunc(announce.List(state), func(a announce.Announcement) bool {
		return len(kinds) > 0 && !slices.Contains(kinds, a.Kind)
	})
}

func words(a announce.Announcement) string {
	texts := make([]string, len(a.Says))
	for i, s := range a.Says {
		texts[i] = locale.English().Text(s.Key, s.Args)
	}
	return strings.Join(texts, " ")
}

func (g *table) expect(list []announce.Announcement, want ...string) {
	g.Helper()
	var got []string
	for _, a := range list {
		got = append(got, words(a))
	}
	if !slices.Equal(got, want) {
		g.Errorf("said\n  %s\nwant\n  %s", strings.Join(got, "\n  "), strings.Join(want, "\n  "))
	}
}

func minor(side entry.Side, number entry.Jersey) entry.Penalty {
	return entry.Penalty{Side: side, Player: number, Call: "tripping", Parts: []entry.Part{entry.Minor}}
}

// TestGoalIsAnnounced: team, number, name, assists, time (IIHF Official Rule
// Book 2022/23 Rule 31).
func TestGoalIsAnnounced(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	g.post(at(4, 11), entry.Goal{Side: entry.Home, Scorer: "9", Assists: []entry.Jersey{"17", "12"}})
	g.expect(g.list(announce.Goal),
		"Goal for Kelp Bay, scored by number 9, Ada North, assisted by number 17, Bo Quay and number 12. Time: 4:11.")
	g = newTable(t, rulebook.TimesRemaining)
	g.post(at(4, 11), entry.Goal{Side: entry.Home, Scorer: "9"})
	g.expect(g.list(announce.Goal), "Goal for Kelp Bay, scored by number 9, Ada North. Time: 7:49.")
}

func TestScorerToFollowWaits(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	goal := g.post(at(4, 11), entry.Goal{Side: entry.Home})
	if list := g.list(announce.Goal); len(list) != 1 || !list[0].Waits {
		t.Fatalf("%+v", list)
	}
	g.of(goal, at(4, 11), entry.Amended{To: entry.Goal{Side: entry.Home, Scorer: "12", Unassisted: true}})
	if list := g.list(announce.Goal); list[0].Waits || list[0].Again {
		t.Errorf("%+v", list)
	}
}

// TestWhatWasSaidWrongIsPutRight: a referee may change a call even after the
// announcement; posting and announcement are put right together (USA Hockey
// casebook 403 situation 1; that the announcement is put right too is our
// reading).
func TestWhatWasSaidWrongIsPutRight(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	goal := g.post(at(4, 11), entry.Goal{Side: entry.Home, Scorer: "9"})
	g.post(at(4, 11), entry.Announced{What: g.list(announce.Goal)[0].Key})
	if !g.list(announce.Goal)[0].Said {
		t.Error("said, and not known as said")
	}
	g.of(goal, at(4, 11), entry.Amended{To: entry.Goal{Side: entry.Home, Scorer: "17"}})
	list := g.list(announce.Goal)
	g.expect(list, "Correction. Goal for Kelp Bay, scored by number 17, Bo Quay. Time: 4:11.")
	if !list[0].Again || list[0].Said {
		t.Errorf("%+v", list[0])
	}
	g.of(goal, at(4, 11), entry.Struck{})
	g.expect(g.list(announce.Goal, announce.TakenBack),
		"The goal of Kelp Bay at 4:11 does not count. Give the referee's reason.")
}

func TestGoalThatNobodyHeardOfIsNotTakenBack(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	g.of(g.post(at(1, 0), entry.Goal{Side: entry.Home, Scorer: "9"}), at(1, 0), entry.Struck{})
	g.expect(g.list(announce.Goal, announce.TakenBack))
}

// TestVisitorsFirst: where both sides are penalised the visitors' penalty is
// announced first, and each is read twice (IIHF 2022/23 Rules 31.7 and 35.1; USA
// Hockey Rule 507 note 1).
func TestVisitorsFirst(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	g.post(at(2, 0), minor(entry.Home, "9"))
	g.post(at(2, 0), minor(entry.Visitors, "4"))
	list := g.list(announce.Penalty)
	g.expect(list,
		"Lanternside penalty, number 4, Cy Tide, 1:30 minutes, minor, for tripping. Time: 2:00.",
		"Kelp Bay penalty, number 9, Ada North, 1:30 minutes, minor, for tripping. Time: 2:00.")
	for _, a := range list {
		if !a.Twice {
			t.Errorf("%q is said once", words(a))
		}
	}
}

// TestOneGameMisconductIsAnnounced: of several to one player (IIHF Rule 35.1).
func TestOneGameMisconductIsAnnounced(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	off := entry.Penalty{Side: entry.Home, Player: "9", Call: "fighting", Parts: []entry.Part{entry.GameMisconduct}}
	g.post(at(2, 0), off)
	g.post(at(2, 0), off)
	g.expect(g.list(announce.Penalty), "Kelp Bay penalty, number 9, Ada North, game misconduct, for fighting. Time: 2:00.")
}

// TestWhoServesIsSaid: where it is not the offender (IIHF Rule Book 2010, Annex 3).
func TestWhoServesIsSaid(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	bench := entry.Penalty{Side: entry.Visitors, Bench: true, Call: "too_many_players", Parts: []entry.Part{entry.BenchMinor}, ServedBy: "9"}
	g.post(at(2, 0), bench)
	list := g.list(announce.Penalty)
	if len(list) != 1 || !strings.HasSuffix(words(list[0]), "Time: 2:00. Served by number 9.") {
		t.Errorf("%+v", list)
	}
}

// TestFullStrengthIsSaid: the end of a penalty, for one side or both (IIHF Rule
// Book 2010, Annex 3).
func TestFullStrengthIsSaid(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	g.post(at(2, 0), minor(entry.Home, "9"))
	list := g.list(announce.FullStrength)
	g.expect(list, "Kelp Bay at full strength.")
	if list[0].Due != entry.Clock(3, 30) {
		t.Errorf("due at %s", list[0].Due)
	}
	g.post(at(2, 30), entry.Goal{Side: entry.Visitors, Scorer: "4"})
	if list := g.list(announce.FullStrength); len(list) != 1 || list[0].Due != entry.Clock(2, 30) {
		t.Errorf("a goal ends the minor: %+v", list)
	}
}

// TestLastMinute: one minute left in periods 1 and 2, two in the third (IIHF
// 2025/26 Rule 34.1).
func TestLastMinute(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	for n := 2; n <= 3; n++ {
		g.post(entry.At{Period: n}, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: n}, Length: entry.Clock(12, 0)})
	}
	list := g.list(announce.LastMinute)
	g.expect(list, "Last minute of the 1st period.", "Last minute of the 2nd period.", "Last two minutes of the 3rd period.")
	if due := list[2].Due; due != entry.Clock(34, 0) {
		t.Errorf("due at %s", due)
	}
}

// TestBeforeTheGame: welcome, visitors' roster, home roster, officials, in this
// order (a European national body's announcement guide, 2007). Whoever is not
// dressed is not read out.
func TestBeforeTheGame(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	g.post(entry.At{}, entry.CrewSet{Officials: []entry.Official{{Role: entry.Referee, Name: "Dee Breakwater"}}})
	g.expect(g.list(announce.Before),
		"Welcome to Kelp Bay against Lanternside.",
		"For Lanternside: Number 4, Cy Tide. Number 9. Number 30.",
		"For Kelp Bay: Goalkeeper, number 1. Captain, number 9, Ada North. Number 12. Number 17, Bo Quay.",
		"referee: Dee Breakwater.")
}

func TestTimeOutIsSaid(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	g.post(at(5, 0), entry.TimeOut{Side: entry.Visitors, Length: 30_000})
	g.post(at(6, 0), entry.TimeOut{Length: 30_000})
	g.expect(g.list(announce.TimeOut), "Time-out, Lanternside.", "Time-out by the officials.")
}

func TestEverythingSaidIsKeptApart(t *testing.T) {
	g := newTable(t, rulebook.TimesUnsaid)
	for i := range 4 {
		g.post(at(2+i, 0), minor(entry.Sides[i%2], "9"))
		g.post(at(2+i, 30), entry.Goal{Side: entry.Sides[i%2], Scorer: "9"})
	}
	keys := map[string]bool{}
	for _, a := range g.list() {
		if keys[a.Key] {
			t.Errorf("%s names two things", a.Key)
		}
		keys[a.Key] = true
		if err := (entry.Entry{ID: strings.Repeat("0", 26), Body: entry.Announced{What: a.Key}}).Validate(); err != nil {
			t.Errorf("%s cannot be posted: %v", a.Key, err)
		}
	}
}
