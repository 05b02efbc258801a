package main

import (
	"context"
	"crypto/rand"
	"errors"
	"io"
	"io/fs"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"whistlestop/crew/duties"
	"whistlestop/crew/onduty"
	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/api/season"
	"whistlestop/internal/demo/harbour"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/folder/leaguefiles"
	"whistlestop/internal/hub/counted"
	"whistlestop/internal/hub/crews"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/intake"
	"whistlestop/internal/paper/html"
	"whistlestop/internal/paper/pdf"
	"whistlestop/internal/store/sqlite"
	"whistlestop/internal/web"
	"whistlestop/record/tables"
)

// crewFolder is where a hub keeps the crew's desks, a folder for each association.
const crewFolder = "crew"

// crewDeskFile is behind the name of a hub's copy in the names of the copies of its desks,
// with the association between.
const crewDeskFile = ".crew-desk.json"

// crewsOf are the crew's desks of the hub.
func (a *association) crewsOf(p *Program) *crews.Desks {
	return crews.New(crews.Config{
		Open: func(ctx context.Context, id string) (*crews.Desk, error) { return a.openCrew(ctx, p, id) },
		Runs: func(r *http.Request, act crews.Act) (office.By, error) {
			return a.front.Site(r.Context(), act.Association).Coordinates(r, act.Association, act.Season, act.Writes, act.Fresh)
		},
		Let: func(r *http.Request, what crews.Counted, association, token string) bool {
			at := a.front.Site(r.Context(), association)
			if what == crews.Guess {
				return at.LetGuess(r)
			}
			return at.LetLink(token)
		},
		Page: func(w http.ResponseWriter, r *http.Request) { a.front.Site(r.Context(), "").Page(w, r) },
		Files: map[string]http.HandlerFunc{
			"reminders.js":     func(w http.ResponseWriter, r *http.Request) { a.front.Site(r.Context(), "").Reminders(w, r) },
			"mine.webmanifest": func(w http.ResponseWriter, r *http.Request) { a.front.Site(r.Context(), "").Manifest(w, r) },
		},
		Refuse: func(w http.ResponseWriter, r *http.Request, err error) {
			a.front.Site(r.Context(), "").Refuse(w, r, err)
		},
		Address: a.address, Now: office.Now, Logger: p.logger, Languages: p.languages(),
	})
}

// openCrew opens the desk of an association.
func (a *association) openCrew(ctx context.Context, p *Program, id string) (*crews.Desk, error) {
	all, err := a.store.Associations(ctx)
	if err != nil {
		return nil, err
	}
	if !slices.ContainsFunc(all, func(one office.Association) bool { return one.ID == id }) {
		return nil, crews.ErrNone
	}
	kept, err := a.shelfOf(ctx, id)
	if err != nil {
		return nil, err
	}
	desk := crewDesk(kept.papers, kept.files, p.logger)
	desk.Everywhere = true
	desk.Reach = func() (string, bool) { return a.address + crews.Prefix + id, true }
	desk.Languages = p.languages()
	notes := office.New(a.store, id, office.Now, rand.Reader)
	desk.Did = func(c *api.Call, what, object string) error {
		return a.store.Note(c, id, notes.Note(c.Person, what, object, c.Network))
	}
	if a.post != nil {
		desk.Post = a.post
	}
	desk.Push = a.push
	a.letters.send(desk)
	touched := &crew.Bench{Desk: desk, Logger: p.logger, Game: func(*api.Call, string) (onduty.Wanted, error) {
		return onduty.Wanted{}, api.Refuse("hub.crew.bench_only")
	}}
	planned := &season.Service{
		Kept: kept.files, Live: a.gamesOf(ctx, id), Sealed: true, ReadGames: intake.Schedule, Write: writeSeason,
		Logger: p.logger, Duties: touched.Moved, Formats: web.SeasonFormats(), After: kept.after,
	}
	return &crews.Desk{Operations: append(desk.Operations(), atHub(planned.Operations())...), Close: kept.close}, nil
}

// shelf is where a desk and the season beside it lie.
type shelf struct {
	papers crew.Papers
	files  season.Kept
	after  func(league, schedule, decisions []byte) season.Kept // for what changes it; nil: nobody else does
	close  func() error
}

// shelfOf is that of an association: in a folder, or in the database of many hubs.
func (a *association) shelfOf(ctx context.Context, id string) (shelf, error) {
	if a.nation != nil {
		kept := crews.NewShelf(a.nation.store, id, office.Now)
		after := func(league, schedule, decisions []byte) season.Kept { return kept.After(league, schedule, decisions) }
		return shelf{kept, kept, after, func() error { return nil }}, nil
	}
	folder := filepath.Join(a.folder, crewFolder, id)
	papers, err := sqlite.OpenPapers(ctx, folder)
	if err != nil {
		return shelf{}, err
	}
	files := leaguefiles.New(filepath.Join(folder, leagueFolder))
	return shelf{papers, files, nil, papers.Close}, nil
}

// gamesOf are the games of an association as its season counts them.
func (a *association) gamesOf(ctx context.Context, id string) *counted.Games {
	return &counted.Games{Association: id, Live: a.front.Site(ctx, id).Live, Store: a.store}
}

// wakeCrews opens every desk that is there, so that its letters go also while nobody
// looks at it. One that cannot be opened says so in the log, and on its page.
func (a *association) wakeCrews(ctx context.Context, p *Program) {
	if a.post == nil && a.push == nil {
		return
	}
	if a.nation != nil {
		a.letters.group.Go(func() { a.wakeNational(a.letters.ctx, p) })
		return
	}
	list, err := os.ReadDir(filepath.Join(a.folder, crewFolder))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		p.logger.Error("the crew's desks cannot be listed; their letters wait until somebody opens them", "error", err)
	}
	for _, folder := range list {
		if err := a.crews.Wake(ctx, folder.Name()); err != nil {
			p.logger.Error("a crew's desk cannot be opened; its letters wait", "association", folder.Name(), "error", err)
		}
	}
}

// wakeAgain is how often desks are looked for that another hub opened: the letters of one
// that ended wait so long at most. Ours.
const wakeAgain = 5 * time.Minute

// wakeNational does the same for the desks of a database, again and again.
func (a *association) wakeNational(ctx context.Context, p *Program) {
	for {
		all, err := a.store.Associations(ctx)
		for _, one := range all {
			version, failed := a.nation.store.DeskVersion(ctx, one.ID)
			if failed == nil && version > 0 {
				failed = a.crews.Wake(ctx, one.ID)
			}
			err = errors.Join(err, failed)
		}
		if err != nil && ctx.Err() == nil {
			p.logger.Error("a crew's desk cannot be opened; its letters wait", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(wakeAgain):
		}
	}
}

// atHub are the operations on a season that a hub has: all but those by which games are
// opened and handed in, which are a bench's.
func atHub(all []api.Operation) []api.Operation {
	return slices.DeleteFunc(all, func(o api.Operation) bool {
		return strings.HasPrefix(o.Path, "/api/season/hand-in") || strings.HasSuffix(o.Path, "/lineup") || strings.HasSuffix(o.Path, "/open")
	})
}

// crewDesk answers what is asked of a crew's desk.
func crewDesk(papers crew.Papers, files crew.Season, logger *slog.Logger) *crew.Service {
	return &crew.Service{
		Papers: papers, Season: files, Logger: logger,
		Key: func(bytes int) []byte {
			raw := make([]byte, bytes)
			_, _ = rand.Read(raw) // never fails
			return raw
		},
		Print: func(out io.Writer, sheet crew.Sheet, words api.Words) error { return html.Crew(out, sheet, words) },
		PDF: func(out io.Writer, d tables.Document, words api.Words) error {
			return pdf.Tables(out, d, pdf.A4, words)
		},
	}
}

// inventCrew fills an empty desk with the invented season.
func inventCrew(ctx context.Context, papers crew.Papers, files crew.Season, now entry.Millis, today dates.Day) error {
	key := make([]byte, duties.KeyBytes)
	_, _ = rand.Read(key) // never fails
	made, err := harbour.Desk(today, key)
	if err != nil {
		return err
	}
	if err = files.KeepLeague(made.League); err == nil {
		err = files.KeepSchedule(made.Schedule)
	}
	if err == nil {
		err = papers.Keep(ctx, now, "demo", crew.Papered(made.People, made.Rules, made.Rota, made.Log))
	}
	return err
}

// inventCrew fills the desk of the demonstration's association.
func (a *association) inventCrew(ctx context.Context) error {
	now := office.Now()
	today, err := dates.Parse(time.UnixMilli(int64(now)).Format(time.DateOnly))
	if err != nil {
		return err
	}
	kept, err := a.shelfOf(ctx, a.id)
	if err != nil {
		return &folderError{folder: a.folder, err: err}
	}
	return errors.Join(inventCrew(ctx, kept.papers, kept.files, now, today), kept.close())
}

// backUpCrews writes the crew's desks beside a hub's copy, each as a file of its own, and
// returns their names. The hub may be running.
func (p *Program) backUpCrews(ctx context.Context, target string, all []office.Association) (names []string, err error) {
	for _, one := range all {
		folder := filepath.Join(p.folder, crewFolder, one.ID)
		papers, err := sqlite.OpenPapersBeside(ctx, folder)
		if errors.Is(err, fs.ErrNotExist) {
			continue // nobody opened it yet
		}
		if err != nil {
			return names, err
		}
		text, err := crew.Whole(ctx, papers, leaguefiles.New(filepath.Join(folder, leagueFolder)))
		if err = errors.Join(err, papers.Close()); err != nil {
			return names, err
		}
		if text == nil {
			continue
		}
		name := target + "." + one.ID + crewDeskFile
		if err := durable.Write(durable.System(), name, text); err != nil {
			return names, err
		}
		names = append(names, name)
	}
	return names, nil
}

// restoreCrews takes the desks that lie beside a hub's copy.
func (p *Program) restoreCrews(ctx context.Context, from string) error {
	dir := filepath.Dir(from)
	list, err := os.ReadDir(dir)
	if err != nil {
		return cannotRead(dir, err)
	}
	for _, file := range list {
		name := filepath.Join(dir, file.Name())
		id, is := strings.CutPrefix(name, from+".")
		if !is || !strings.HasSuffix(id, crewDeskFile) {
			continue
		}
		text, err := readAtMost(name, crew.WholeMost)
		if err != nil {
			return cannotRead(name, err)
		}
		folder := filepath.Join(p.folder, crewFolder, strings.TrimSuffix(id, crewDeskFile))
		papers, err := sqlite.OpenPapers(ctx, folder)
		if err != nil {
			return &folderError{folder: folder, err: err}
		}
		err = crew.TakeWhole(ctx, papers, leaguefiles.New(filepath.Join(folder, leagueFolder)), office.Now(), text, false)
		if err = errors.Join(err, papers.Close()); err != nil {
			return message.Because(err, "hub.command.crew_damaged", "file", name)
		}
	}
	return nil
}
