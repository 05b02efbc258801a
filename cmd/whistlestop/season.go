package main

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"whistlestop/game/message"
	"whistlestop/record/report"
	"whistlestop/season/figures"
	"whistlestop/season/results"
	"whistlestop/season/schedule"
	"whistlestop/season/standings"
	"whistlestop/season/suspensions"
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
	out := csv.NewWriter(p.Out)
	lines := [][]string{{p.words.say("command.rounds.round"), p.words.say("command.rounds.home"), p.words.say("command.rounds.visitors")}}
	for r, round := range rounds {
		for _, game := range round {
			lines = append(lines, []string{strconv.Itoa(r + 1), c.Teams[game.Home], c.Teams[game.Away]})
		}
	}
	return out.WriteAll(lines)
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
	if len(result.Earned) == 0 {
		p.line("command.suspended.none")
	}
	for _, one := range result.Earned {
		if one.Ruling {
			p.line("command.suspended.ruling", "who", one.Who, "why", one.Why)
			continue
		}
		p.line("command.suspended.earned", "who", one.Who, "games", strconv.Itoa(one.Games), "why", one.Why)
	}
	for _, who := range slices.Sorted(maps.Keys(result.Owed)) {
		p.line("command.suspended.owed", "who", who, "games", strconv.Itoa(result.Owed[who]))
	}
	p.line("command.suspended.least")
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
			fmt.Fprintln(p.Out, p.words.say("command.standings.left_out", "file", filepath.Base(file)))
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
	title := func(keys ...string) string {
		texts := make([]string, len(keys))
		for i, key := range keys {
			texts[i] = p.words.say("command.figures." + key)
		}
		return strings.Join(texts, "\t")
	}
	out := tabwriter.NewWriter(p.Out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(out, title("player", "team", "played", "goals", "assists", "points", "minutes", "plus_minus", "power_play", "short_handed", "winning"))
	for _, l := range skaters {
		fmt.Fprintf(out, "%s\t%s\t%d\t%d\t%d\t%d\t%d\t%+d\t%d\t%d\t%d\n", l.Who, l.Team, l.Played, l.Goals, l.Assists, l.Points(),
			l.Minutes, l.PlusMinus(), l.PowerPlay, l.ShortHanded, l.Winning)
	}
	fmt.Fprintln(out)
	fmt.Fprintln(out, title("keeper", "team", "played", "won", "lost", "late_lost", "drawn", "shutouts", "time", "shots", "against", "save_share", "average"))
	for _, l := range keepers {
		share, average := "–", "–"
		if n, has := l.SaveShare(); has {
			share = thousandths(n)
		}
		if n, has := l.Average(minutes); has {
			average = thousandths(n)
		}
		fmt.Fprintf(out, "%s\t%s\t%d\t%d\t%d\t%d\t%d\t%d\t%d:%02d\t%d\t%d\t%s\t%s\n", l.Who, l.Team, l.Played, l.Wins, l.Losses,
			l.LateLosses, l.Draws, l.Shutouts, l.Seconds/60, l.Seconds%60, l.Shots, l.Against, share, average)
	}
	return out.Flush()
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

func (p *Program) writeTable(table standings.Table) error {
	title := func(key string) string { return p.words.say("command.standings." + key) }
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
		fmt.Fprintln(p.Out, p.words.sentence(say))
	}
	for _, teams := range table.Equal {
		say := standings.SayEqual(teams, name)
		fmt.Fprintln(p.Out, p.words.sentence(say))
	}
	return nil
}
