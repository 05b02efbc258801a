package main

import (
	"cmp"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/message"
	"whistlestop/internal/paper/tables"
	"whistlestop/internal/wording"
	"whistlestop/record/report"
	"whistlestop/season/figures"
	"whistlestop/season/results"
	"whistlestop/season/schedule"
	"whistlestop/season/standings"
	"whistlestop/season/suspensions"
	"whistlestop/season/tally"
)

type seasonCommand struct {
	Standings standingsCommand `cmd:""`
	Rounds    roundsCommand    `cmd:""`
	Suspended suspendedCommand `cmd:"" name:"suspensions" aliases:"suspended"`
	Changes   changesCommand   `cmd:""`
	HandIn    handInCommand    `cmd:"" name:"hand-in"`
	Schedule  scheduleCommand  `cmd:""`
	Check     conflictsCommand `cmd:""`
	Change    changeCommand    `cmd:""`
	Export    exportCommand    `cmd:""`
	Keep      keepCommand      `cmd:""`
	Figures   figuresCommand   `cmd:""`
}

// season answers the command that was asked for.
func (p *Program) season(command string, c seasonCommand) error {
	switch {
	case strings.HasPrefix(command, "season rounds"):
		return p.rounds(c.Rounds)
	case strings.HasPrefix(command, "season hand-in"):
		return p.handIn(c.HandIn)
	case strings.HasPrefix(command, "season changes"):
		return p.changes(c.Changes)
	case strings.HasPrefix(command, "season suspensions"), strings.HasPrefix(command, "season suspended"):
		return p.suspended(c.Suspended)
	case strings.HasPrefix(command, "season figures"):
		return p.figures(c.Figures)
	case strings.HasPrefix(command, "season keep"):
		return p.keepSeason(c.Keep)
	case strings.HasPrefix(command, "season schedule"):
		return p.schedule(c.Schedule)
	case strings.HasPrefix(command, "season check"):
		return p.conflicts(c.Check)
	case strings.HasPrefix(command, "season change"):
		return p.change(c.Change)
	case strings.HasPrefix(command, "season export"):
		return p.export(c.Export)
	}
	return p.standings(c.Standings)
}

type standingsCommand struct {
	seasonFolder
	Procedure string `default:"iihf"`
	At        string
	Pick      []string
	Chances   bool
}

type figuresCommand struct {
	seasonFolder
	Of      string
	JSON    bool
	Leaders bool
	Minutes int // 0: as the league file says, or 60
}

type roundsCommand struct {
	Teams []string `arg:""`
	Twice bool
}

// rounds prints a round robin of the teams.
func (p *Program) rounds(c roundsCommand) error {
	rounds, err := schedule.RoundRobin(len(c.Teams))
	if err != nil {
		return message.New("command.rounds.teams", "count", strconv.Itoa(len(c.Teams)))
	}
	if c.Twice {
		rounds = schedule.Twice(rounds)
	}
	return tables.CSV.Write(p.Out, wording.Rounds(p.words, c.Teams, rounds))
}

type suspendedCommand struct {
	seasonFolder
	Game  string
	Book  string `default:"usah"`
	Adult bool
}

// suspended prints what was earned, which games it took, and what is owed.
func (p *Program) suspended(c suspendedCommand) error {
	if c.League != "" {
		return p.leagueSuspensions(c)
	}
	ready := suspensions.Books()
	book, known := ready[c.Book]
	if !known {
		text, err := os.ReadFile(c.Book)
		if err != nil {
			return message.New("command.suspended.book", "id", c.Book, "known", strings.Join(slices.Sorted(maps.Keys(ready)), ", "))
		}
		own, err := suspensions.ReadBooks(text, filepath.Base(c.Book))
		if err != nil {
			return err
		}
		for _, id := range slices.Sorted(maps.Keys(own)) {
			book = own[id]
		}
	}
	reports, err := p.reports(c.seasonFolder)
	if err != nil {
		return err
	}
	result, err := suspensions.Work(results.Suspensions(reports, c.Adult), book)
	if err != nil {
		return err
	}
	p.lines(wording.Earned(p.words, result))
	return nil
}

// seasonFolder is which games a season command counts.
type seasonFolder struct {
	Folder   string `arg:"" type:"existingdir"`
	Division string
	seasonFiles
}

// seasonFiles is what makes a folder of games a league's season.
type seasonFiles struct {
	League    string `type:"existingfile"`
	Schedule  string `type:"existingfile"`
	Decisions string `type:"existingfile"`
}

// standings prints the table of a folder of games.
func (p *Program) standings(c standingsCommand) error {
	if c.League != "" {
		return p.leagueStandings(c)
	}
	procedure, err := procedureOf(c.Procedure)
	if err != nil {
		return err
	}
	reports, err := p.reports(c.seasonFolder)
	if err != nil {
		return err
	}
	var games []standings.Game
	for _, document := range reports {
		game, _ := results.Of(document)
		games = append(games, game)
	}
	table, err := standings.Rank(results.Teams(games), games, procedure, standings.Given{})
	if err != nil {
		return err
	}
	return p.writeTable(table)
}

// reports reads the finished games of a folder, all of one division. Games that were
// not ended are named and left out.
func (p *Program) reports(c seasonFolder) ([]report.Document, error) {
	var reports []report.Document
	divisions := map[string]bool{}
	err := eachGame(c.Folder, func(file string, document report.Document) error {
		switch {
		case c.Division != "" && document.Head.Division != c.Division:
		case !document.Finished:
			p.line("command.standings.left_out", "file", filepath.Base(file))
		default:
			divisions[document.Head.Division] = true
			reports = append(reports, document)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if len(reports) == 0 {
		return nil, message.New("command.standings.no_games", "folder", c.Folder)
	}
	if len(divisions) > 1 {
		return nil, message.New("command.standings.division", "divisions", strings.Join(slices.Sorted(maps.Keys(divisions)), ", "))
	}
	return reports, nil
}

// eachGame hands over the report of every ledger of a folder, by the files' names.
func eachGame(folder string, take func(file string, document report.Document) error) error {
	files, err := filepath.Glob(filepath.Join(folder, "*.jsonl"))
	if err != nil {
		return err
	}
	for _, file := range files {
		ledger, _, err := readGame(file)
		if err != nil {
			return cannotRead(file, err)
		}
		document, err := report.Build(ledger, report.Options{})
		if err != nil {
			return cannotRead(file, err)
		}
		if err := take(file, document); err != nil {
			return err
		}
	}
	return nil
}

// figures prints what the players and goalkeepers of a folder of games did.
func (p *Program) figures(c figuresCommand) error {
	if c.League != "" {
		return p.leagueFigures(c)
	}
	reports, err := p.reports(c.seasonFolder)
	if err != nil {
		return err
	}
	season := figures.New()
	for _, document := range reports {
		season.Add(results.Figures(document))
	}
	minutes := cmp.Or(c.Minutes, 60)
	if c.Leaders {
		return p.writeLeaders(folderLeaders(season, minutes), nil, nil)
	}
	return p.writeFigures(minutes, season.Skaters(), season.Keepers())
}

// writeFigures prints players' and goalkeepers' lines.
func (p *Program) writeFigures(minutes int, skaters []figures.SkaterLine, keepers []figures.KeeperLine) error {
	if err := tables.Text.Write(p.Out, wording.Skaters(p.words, skaters)); err != nil {
		return err
	}
	p.lines([]string{""})
	return tables.Text.Write(p.Out, wording.Keepers(p.words, keepers, minutes))
}

// procedureOf finds a ready-made procedure, or the only one of a file.
func procedureOf(name string) (standings.Procedure, error) {
	ready := standings.Procedures()
	if procedure, known := ready[name]; known {
		return procedure, nil
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return standings.Procedure{}, message.New("command.standings.procedure", "id", name, "known", strings.Join(slices.Sorted(maps.Keys(ready)), ", "))
	}
	own, err := standings.ReadProcedures(text, filepath.Base(name))
	if err != nil {
		return standings.Procedure{}, err
	}
	for _, id := range slices.Sorted(maps.Keys(own)) {
		return own[id], nil
	}
	return standings.Procedure{}, message.New("command.standings.procedure", "id", name, "known", strings.Join(slices.Sorted(maps.Keys(ready)), ", "))
}

// writeTable prints a table that no league has, and why it is so.
func (p *Program) writeTable(table standings.Table) error {
	var places []tally.Place
	for _, placed := range table.Places {
		places = append(places, wording.PlaceOf(placed))
	}
	if err := tables.Text.Write(p.Out, wording.Places(p.words, places)); err != nil {
		return err
	}
	p.lines(wording.Ties(p.words, table))
	return nil
}
