package report_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

// planted are mistakes that people make, each planted in a good report. Kind is
// what the audit has to call it, at where; also are what follows from it.
var planted = []struct {
	name  string
	plant func(d *report.Document)
	kind  report.Kind
	where string // entry or side of the finding, and its period
	also  []report.Kind
}{
	{"power-play goal written as even", func(d *report.Document) { d.Goals[1].Class = rules.EvenStrength }, report.GoalClass, "goal 1", also(report.TotalWrong)},
	{"even goal written as power play", func(d *report.Document) { d.Goals[0].Class = rules.PowerPlay }, report.GoalClass, "goal 0", also(report.TotalWrong)},
	{"short-handed goal written as even", func(d *report.Document) { d.Goals[3].Class = rules.EvenStrength }, report.GoalClass, "goal 3", nil},
	{"score after a goal", func(d *report.Document) { d.Goals[2].Score = [2]int{2, 2} }, report.GoalScore, "goal 2", nil},
	{"final score", func(d *report.Document) { d.Score.Final[0] = 6 }, report.ScoreWrong, "home", nil},
	{"goals of a period", func(d *report.Document) { d.Periods[0].Goals[1] = 3 }, report.TotalWrong, "visitors", nil},
	{"goals of the game", func(d *report.Document) { d.Totals.Sides[0].Goals = 3 }, report.TotalWrong, "home", nil},
	{"shots of a period", func(d *report.Document) { d.Periods[1].Shots[0] = 12 }, report.TotalWrong, "home", nil},
	{"penalty minutes of a side", func(d *report.Document) { d.Totals.Sides[1].PenaltyMinutes += entry.Clock(2, 0) }, report.TotalWrong, "visitors", nil},
	{"number of penalties", func(d *report.Document) { d.Totals.Sides[1].Penalties = 2 }, report.TotalWrong, "visitors", nil},
	{"power-play goals of a side", func(d *report.Document) { d.Totals.Sides[0].PowerPlays.Goals = 3 }, report.TotalWrong, "home", nil},
	{"power plays of a side", func(d *report.Document) { d.Totals.Sides[0].PowerPlays.Chances = 5 }, report.TotalWrong, "home", nil},
	{"a player's goals", func(d *report.Document) { player(d, 0, "9").Goals = 1 }, report.PlayerTotal, "home", nil},
	{"a player's assists", func(d *report.Document) { player(d, 1, "10").Assists = 3 }, report.PlayerTotal, "visitors", nil},
	{"a player's penalty minutes", func(d *report.Document) { player(d, 0, "17").PenaltyMinutes = entry.Clock(2, 0) }, report.PlayerTotal, "home", nil},

	{"third assist", func(d *report.Document) { d.Goals[1].Assists = append(d.Goals[1].Assists, "16") }, report.AssistsMany, "goal 1", also(report.PlayerTotal)},
	{"assist to the own goal", func(d *report.Document) { d.Goals[0].Assists = []entry.Jersey{"9"} }, report.AssistSelf, "goal 0", also(report.PlayerTotal)},
	{"both assists to one player", func(d *report.Document) { d.Goals[1].Assists = []entry.Jersey{"9", "9"} }, report.AssistTwice, "goal 1", also(report.PlayerTotal)},
	{"scorer not on the roster", func(d *report.Document) { d.Goals[0].Scorer = "77" }, report.NumberUnlisted, "goal 0", also(report.PlayerTotal)},
	{"assist not on the roster", func(d *report.Document) { d.Goals[0].Assists[0] = "77" }, report.NumberUnlisted, "goal 0", also(report.PlayerTotal)},
	{"scorer missing", func(d *report.Document) { d.Goals[0].Scorer = "" }, report.ScorerMissing, "goal 0", also(report.PlayerTotal)},
	{"assist missing", func(d *report.Document) { d.Goals[0].Assists[0] = "" }, report.AssistMissing, "goal 0", also(report.PlayerTotal)},
	{"suspended player scores", func(d *report.Document) { d.Goals[5].Scorer = "27" }, report.AwayTakesPart, "goal 5", also(report.PlayerTotal)},
	{"scorer in the box", func(d *report.Document) { d.Goals[4].Scorer = "2"; d.Goals[4].At = at(2, 150) }, report.InBox, "goal 4", also(report.PlayerTotal, report.GoalClass, report.OutOfOrder, report.GoalScore, report.CalledInBox, report.StartTime, report.ReleaseTime, report.TotalWrong)},
	{"scorer was sent off", func(d *report.Document) { d.Goals[6].Scorer = "3" }, report.OutTakesPart, "goal 6", also(report.PlayerTotal)},
	{"two goals at one time", func(d *report.Document) { d.Goals[7].At = d.Goals[6].At }, report.GoalTwice, "goal 7", also(report.GoalGoalkeeper, report.EmptyNetUnsaid, report.ReleaseTime)},
	{"goal beyond the period", func(d *report.Document) { d.Goals[7].At = at(3, 15*60+40) }, report.TimeOutside, "goal 7", also(report.EmptyNetUnsaid)},
	{"goal in a period that was not played", func(d *report.Document) { d.Goals[7].At = at(7, 60) }, report.PeriodUnknown, "goal 7", also(report.TotalWrong, report.EmptyNetUnsaid, report.GoalAfterEnd, report.OvertimeUntied, report.ShootOutUntied)},
	{"goals out of order", func(d *report.Document) { d.Goals[6], d.Goals[7] = d.Goals[7], d.Goals[6] }, report.OutOfOrder, "goal 6", also(report.GoalScore)},
	{"goal after the goal that ended the game", func(d *report.Document) {
		d.Goals[6].At, d.Goals[7].At = at(4, 30), at(4, 60)
	}, report.GoalAfterEnd, "goal 7", also(report.TotalWrong, report.ShotsBelowGoals, report.OvertimeUntied, report.ShootOutUntied, report.GoalkeeperTime, report.EmptyNetUnsaid)},
	{"goal written on the other goalkeeper", func(d *report.Document) { d.Goals[0].Goalkeeper = "31" }, report.GoalGoalkeeper, "goal 0", nil},
	{"goal marked as into an empty net", func(d *report.Document) { d.Goals[0].EmptyNet = true }, report.EmptyNetKept, "goal 0", also(report.GoalkeeperGoals)},
	{"empty net not marked", func(d *report.Document) { d.Goals[6].At = at(3, 13*60+50) }, report.EmptyNetUnsaid, "goal 6", also(report.GoalkeeperGoals, report.GoalGoalkeeper)},
	{"assist on a penalty shot", func(d *report.Document) { d.Goals[0].On = entry.OnPenaltyShot }, report.ShotAssisted, "goal 0", nil},
	{"assist on an own goal", func(d *report.Document) { d.Goals[0].OwnGoal = true }, report.OwnAssisted, "goal 0", also(report.GoalkeeperSaves)},
	{"scorer not on the ice", func(d *report.Document) { d.Goals[2].OnIce[0] = []entry.Jersey{"1", "7", "9", "8", "11"} }, report.OnIceScorer, "goal 2", nil},
	{"seven on the ice", func(d *report.Document) { d.Goals[2].OnIce[0] = append(d.Goals[2].OnIce[0], "14") }, report.OnIceMany, "goal 2", nil},

	{"minutes of a minor", func(d *report.Document) { d.Penalties[0].Charged = entry.Clock(4, 0) }, report.Minutes, "penalty 0", also(report.TotalWrong, report.PlayerTotal)},
	{"minutes of a game misconduct", func(d *report.Document) { d.Penalties[12].Charged = entry.Clock(20, 0) }, report.Minutes, "penalty 12", also(report.TotalWrong, report.PlayerTotal)},
	{"release of a minor that a goal ended", func(d *report.Document) { s := at(1, 360); d.Penalties[0].End, d.Penalties[0].On = &s, &s }, report.ReleaseTime, "penalty 0", nil},
	{"release of a minor that no goal ended", func(d *report.Document) { s := at(1, 580); d.Penalties[2].End, d.Penalties[2].On = &s, &s }, report.ReleaseTime, "penalty 2", nil},
	{"start of a waiting penalty", func(d *report.Document) { s := at(1, 540); d.Penalties[3].Start = &s }, report.StartTime, "penalty 3", nil},
	{"penalised player missing", func(d *report.Document) { d.Penalties[1].Player = "" }, report.PlayerMissing, "penalty 1", also(report.PlayerTotal)},
	{"call missing", func(d *report.Document) { d.Penalties[1].Call = "" }, report.CallMissing, "penalty 1", nil},
	{"penalised player not on the roster", func(d *report.Document) { d.Penalties[1].Player = "77" }, report.NumberUnlisted, "penalty 1", also(report.PlayerTotal)},
	{"penalised while in the box", func(d *report.Document) { d.Penalties[2].Player = "6" }, report.CalledInBox, "penalty 2", also(report.PlayerTotal, report.GoalClass, report.StartTime, report.ReleaseTime, report.TotalWrong)},
	{"nobody serves for the bench", func(d *report.Document) { d.Penalties[10].ServedBy = "" }, report.ServerMissing, "penalty 10", nil},
	{"whoever serves sits already", func(d *report.Document) { d.Penalties[10].Off = at(2, 360); d.Penalties[10].ServedBy = "11" }, report.ServerSits, "penalty 10", also(report.StartTime, report.ReleaseTime, report.OutOfOrder, report.GoalClass, report.TotalWrong)},
	{"a goalkeeper serves", func(d *report.Document) { d.Penalties[10].ServedBy = "31" }, report.ServerKeeps, "penalty 10", nil},
	{"three majors and no game misconduct", func(d *report.Document) {
		for i := range d.Penalties {
			if p := &d.Penalties[i]; i == 1 || i == 2 || i == 14 {
				p.Kind, p.Player, p.Charged = entry.Major, "16", entry.Clock(5, 0)
				p.Start, p.End, p.On = nil, nil, nil
			}
		}
	}, report.EjectionUnsaid, "penalty 14", also(report.TotalWrong, report.PlayerTotal, report.GoalClass, report.StartTime, report.ReleaseTime, report.CalledInBox, report.InBox)},

	{"time of a goalkeeper", func(d *report.Document) { d.Goalkeepers[0].Time += entry.Clock(5, 0) }, report.GoalkeeperTime, "home", nil},
	{"saves of a goalkeeper", func(d *report.Document) { *d.Goalkeepers[1].Saves++ }, report.GoalkeeperSaves, "visitors", nil},
	{"goals against a goalkeeper", func(d *report.Document) { d.Goalkeepers[1].GoalsAgainst = 1; *d.Goalkeepers[1].Saves++ }, report.GoalkeeperGoals, "visitors", nil},
	{"shots at a goalkeeper", func(d *report.Document) { *d.Goalkeepers[1].Shots += 40; *d.Goalkeepers[1].Saves += 40 }, report.GoalkeeperShots, "visitors", nil},
	{"shots below goals", func(d *report.Document) { d.Shots[0].Shots = 0 }, report.ShotsBelowGoals, "home", also(report.TotalWrong, report.GoalkeeperShots)},
	{"a skater in goal", func(d *report.Document) { d.Changes[0].Number = "14" }, report.GoalkeeperListed, "change 0", also(report.GoalGoalkeeper)},
	{"two goalkeepers at once", func(d *report.Document) {
		d.Changes = slices.Insert(d.Changes, 1, report.GoalkeeperLog{Entry: "second", At: d.Changes[0].At, Side: entry.Home, Number: "31"})
	}, report.GoalkeepersTwo, "second", also(report.GoalGoalkeeper)},

	{"number twice on the roster", func(d *report.Document) { d.Teams[0].Players[3].Number = d.Teams[0].Players[2].Number }, report.NumberTwice, "home", also(report.NumberUnlisted)},
	{"two captains", func(d *report.Document) { d.Teams[1].Players[0].Captain = true }, report.CaptainsMany, "visitors", nil},
	{"three alternates", func(d *report.Document) {
		for i := range 3 {
			d.Teams[1].Players[i].Alternate = true
		}
	}, report.AlternatesMany, "visitors", nil},
	{"a goalkeeper as captain", func(d *report.Document) {
		for i := range d.Teams[0].Players {
			p := &d.Teams[0].Players[i]
			p.Captain = p.Number == "1"
		}
	}, report.CaptainKeeps, "home", nil},
	{"too many dressed", func(d *report.Document) { d.Division.Limits.Dressed = 10 }, report.RosterLong, "home", nil},
	{"too few dressed", func(d *report.Document) { d.Division.Limits.LeastPlayers = 14 }, report.RosterShort, "visitors", nil},
	{"too many time-outs", func(d *report.Document) {
		again := d.TimeOuts[0]
		again.Entry, again.At = "again", at(3, 60)
		d.TimeOuts = append(d.TimeOuts, again)
	}, report.TimeOutsMany, "again", nil},
	{"overtime of a game that was not tied", func(d *report.Document) { d.Goals = d.Goals[:7] }, report.OvertimeUntied, "", also(report.TotalWrong, report.ScoreWrong, report.PlayerTotal, report.GoalkeeperGoals, report.ShootOutUntied)},
	{"winner of the shoot-out", func(d *report.Document) { d.ShootOut.Winner = entry.Visitors }, report.ShootOutWinner, "visitors", also(report.ScoreWrong)},
	{"shooter not on the roster", func(d *report.Document) { d.Attempts[1].Player = "88" }, report.NumberUnlisted, "attempt 1", nil},
}

func also(kinds ...report.Kind) []report.Kind { return kinds }

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
	kinds := map[report.Kind]bool{}
	for _, mistake := range planted {
		t.Run(mistake.name, func(t *testing.T) {
			var good, d report.Document
			for _, to := range []*report.Document{&good, &d} {
				if err := json.Unmarshal(raw, to); err != nil {
					t.Fatal(err)
				}
			}
			mistake.plant(&d)
			findings, err := report.Audit(report.SheetOf(d))
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
