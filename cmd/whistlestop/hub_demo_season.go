package main

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/oklog/ulid/v2"

	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/demo"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/record/seal"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// demoEnds are how the games of the demonstration's season went, one after another.
var demoEnds = []string{"third-period", "power-play", "overtime", "third-period", "coincidental"}

// inventGames puts the games that are over by the schedule into the hub, sealed, but for
// the last of one division: that one waits for its seal. Everybody may see the tables.
func (a *association) inventGames(ctx context.Context) error {
	kept, err := a.shelfOf(ctx, a.id)
	if err != nil {
		return &folderError{folder: a.folder, err: err}
	}
	leagueText, err := kept.files.League()
	var scheduleText []byte
	if err == nil {
		scheduleText, err = kept.files.Schedule()
	}
	if err = errors.Join(err, kept.close()); err != nil {
		return &folderError{folder: a.folder, err: err}
	}
	l, err := league.Read(leagueText, "")
	if err != nil {
		return err
	}
	games, err := schedule.Read(scheduleText, l)
	if err != nil {
		return err
	}
	today, err := dates.Parse(time.UnixMilli(int64(office.Now())).Format(time.DateOnly))
	if err != nil {
		return err
	}
	_, key, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return err
	}
	var over []schedule.Game
	for _, g := range games {
		if g.Place != nil && g.Place.Day < today {
			over = append(over, g)
		}
	}
	open := -1
	for i, g := range over {
		if g.Division == "u14" {
			open = i
		}
	}
	for i, g := range over {
		if err := a.inventGame(ctx, l, g, demoEnds[i%len(demoEnds)], seal.Key(key), i != open); err != nil {
			return err
		}
	}
	notes := office.New(a.store, a.id, office.Now, rand.Reader)
	return a.store.Turn(ctx, a.id, office.TablesForAll, true, notes.Note(office.Here, "turned_on", string(office.TablesForAll), ""))
}

// inventGame is one of them.
func (a *association) inventGame(ctx context.Context, l league.League, g schedule.Game, moment string, key seal.Key, closed bool) error {
	began, err := time.Parse("2006-01-02 15:04", g.Place.Day.String()+" "+g.Place.Start.String())
	if err != nil {
		return err
	}
	division, err := playedAs(l, g.Division)
	if err != nil {
		return err
	}
	ledger, err := demo.Ended(moment, entry.Millis(began.UnixMilli()), func(o *entry.GameOpened) {
		o.Schedule, o.Date, o.Venue, o.Number, o.Division = g.ID, g.Place.Day.String(), l.RinkName(g.Place.Rink), strings.ToUpper(g.ID), division
		o.Home.Name, o.Visitors.Name = l.TeamName(g.Home), l.TeamName(g.Visitors)
	}, randomFor)
	if err == nil && closed {
		ledger, err = withSeal(ledger, key)
	}
	if err != nil {
		return err
	}
	var body bytes.Buffer
	for _, e := range ledger {
		line, err := e.MarshalJSON()
		if err != nil {
			return err
		}
		body.Write(append(line, '\n'))
	}
	lines, err := ledgers.Read(ledger[0].Game, body.Bytes(), false)
	if err != nil {
		return err
	}
	at := ledgers.Where{Association: a.id, Game: ledger[0].Game}
	if _, err = a.store.Append(ctx, at, 1, lines, office.Now()); err != nil {
		return err
	}
	return a.inventNames(ctx, l, g, at, ledger)
}

// inventNames keeps the names of a game's players, where everybody is shown them, as a
// bench sends them.
func (a *association) inventNames(ctx context.Context, l league.League, g schedule.Game, at ledgers.Where, ledger []entry.Entry) error {
	d, _ := l.Division(g.Division)
	shown := d.Shown(false)
	var names []ledgers.Name
	if shown != league.ByNumber {
		for _, n := range ledger[0].NamesOf(entry.TextPlayer) {
			names = append(names, ledgers.Name{Commitment: n.Commitment, Naming: string(shown), Text: shown.Shorten(n.Text)})
		}
	}
	return a.store.KeepNames(ctx, at, names)
}

// randomFor is the random bytes that hide a text.
func randomFor(string) []byte {
	random := make([]byte, entry.RandomBytes)
	_, _ = rand.Read(random) // never fails
	return random
}

// playedAs is the division of a game that says how a division of the league is played.
func playedAs(l league.League, id string) (json.RawMessage, error) {
	d, _ := l.Division(id)
	for _, one := range rulebook.Divisions() {
		if one.ID == d.Plays {
			return json.Marshal(one)
		}
	}
	return nil, fmt.Errorf("no %s", d.Plays)
}

// withSeal is a ledger with its seal.
func withSeal(ledger []entry.Entry, key seal.Key) ([]entry.Entry, error) {
	body, err := key.Make(ledger, "")
	if err != nil {
		return nil, err
	}
	last := ledger[len(ledger)-1]
	e := entry.Entry{
		ID: ulid.Make().String(), Game: last.Game, Seq: last.Seq + 1, Wall: last.Wall + 60_000, Seat: entry.Solo, Prev: body.Head, Body: body,
	}
	if e, err = key.Sign(e); err != nil {
		return nil, err
	}
	return append(ledger, e), nil
}
