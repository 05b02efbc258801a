package counted

import (
	"context"
	"encoding/json"
	"strings"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/season/league"
	"whistlestop/season/tally"
)

// Plan is what of a season says how old the players of a game are.
type Plan struct {
	League   *league.League    // nil: there is none that can be used
	Division map[string]string // of a game, by its id in the schedule
}

// NameStore is where names are kept, and what an association turned on.
type NameStore interface {
	Lines(ctx context.Context, at ledgers.Where, after, most int) ([]ledgers.Line, error)
	Names(ctx context.Context, at ledgers.Where) ([]ledgers.Name, error)
	NamedGames(ctx context.Context, association string) ([]string, error)
	ForgetNames(ctx context.Context, at ledgers.Where, commitments []string) error
	Switches(ctx context.Context, association string) (map[office.Switch]bool, error)
}

// Names says how the players of an association's games are named where everybody looks.
// What it says of a game follows from the division that the season has it in; a game that
// the season does not know has numbers. It is safe for use by many goroutines.
type Names struct {
	Association string
	Store       NameStore
	Plan        func(ctx context.Context) (Plan, error)
	Now         func() entry.Millis

	mutex    sync.Mutex
	openings map[string]opening
	looked   entry.Millis
	plan     Plan
	initials bool
	asked    bool
}

// opening is what a game's first entry says of its division and its day.
type opening struct {
	schedule, division, home, visitors string
	at                                 entry.Millis
}

// Times and bounds (ours).
const (
	planLook     = 1000 // milliseconds for which plan and switch hold without asking
	openingsMost = 5000
)

// How long after a game was opened its players are shown by first name and initial, in
// milliseconds: a season, which comes around once a year, and 90 days (ours). While a bench
// or the hub has a clock by which a game is to be opened in a day or later, its players have
// numbers, and nothing is forgotten: the clock may be put right.
const (
	InitialsLast = entry.Millis((365 + 90) * day)
	day          = 24 * time.Hour / time.Millisecond
)

// initialsOver reports whether that time of a game is over.
func (at opening) initialsOver(now entry.Millis) bool { return now-at.at >= InitialsLast }

// isToCome reports whether a game was opened after now, so that one of two clocks is wrong.
func (at opening) isToCome(now entry.Millis) bool { return at.at-now > entry.Millis(day) }

// Naming is how the players of a game are named.
func (n *Names) Naming(ctx context.Context, game string) (league.Shown, error) {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	now := n.Now()
	if !n.asked || now-n.looked >= planLook || now < n.looked {
		plan, err := n.Plan(ctx)
		if err != nil {
			return league.ByNumber, err
		}
		on, err := n.Store.Switches(ctx, n.Association)
		if err != nil {
			return league.ByNumber, err
		}
		n.plan, n.initials, n.looked, n.asked = plan, on[office.Initials], now, true
	}
	if n.plan.League == nil {
		return league.ByNumber, nil
	}
	at, known := n.openings[game]
	if !known {
		var err error
		if at, known, err = n.opening(ctx, game); err != nil || !known {
			return league.ByNumber, err
		}
		if n.openings == nil || len(n.openings) >= openingsMost {
			n.openings = map[string]opening{}
		}
		n.openings[game] = at
	}
	naming := n.plan.naming(at, n.initials)
	if naming == league.ByInitial && (at.initialsOver(now) || at.isToCome(now)) {
		return league.ByNumber, nil
	}
	return naming, nil
}

// DropEnded takes out the short names of games for which their time is over, and returns
// those games. It is meant to be asked once a day.
func (n *Names) DropEnded(ctx context.Context) (games []string, err error) {
	list, err := n.Store.NamedGames(ctx, n.Association)
	if err != nil {
		return nil, err
	}
	for _, game := range list {
		opened, known, err := n.opening(ctx, game)
		if err != nil {
			return games, err
		}
		if !known || !opened.initialsOver(n.Now()) {
			continue
		}
		at := ledgers.Where{Association: n.Association, Game: game}
		names, err := n.Store.Names(ctx, at)
		if err != nil {
			return games, err
		}
		var over []string
		for _, one := range names {
			if one.Naming == string(league.ByInitial) {
				over = append(over, one.Commitment)
			}
		}
		if len(over) == 0 {
			continue
		}
		if err := n.Store.ForgetNames(ctx, at, over); err != nil {
			return games, err
		}
		games = append(games, game)
	}
	return games, nil
}

// opening reads the first entry of a game.
func (n *Names) opening(ctx context.Context, game string) (at opening, known bool, err error) {
	lines, err := n.Store.Lines(ctx, ledgers.Where{Association: n.Association, Game: game}, 0, 1)
	if err != nil || len(lines) == 0 {
		return at, false, err
	}
	e, err := entry.ReadLine(lines[0].Bytes)
	if err != nil {
		return at, false, nil // nothing of it can be shown
	}
	body, is := e.Body.(entry.GameOpened)
	if !is {
		return at, false, nil
	}
	var division rulebook.Division
	if err := json.Unmarshal(body.Division, &division); err != nil {
		return at, false, nil
	}
	return opening{
		schedule: body.Schedule, division: division.ID, home: strings.TrimSpace(body.Home.Name), visitors: strings.TrimSpace(body.Visitors.Name),
		at: e.Wall,
	}, true, nil
}

// naming is that of a game. Of several divisions that it may be of the strictest counts.
func (p Plan) naming(at opening, initials bool) league.Shown {
	if id, planned := p.Division[at.schedule]; planned && at.schedule != "" {
		d, known := p.League.Division(id)
		if !known {
			return league.ByNumber
		}
		return d.Shown(initials)
	}
	order := map[league.Shown]int{league.ByNumber: 0, league.ByInitial: 1, league.ByName: 2}
	found, least := false, league.ByName
	for _, d := range p.League.Divisions {
		if d.Plays != at.division || !plays(d, at.home) || !plays(d, at.visitors) {
			continue
		}
		found = true
		if one := d.Shown(initials); order[one] < order[least] {
			least = one
		}
	}
	if !found {
		return league.ByNumber
	}
	return least
}

func plays(d league.Division, team string) bool {
	for _, t := range d.Teams {
		if strings.TrimSpace(t.Name) == team {
			return true
		}
	}
	return false
}

// Of is the names of a game's players by their commitments, as everybody may be shown
// them now; nil: they have numbers.
func (n *Names) Of(ctx context.Context, game string) (map[string]string, error) {
	naming, err := n.Naming(ctx, game)
	if err != nil || naming == league.ByNumber {
		return nil, err
	}
	list, err := n.Store.Names(ctx, ledgers.Where{Association: n.Association, Game: game})
	if err != nil || len(list) == 0 {
		return nil, err
	}
	names := map[string]string{}
	for _, one := range list {
		switch {
		case one.Naming == string(naming):
			names[one.Commitment] = one.Text
		case naming == league.ByInitial && one.Naming == string(league.ByName): // the division has younger players by now
			names[one.Commitment] = league.ByInitial.Shorten(one.Text)
		}
	}
	return names, nil
}

// Sheet is the numbers of a team's players by the commitments of their names.
type Sheet map[entry.Jersey]string

// sheets are those of a ledger, without players whose name was taken out.
func sheets(ledger []entry.Entry) (out [2]Sheet, err error) {
	shown := make([]entry.Entry, len(ledger))
	for i, e := range ledger {
		shown[i] = e.ShownWith(func(what entry.Text, commitment string) string {
			if what == entry.TextPlayer {
				return commitment
			}
			return what.Gone()
		})
	}
	state, err := rules.Fold(shown)
	if err != nil {
		return out, err
	}
	for side, team := range state.Teams {
		out[side] = Sheet{}
		for _, p := range team.Players {
			if p.Name != "" && !team.IsWithdrawn(p.Number) {
				out[side][p.Number] = p.Name
			}
		}
	}
	return out, nil
}

// Who is somebody of a team by what a season calls them without a name.
type Who struct{ Team, Number string }

// Named is the names of a season's players as everybody may be shown them now: those of
// each team's newest sheet that has one. Games are in the order of the season.
func (g *Games) Named(ctx context.Context, games []tally.Game, names *Names) (map[Who]string, error) {
	out := map[Who]string{}
	for _, one := range games {
		if one.Result == nil || one.Result.Ledger == "" {
			continue
		}
		texts, err := names.Of(ctx, one.Result.Ledger)
		if err != nil {
			return nil, err
		}
		if len(texts) == 0 {
			continue
		}
		ledger, err := g.Ledger(ctx, one.Result.Ledger)
		if err != nil {
			return nil, err
		}
		lists, err := sheets(ledger)
		if err != nil {
			return nil, err
		}
		for side, team := range []string{one.Home, one.Visitors} {
			for number, commitment := range lists[side] {
				if text := texts[commitment]; text != "" {
					out[Who{team, "#" + string(number)}] = text
				}
			}
		}
	}
	return out, nil
}
