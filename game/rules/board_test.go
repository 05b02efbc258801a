package rules_test

import (
	"encoding/json"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

func noticeOf(s rules.State, key string) string {
	for _, item := range s.Notices {
		if item.Say.Key == key {
			return inArgs(item.Say)
		}
	}
	return ""
}

// Without a rink card the board's penalty clock is still thought of in the
// intermission, and the board is looked at before a period (common practice, no
// source). With a card its steps say so, and with our own clock nobody does.
func TestTheBoardIsThoughtOfWithoutACard(t *testing.T) {
	for _, clock := range []entry.ClockMode{entry.Lead, entry.Beside, entry.Follow} {
		for _, card := range []bool{false, true} {
			g := newGame(t, "nhl")
			g.post(entry.At{}, entry.BenchSet{Clock: clock})
			if card {
				g.post(entry.At{}, entry.CardSet{Card: json.RawMessage(`{"id":"saltworks"}`)})
			}
			g.begin(1)
			g.stop(at1(19, 30))
			g.post(at1(19, 30), minor(entry.Home, "17"))
			g.post(at1(20, 0), entry.ClockSet{Elapsed: entry.Clock(20, 0)})
			rest := entry.Stage{Kind: entry.Intermission, Number: 1}
			g.post(entry.At{Period: 1}, entry.StageBegun{Stage: rest, Length: entry.Clock(1, 0), Running: true})
			said := noticeOf(mustFold(t, g.ledger), "notice.board_penalties")
			g.begin(2)
			check := noticeOf(mustFold(t, g.ledger), "notice.board_check")
			want := clock != entry.Lead && !card
			if strings.Contains(said, "Kelp Bay 17 1:30") != want || strings.Contains(check, "stage=@stage.period.2 home=Kelp Bay visitors=Lanternside score=0–0 penalties=Kelp Bay 17 1:30") != want {
				t.Errorf("clock %s, card %v: %q, %q", clock, card, said, check)
			}
			g.post(entry.At{Period: 2}, entry.SetAside{Item: "board/check/@stage.period.2"})
			if check := noticeOf(mustFold(t, g.ledger), "notice.board_check"); check != "" {
				t.Errorf("it was looked at, and is asked again: %q", check)
			}
		}
	}
}

// With nobody in the box there is no penalty clock to think of in the intermission,
// and the board is to show no penalty when the next period begins.
func TestTheBoardHasNoPenaltyToThinkOf(t *testing.T) {
	g := newGame(t, "nhl")
	g.post(entry.At{}, entry.BenchSet{Clock: entry.Beside})
	g.begin(1)
	g.post(at1(5, 0), minor(entry.Home, "17")) // over long before the intermission
	g.post(at1(20, 0), entry.ClockSet{Elapsed: entry.Clock(20, 0)})
	g.post(entry.At{Period: 1}, entry.StageBegun{Stage: entry.Stage{Kind: entry.Intermission, Number: 1}, Length: entry.Clock(1, 0), Running: true})
	if said := noticeOf(mustFold(t, g.ledger), "notice.board_penalties"); said != "" {
		t.Errorf("in the intermission: %q", said)
	}
	g.begin(2)
	if check := noticeOf(mustFold(t, g.ledger), "notice.board_check"); !strings.Contains(check, "penalties=@board.no_penalties") {
		t.Errorf("before the period: %q", check)
	}
}

// Every division that has running time by lead speaks to the referee one and two
// goals before the limit, and the demo's Under 14 has it: over six, spoken to at
// four and five (common practice, no source).
func TestTheRefereeIsSpokenToBeforeRunningTime(t *testing.T) {
	seen := 0
	for _, d := range rulebook.Divisions() {
		if d.ID == "harbour-u14" && d.Running.Lead != 7 {
			t.Errorf("Under 14 runs from a lead of %d", d.Running.Lead)
		}
		if d.Running.Lead == 0 {
			continue
		}
		seen++
		g := openGame(t, d)
		g.begin(1)
		for lead := 1; lead <= d.Running.Lead; lead++ {
			g.post(entry.At{Period: 1, Elapsed: entry.Clock(0, lead)}, entry.Goal{Side: entry.Home, Scorer: "9", Unassisted: true})
			s := mustFold(t, g.ledger)
			limit := d.Running.Lead - 1 // the largest lead with stop time
			if got, want := noticeOf(s, "notice.running") != "", lead >= limit-2 && lead <= limit; got != want {
				t.Errorf("%s, a lead of %d: spoken to is %v", d.ID, lead, got)
			}
		}
	}
	if seen < 3 {
		t.Errorf("only %d divisions have running time", seen)
	}
}
