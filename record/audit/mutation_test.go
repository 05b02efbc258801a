package audit_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/record/audit"
	"whistlestop/record/report"
)

// planted are mistakes that people make, each planted in a good report. Kind is
// what the audit has to call it, at where; also are what follows from it.
var planted = []struct {
	name  string
	plant func(d *report.Document)
	kind  audit.Kind
	where string // entry or side of the finding, and its period
	also  []audit.Kind
}{
	{"power-play goal written as even", func(d *report.Document) { d.Goals[1].Class = rules.EvenStrength }, audit.GoalClass, "goal 1", also(audit.TotalWrong)},
	{"even goal written as power play", func(d *report.Document) { d.Goals[0].Class = rules.PowerPlay }, audit.GoalClass, "goal 0", also(audit.TotalWrong)},
	{"short-handed goal written as even", func(d *report.Document) { d.Goals[3].Class = rules.EvenStrength }, audit.GoalClass, "goal 3", nil},
	{"score after a goal", func(d *report.Document) { d.Goals[2].Score = [2]int{2, 2} }, audit.GoalScore, "goal 2", nil},
	{"final score", func(d *report.Document) { d.Score.Final[0] = 6 }, audit.ScoreWrong, "home", nil},
	{"goals of a period", func(d *report.Document) { d.Periods[0].Goals[1] = 3 }, audit.TotalWrong, "visitors", nil},
	{"goals of the game", func(d *report.Document) { d.Totals.Sides[0].Goals = 3 }, audit.TotalWrong, "home", nil},
	{"shots of a period", func(d *report.Document) { d.Periods[1].Shots[0] = 12 }, audit.TotalWrong, "home", nil},
	{"penalty minutes of a side", func(d *report.Document) { d.Totals.Sides[1].PenaltyMinutes += entry.Clock(2, 0) }, audit.TotalWrong, "visitors", nil},
	{"number of penalties", func(d *report.Document) { d.Totals.Sides[1].Penalties = 2 }, audit.TotalWrong, "visitors", nil},
	{"power-play goals of a side", func(d *report.Document) { d.Totals.Sides[0].PowerPlays.Goals = 3 }, audit.TotalWrong, "home", nil},
	{"power plays of a side", func(d *report.Document) { d.Totals.Sides[0].PowerPlays.Chances = 5 }, audit.TotalWrong, "home", nil},
	{"a player's goals", func(d *report.Document) { player(d, 0, "9").Goals = 1 }, audit.PlayerTotal, "home", nil},
	{"a player's assists", func(d *report.Document) { player(d, 1, "10").Assists = 3 }, audit.PlayerTotal, "visitors", nil},
	{"a player's penalty minutes", func(d *report.Document) { player(d, 0, "17").PenaltyMinutes = entry.Clock(2, 0) }, audit.PlayerTotal, "home", nil},

	{"third assist", func(d *report.Document) { d.Goals[1].Assists = append(d.Goals[1].Assists, "16") }, audit.AssistsMany, "goal 1", also(audit.PlayerTotal)},
	{"assist to the own goal", func(d *report.Document) { d.Goals[0].Assists = []entry.Jersey{"9"} }, audit.AssistSelf, "goal 0", also(audit.PlayerTotal)},
	{"both assists to one player", func(d *report.Document) { d.Goals[1].Assists = []entry.Jersey{"9", "9"} }, audit.AssistTwice, "goal 1", also(audit.PlayerTotal)},
	{"scorer not on the roster", func(d *report.Document) { d.Goals[0].Scorer = "77" }, audit.NumberUnlisted, "goal 0", also(audit.PlayerTotal)},
	{"assist not on the roster", func(d *report.Document) { d.Goals[0].Assists[0] = "77" }, audit.NumberUnlisted, "goal 0", also(audit.PlayerTotal)},
	{"scorer missing", func(d *report.Document) { d.Goals[0].Scorer = "" }, audit.ScorerMissing, "goal 0", also(audit.PlayerTotal)},
	{"assist missing", func(d *report.Document) { d.Goals[0].Assists[0] = "" }, audit.AssistMissing, "goal 0", also(audit.PlayerTotal)},
	{"suspended player scores", func(d *report.Document) { d.Goals[5].Scorer = "27" }, audit.AwayTakesPart, "goal 5", also(audit.PlayerTotal)},
	{"scorer in the box", func(d *report.Document) { d.Goals[4].Scorer = "2"; d.Goals[4].At = at(2, 150) }, audit.InBox, "goal 4", also(audit.PlayerTotal, audit.GoalClass, audit.OutOfOrder, audit.GoalScore, audit.CalledInBox, audit.StartTime, audit.ReleaseTime, audit.TotalWrong)},
	{"scorer was sent off", func(d *report.Document) { d.Goals[6].Scorer = "3" }, audit.OutTakesPart, "goal 6", also(audit.PlayerTotal)},
	{"two goals at one time", func(d *report.Document) { d.Goals[7].At = d.Goals[6].At }, audit.GoalTwice, "goal 7", also(audit.GoalGoalkeeper, audit.EmptyNetUnsaid, audit.ReleaseTime)},
	{"goal beyond the period", func(d *report.Document) { d.Goals[7].At = at(3, 15*60+40) }, audit.TimeOutside, "goal 7", also(audit.EmptyNetUnsaid)},
	{"goal in a period that was not played", func(d *report.Document) { d.Goals[7].At = at(7, 60) }, audit.PeriodUnknown, "goal 7", also(audit.TotalWrong, audit.EmptyNetUnsaid, audit.GoalAfterEnd, audit.OvertimeUntied, audit.ShootOutUntied)},
	{"goals out of order", func(d *report.Document) { d.Goals[6], d.Goals[7] = d.Goals[7], d.Goals[6] }, audit.OutOfOrder, "goal 6", also(audit.GoalScore)},
	{"goal after the goal that ended the game", func(d *report.Document) {
		d.Goals[6].At, d.Goals[7].At = at(4, 30), at(4, 60)
	}, audit.GoalAfterEnd, "goal 7", also(audit.TotalWrong, audit.ShotsBelowGoals, audit.OvertimeUntied, audit.ShootOutUntied, audit.GoalkeeperTime, audit.EmptyNetUnsaid)},
	{"goal written on the other goalkeeper", func(d *report.Document) { d.Goals[0].Goalkeeper = "31" }, audit.GoalGoalkeeper, "goal 0", nil},
	{"goal marked as into an empty net", func(d *report.Document) { d.Goals[0].EmptyNet = true }, audit.EmptyNetKept, "goal 0", also(audit.GoalkeeperGoals)},
	{"empty net not marked", func(d *report.Document) { d.Goals[6].At = at(3, 13*60+50) }, audit.EmptyNetUnsaid, "goal 6", also(audit.GoalkeeperGoals, audit.GoalGoalkeeper)},
	{"assist on a penalty shot", func(d *report.Document) { d.Goals[0].On = entry.OnPenaltyShot }, audit.ShotAssisted, "goal 0", nil},
	{"assist on an own goal", func(d *report.Document) { d.Goals[0].OwnGoal = true }, audit.OwnAssisted, "goal 0", also(audit.GoalkeeperSaves)},
	{"scorer not on the ice", func(d *report.Document) { d.Goals[2].OnIce[0] = []entry.Jersey{"1", "7", "9", "8", "11"} }, audit.OnIceScorer, "goal 2", nil},
	{"seven on the ice", func(d *report.Document) { d.Goals[2].OnIce[0] = append(d.Goals[2].OnIce[0], "14") }, audit.OnIceMany, "goal 2", nil},

	{"minutes of a minor", func(d *report.Document) { d.Penalties[0].Charged = entry.Clock(4, 0) }, audit.Minutes, "penalty 0", also(audit.TotalWrong, audit.PlayerTotal)},
	{"minutes of a game misconduct", func(d *report.Document) { d.Penalties[12].Charged = entry.Clock(20, 0) }, audit.Minutes, "penalty 12", also(audit.TotalWrong, audit.PlayerTotal)},
	{"release of a minor that a goal ended", func(d *report.Document) { s := at(1, 360); d.Penalties[0].End, d.Penalties[0].On = &s, &s }, audit.ReleaseTime, "penalty 0", nil},
	{"release of a minor that no goal ended", func(d *report.Document) { s := at(1, 580); d.Penalties[2].End, d.Penalties[2].On = &s, &s }, audit.ReleaseTime, "penalty 2", nil},
	{"start of a waiting penalty", func(d *report.Document) { s := at(1, 540); d.Penalties[3].Start = &s }, audit.StartTime, "penalty 3", nil},
	{"penalised player missing", func(d *report.Document) { d.Penalties[1].Player = "" }, audit.PlayerMissing, "penalty 1", also(audit.PlayerTotal)},
	{"call missing", func(d *report.Document) { d.Penalties[1].Call = "" }, audit.CallMissing, "penalty 1", nil},
	{"penalised player not on the roster", func(d *report.Document) { d.Penalties[1].Player = "77" }, audit.NumberUnlisted, "penalty 1", also(audit.PlayerTotal)},
	{"penalised while in the box", func(d *report.Document) { d.Penalties[2].Player = "6" }, audit.CalledInBox, "penalty 2", also(audit.PlayerTotal, audit.GoalClass, audit.StartTime, audit.ReleaseTime, audit.TotalWrong)},
	{"nobody serves for the bench", func(d *report.Document) { d.Penalties[10].ServedBy = "" }, audit.ServerMissing, "penalty 10", nil},
	{"whoever serves sits already", func(d *report.Document) { d.Penalties[10].Off = at(2, 360); d.Penalties[10].ServedBy = "11" }, audit.ServerSits, "penalty 10", also(audit.ServerMissing, audit.StartTime, audit.ReleaseTime, audit.OutOfOrder, audit.GoalClass, audit.TotalWrong)},
	{"a goalkeeper serves", func(d *report.Document) { d.Penalties[10].ServedBy = "31" }, audit.ServerKeeps, "penalty 10", nil},
	{"three majors and no game misconduct", func(d *report.Document) {
		for i := range d.Penalties {
			if p := &d.Penalties[i]; i == 1 || i == 2 || i == 14 {
				p.Kind, p.Player, p.Charged = entry.Major, "16", entry.Clock(5, 0)
				p.Start, p.End, p.On = nil, nil, nil
			}
		}
	}, audit.EjectionUnsaid, "penalty 14", also(audit.TotalWrong, audit.PlayerTotal, audit.GoalClass, audit.StartTime, audit.ReleaseTime, audit.CalledInBox, audit.InBox, audit.EndMissing)},
	{"when a penalty was over is left out", func(d *report.Document) { d.Penalties[2].End, d.Penalties[2].On = nil, nil }, audit.EndMissing, "penalty 2", nil},

	{"time of a goalkeeper", func(d *report.Document) { d.Goalkeepers[0].Time += entry.Clock(5, 0) }, audit.GoalkeeperTime, "home", nil},
	{"saves of a goalkeeper", func(d *report.Document) { *d.Goalkeepers[1].Saves++ }, audit.GoalkeeperSaves, "visitors", nil},
	{"goals against a goalkeeper", func(d *report.Document) { d.Goalkeepers[1].GoalsAgainst = 1; *d.Goalkeepers[1].Saves++ }, audit.GoalkeeperGoals, "visitors", nil},
	{"shots at a goalkeeper", func(d *report.Document) { *d.Goalkeepers[1].Shots += 40; *d.Goalkeepers[1].Saves += 40 }, audit.GoalkeeperShots, "visitors", nil},
	{"shots below goals", func(d *report.Document) { d.Shots[0].Shots = 0 }, audit.ShotsBelowGoals, "home", also(audit.TotalWrong, audit.GoalkeeperShots)},
	{"a skater in goal", func(d *report.Document) { d.Changes[0].Number = "14" }, audit.GoalkeeperListed, "change 0", also(audit.GoalGoalkeeper)},
	{"two goalkeepers at once", func(d *report.Document) {
		d.Changes = slices.Insert(d.Changes, 1, report.GoalkeeperLog{Entry: "second", At: d.Changes[0].At, Side: entry.Home, Number: "31"})
	}, audit.GoalkeepersTwo, "second", also(audit.GoalGoalkeeper)},

	{"number twice on the roster", func(d *report.Document) { d.Teams[0].Players[3].Number = d.Teams[0].Players[2].Number }, audit.NumberTwice, "home", also(audit.NumberUnlisted)},
	{"two captains", func(d *report.Document) { d.Teams[1].Players[0].Captain = true }, audit.CaptainsMany, "visitors", nil},
	{"three alternates", func(d *report.Document) {
		for i := range 3 {
			d.Teams[1].Players[i].Alternate = true
		}
	}, audit.AlternatesMany, "visitors", nil},
	{"a goalkeeper as captain", func(d *report.Document) {
		for i := range d.Teams[0].Players {
			p := &d.Teams[0].Players[i]
			p.Captain = p.Number == "1"
		}
	}, audit.CaptainKeeps, "home", nil},
	{"too many dressed", func(d *report.Document) { d.Division.Limits.Dressed = 10 }, audit.RosterLong, "home", nil},
	{"too few dressed", func(d *report.Document) { d.Division.Limits.LeastPlayers = 14 }, audit.RosterShort, "visitors", nil},
	{"too many time-outs", func(d *report.Document) {
		again := d.TimeOuts[0]
		again.Entry, again.At = "again", at(3, 60)
		d.TimeOuts = append(d.TimeOuts, again)
	}, audit.TimeOutsMany, "again", nil},
	{"overtime of a game that was not tied", func(d *report.Document) { d.Goals = d.Goals[:7] }, audit.OvertimeUntied, "", also(audit.TotalWrong, audit.ScoreWrong, audit.PlayerTotal, audit.GoalkeeperGoals, audit.ShootOutUntied)},
	{"winner of the shoot-out", func(d *report.Document) { d.ShootOut.Winner = entry.Visitors }, audit.ShootOutWinner, "visitors", also(audit.ScoreWrong)},
	{"shooter not on the roster", func(d *report.Document) { d.Attempts[1].Player = "88" }, audit.NumberUnlisted, "attempt 1", nil},
}

func also(kinds ...audit.Kind) []audit.Kind { return kinds }

func at(period, second int) report.Stamp {
	abs := entry.Clock(0, (period-1)*15*60+second)
	return report.Stamp{Period: period, Elapsed: entry.Clock(0, second), Left: entry.Clock(15, -second), Abs: abs}
}

func player(d *report.Document, side int, number entry.Jersey) *report.Player {
	list := d.Totals.Sides[side].Players
	return &list[slices.IndexFunc(list, func(p report.Player) bool { return p.Number == number })]
}

// place returns the entry or the side that a mistake was planted at.
func place(d report.Document, where string) string {
	what, n, found := strings.Cut(where, " ")
	if !found {
		return where
	}
	i := int(n[0] - '0')
	if len(n) > 1 {
		i = i*10 + int(n[1]-'0')
	}
	switch what {
	case "goal":
		return d.Goals[i].Entry
	case "penalty":
		return d.Penalties[i].Entry
	case "change":
		return d.Changes[i].Entry
	default:
		return d.Attempts[i].Entry
	}
}

// TestPlantedMistakesAreFound plants each mistake in the whole game.
func TestPlantedMistakesAreFound(t *testing.T) {
	raw, err := json.Marshal(wholeDocument(t))
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[audit.Kind]bool{}
	for _, mistake := range planted {
		t.Run(mistake.name, func(t *testing.T) {
			var good, d report.Document
			for _, to := range []*report.Document{&good, &d} {
				if err := json.Unmarshal(raw, to); err != nil {
					t.Fatal(err)
				}
			}
			mistake.plant(&d)
			findings, err := audit.Check(audit.SheetOf(d))
			if err != nil {
				t.Fatal(err)
			}
			found, want := false, place(good, mistake.where)
			for i, f := range findings {
				there := want == "" || f.Where.Entry == want || string(f.Where.Side) == want
				switch {
				case f.Kind == mistake.kind && there:
					found = true
				case f.Kind == mistake.kind || slices.Contains(mistake.also, f.Kind):
				default:
					t.Errorf("not planted: %s", words(findings)[i])
				}
			}
			if !found {
				t.Errorf("%s at %s was not found: %s", mistake.kind, mistake.where, strings.Join(words(findings), "\n"))
			}
			kinds[mistake.kind] = true
		})
	}
	t.Logf("mistakes planted: %d, of %d kinds", len(planted), len(kinds))
}
