package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"log/slog"
	"path/filepath"
	"sync"

	"whistlestop/internal/api/season"
	"whistlestop/internal/folder/leaguefiles"
	"whistlestop/internal/hub/counted"
	"whistlestop/internal/hub/crews"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
)

// hubSeason is the season of an association of a hub: what is sealed of its games, added
// up by the files that lie beside the crew's desk.
type hubSeason struct {
	store   hubStore
	id      string
	files   season.Kept
	games   *counted.Games
	service *season.Service
	names   *counted.Names

	planning sync.Mutex
	planned  [2][]byte // league file and schedule from which the plan was read
	plan     counted.Plan

	mutex sync.Mutex // a season and what was left out of it are of one moment
}

// seasonAt is that of an association, without its games.
func (a *association) seasonAt(id string) *hubSeason {
	s := &hubSeason{store: a.store, id: id}
	if a.nation != nil {
		s.files = crews.NewShelf(a.nation.store, id, office.Now)
	} else {
		s.files = leaguefiles.New(filepath.Join(a.folder, crewFolder, id, leagueFolder))
	}
	s.names = &counted.Names{Association: id, Store: a.store, Plan: s.planNow, Now: office.Now}
	return s
}

// of gives it its games.
func (s *hubSeason) of(games *live.Games, logger *slog.Logger) *hubSeason {
	s.games = &counted.Games{Association: s.id, Live: games, Store: s.store}
	s.service = &season.Service{Kept: s.files, Live: s.games, Sealed: true, Logger: logger}
	return s
}

// planNow is what says how old players are, read again when the files are others.
func (s *hubSeason) planNow(context.Context) (counted.Plan, error) {
	leagueText, err := s.files.League()
	if err != nil {
		return counted.Plan{}, err
	}
	scheduleText, err := s.files.Schedule()
	if err != nil {
		return counted.Plan{}, err
	}
	s.planning.Lock()
	defer s.planning.Unlock()
	if bytes.Equal(leagueText, s.planned[0]) && bytes.Equal(scheduleText, s.planned[1]) {
		return s.plan, nil
	}
	s.planned, s.plan = [2][]byte{leagueText, scheduleText}, counted.PlanOf(leagueText, scheduleText)
	return s.plan, nil
}

// Stamp names what the season is worked out from.
func (s *hubSeason) Stamp(ctx context.Context) (string, error) {
	stamp, err := s.store.Stamp(ctx, s.id)
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	for _, read := range []func() ([]byte, error){s.files.League, s.files.Schedule, s.files.Decisions} {
		text, err := read()
		if err != nil {
			return "", err
		}
		one := sha256.Sum256(text)
		sum.Write(one[:])
	}
	return stamp + "." + hex.EncodeToString(sum.Sum(nil)[:8]), nil
}

// Season works it out.
func (s *hubSeason) Season(ctx context.Context) (counted.Season, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.games.Season(ctx, s.service, s.names)
}
