package season

import (
	"context"
	"errors"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
)

// Guard is the games of a bench, of which a line-up with a suspended player is refused
// with the reason. Whoever has the referee's or the league's word posts a note that
// lets the player play, before or with the line-up. Without a season, or of a game that
// is on no schedule, nothing is refused.
func (s *Service) Guard(live api.Live) api.Live { return &guard{live, s} }

type guard struct {
	api.Live
	season *Service
}

// PostFrom refuses line-ups with somebody who must miss the game.
func (g *guard) PostFrom(c context.Context, game string, drafts []entry.Entry, from bench.Poster) (bench.Reply, error) {
	refused, err := g.refused(c, game, drafts)
	if err != nil {
		return bench.Reply{}, err
	}
	if len(refused) > 0 {
		return bench.Reply{}, &bench.Problem{Kind: bench.Refused, Say: rules.Say{Key: "season.suspended"}, Refused: refused}
	}
	reply, err := g.Live.PostFrom(c, game, drafts, from)
	if err == nil {
		g.keep(c, game, drafts)
	}
	return reply, err
}

// keep keeps rosters that were entered at the bench for the teams' next games, as those
// with which a game is opened. What cannot be kept stops no game.
func (g *guard) keep(c context.Context, game string, drafts []entry.Entry) {
	s, set := g.season, lineups(drafts)
	if s.Kept == nil || s.KeepTeam == nil || len(set) == 0 {
		return
	}
	update, err := g.State(c, game)
	if err != nil || update.State.Info.Schedule == "" {
		return
	}
	f, err := s.planned()
	if err != nil {
		return // the season was taken away, or cannot be read
	}
	at := f.game(update.State.Info.Schedule)
	if at < 0 {
		return
	}
	for _, one := range set {
		id := f.games[at].Home
		if one.side == entry.Visitors {
			id = f.games[at].Visitors
		}
		s.keepTeam(f, id, one.team)
	}
}

// Preview says so before.
func (g *guard) Preview(c context.Context, game string, drafts []entry.Entry) (bench.Considered, error) {
	considered, err := g.Live.Preview(c, game, drafts)
	if err != nil {
		return considered, err
	}
	refused, err := g.refused(c, game, drafts)
	considered.Refused = append(considered.Refused, refused...)
	return considered, err
}

// lineups are the line-ups that some drafts set.
func lineups(drafts []entry.Entry) (list []lineup) {
	for _, e := range drafts {
		body := e.Body
		if amended, is := body.(entry.Amended); is {
			body = amended.To
		}
		if set, is := body.(entry.RosterSet); is {
			list = append(list, lineup{e.ID, set.Side, set.Team})
		}
		if opened, is := body.(entry.GameOpened); is {
			list = append(list, lineup{e.ID, entry.Home, opened.Home}, lineup{e.ID, entry.Visitors, opened.Visitors})
		}
	}
	return list
}

type lineup struct {
	id   string
	side entry.Side
	team entry.Team
}

func (g *guard) refused(c context.Context, game string, drafts []entry.Entry) ([]rules.Refusal, error) {
	s, set := g.season, lineups(drafts)
	if s.Kept == nil || len(set) == 0 {
		return nil, nil
	}
	update, err := g.State(c, game)
	if err != nil || update.State.Info.Schedule == "" {
		return nil, ignoreMissing(err)
	}
	f, err := s.planned()
	if err != nil || f.game(update.State.Info.Schedule) < 0 {
		return nil, nil // the season was taken away, or cannot be read: the game goes on
	}
	var out []outJSON
	if err := s.with(c, f, func(b booked) (err error) {
		out, err = b.out(f.games[f.game(update.State.Info.Schedule)])
		return err
	}); err != nil {
		s.Logger.Error("look who is suspended", "game", game, "error", err)
		return nil, nil // the game goes on
	}
	if len(out) == 0 {
		return nil, nil
	}
	cleared := clearedIn(update.State, drafts)
	var refused []rules.Refusal
	for _, one := range set {
		refused = append(refused, refusals(one.id, out, one.side, one.team, cleared)...)
	}
	return refused, nil
}

// clearedIn says who plays on a note's word: of the game, or of what is posted now.
func clearedIn(state rules.State, drafts []entry.Entry) func(entry.Side, entry.Jersey) bool {
	type player struct {
		side   entry.Side
		number entry.Jersey
	}
	may := map[player]bool{}
	note := func(body entry.Body) {
		if n, is := body.(entry.Note); is && n.About == entry.SuspendedPlay {
			may[player{n.Side, n.Player}] = true
		}
	}
	for i := range state.Lines {
		if !state.Lines[i].Struck {
			note(state.Lines[i].Body)
		}
	}
	for _, e := range drafts {
		note(e.Body)
	}
	return func(side entry.Side, number entry.Jersey) bool { return may[player{side, number}] }
}

// ignoreMissing leaves it to the bench to say that there is no such game.
func ignoreMissing(err error) error {
	var problem *bench.Problem
	if errors.As(err, &problem) && problem.Kind == bench.Missing {
		return nil
	}
	return err
}
