package main

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"

	"whistlestop/game/rules"
	"whistlestop/internal/locale"
	"whistlestop/record/report"
	"whistlestop/season/results"
	"whistlestop/season/standings"
)

type seasonCommand struct {
	Standings standingsCommand `cmd:"" help:"Print the table of a folder of games, and why each two teams stand as they do."`
}

type standingsCommand struct {
	Folder    string `arg:"" help:"Folder with the ledgers of the games, as the bench exports them." type:"existingdir"`
	Procedure string `help:"How the league ranks: a ready-made procedure, or a file of your own with one." default:"iihf"`
	Division  string `help:"Only the games of this division."`
}

// standings prints the table of a folder of games. Games that were not ended are
// named and left out.
func (p *Program) standings(c standingsCommand) error {
	procedure, err := procedureOf(c.Procedure)
	if err != nil {
		return err
	}
	files, err := filepath.Glob(filepath.Join(c.Folder, "*.jsonl"))
	if err != nil {
		return err
	}
	var games []standings.Game
	divisions := map[string]bool{}
	for _, file := range files {
		ledger, _, err := readGame(file)
		if err != nil {
			return cannotRead(file, err)
		}
		document, err := report.Build(ledger, report.Options{})
		if err != nil {
			return cannotRead(file, err)
		}
		if c.Division != "" && document.Head.Division != c.Division {
			continue
		}
		game, finished := results.Of(document)
		if !finished {
			fmt.Fprintln(p.Out, locale.English().Text("command.standings.left_out", rules.Pairs("file", filepath.Base(file))))
			continue
		}
		divisions[document.Head.Division] = true
		games = append(games, game)
	}
	if len(games) == 0 {
		return &sayError{"command.standings.no_games", []string{"folder", c.Folder}}
	}
	if len(divisions) > 1 {
		return &sayError{"command.standings.division", []string{"divisions", strings.Join(slices.Sorted(maps.Keys(divisions)), ", ")}}
	}
	table, err := standings.Rank(results.Teams(games), games, procedure, standings.Given{})
	if err != nil {
		return err
	}
	return p.writeTable(table)
}

// procedureOf finds a ready-made procedure, or the only one of a file.
func procedureOf(name string) (standings.Procedure, error) {
	ready := standings.Procedures()
	if procedure, known := ready[name]; known {
		return procedure, nil
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return standings.Procedure{}, &sayError{"command.standings.procedure", []string{
			"id", name, "known", strings.Join(slices.Sorted(maps.Keys(ready)), ", "),
		}}
	}
	own, err := standings.ReadProcedures(text, filepath.Base(name))
	if err != nil {
		return standings.Procedure{}, err
	}
	for _, id := range slices.Sorted(maps.Keys(own)) {
		return own[id], nil
	}
	return standings.Procedure{}, &sayError{"command.standings.procedure", []string{
		"id", name, "known", strings.Join(slices.Sorted(maps.Keys(ready)), ", "),
	}}
}

func (p *Program) writeTable(table standings.Table) error {
	words := locale.English()
	title := func(key string) string { return words.Text("command.standings."+key, nil) }
	out := tabwriter.NewWriter(p.Out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(out, strings.Join([]string{
		title("place"), title("team"), title("played"), title("wins"), title("late_wins"), title("draws"),
		title("losses"), title("late_losses"), title("goals"), title("points"),
	}, "\t"))
	for _, placed := range table.Places {
		r := placed.Row
		fmt.Fprintf(out, "%d\t%s\t%d\t%d\t%d, %d\t%d\t%d\t%d, %d\t%d-%d\t%d\n", placed.Place, placed.Team, r.Played,
			r.Wins(), r.OvertimeWins, r.ShootOutWins, r.Draws, r.Losses(), r.OvertimeLosses, r.ShootOutLosses,
			r.GoalsFor, r.GoalsAgainst, r.Points)
	}
	if err := out.Flush(); err != nil {
		return err
	}
	name := func(team standings.Team) string { return string(team) }
	for _, reason := range table.Why() {
		say := reason.Say(name)
		fmt.Fprintln(p.Out, words.Text(say.Key, say.Args))
	}
	for _, teams := range table.Equal {
		say := standings.SayEqual(teams, name)
		fmt.Fprintln(p.Out, words.Text(say.Key, say.Args))
	}
	return nil
}
