package site

import (
	"cmp"
	"context"
	"net/http"

	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
)

// oneGame is what a bench that is paired for one game is told of it: "first" while that is
// the first game that it sends, "this" once it sent this one; empty: it sends any game.
func oneGame(token office.Token) string {
	switch {
	case !token.OneGame:
		return ""
	case token.Game == "":
		return "first"
	}
	return "this"
}

// otherGame refuses a game to a bench that is paired for another one.
func (s *Site) otherGame(w http.ResponseWriter, r *http.Request, game string) {
	teams := s.gameCalled(r.Context(), game)
	no := api.NewNo(http.StatusForbidden, other, "hub.one_game", "game", teams)
	s.send(w, r, problemJSON{Problem: problemOf(s.words(r), no), Game: game, Called: teams})
}

// gameCalled is a game by its teams, or by its id where they are not known.
func (s *Site) gameCalled(ctx context.Context, game string) string {
	head, err := s.Store.Head(ctx, ledgers.Where{Association: s.Association, Game: game})
	if err != nil || head.Seq == 0 {
		return game
	}
	title, _ := s.Live.Title(ctx, game, head)
	return cmp.Or(teamsOf(title), game)
}

// teamsOf are the teams of a game; empty: they are not known.
func teamsOf(title live.Title) string {
	if title.Home == "" || title.Visitors == "" {
		return ""
	}
	return title.Home + " – " + title.Visitors
}

// called are the teams of games.
func called(rows []row) map[string]string {
	names := map[string]string{}
	for _, one := range rows {
		names[one.Game.ID] = teamsOf(one.Title)
	}
	return names
}
