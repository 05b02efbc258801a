package crew

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// WholeMost bounds the file of a whole desk, in bytes: a season of 3,000 seats has some
// two million.
const WholeMost = 32 << 20

// wholeVersion is that of the file's form.
const wholeVersion = 1

// wholeFile is a whole desk as one file: its papers, with the key of the codes and what is
// kept of the links, and the season that it is for.
type wholeFile struct {
	Version  int               `json:"version"`
	Papers   map[string]string `json:"papers"`
	League   string            `json:"league,omitempty"`
	Schedule string            `json:"schedule,omitempty"`
}

// papersAll are the papers of a desk.
var papersAll = []string{peoplePaper, rulesPaper, rotaPaper, logPaper, morePaper}

// Whole is a whole desk as a file, to be kept or taken to another computer. It has names
// and ways to reach people in it. Nil: there is nothing to keep.
func Whole(ctx context.Context, kept Papers, season Season) ([]byte, error) {
	f := wholeFile{Version: wholeVersion, Papers: map[string]string{}}
	texts, err := kept.All(ctx)
	if err != nil {
		return nil, err
	}
	for _, name := range papersAll {
		if text := texts[name]; text != nil {
			f.Papers[name] = string(text)
		}
	}
	leagueText, err := season.League()
	if err != nil {
		return nil, err
	}
	scheduleText, err := season.Schedule()
	if err != nil {
		return nil, err
	}
	f.League, f.Schedule = string(leagueText), string(scheduleText)
	if len(f.Papers) == 0 && leagueText == nil && scheduleText == nil {
		return nil, nil
	}
	return json.Marshal(f)
}

// ErrThere says that a desk is not empty, so that nothing is taken in its place.
var ErrThere = message.New("crew.whole.there")

// ErrNoDesk says that a file is none of a whole desk, or that something in it cannot be read.
var ErrNoDesk = message.New("crew.whole.unreadable")

// TakeWhole keeps a whole desk where there is none. The codes of answers and the tokens of
// links stay what they are; the addresses of links that were sent still lead where they
// led, which is why a desk that moved says when. A league file or a schedule that is here
// already, and is another one, is ErrThere too.
func TakeWhole(ctx context.Context, kept Papers, season Season, at entry.Millis, text []byte, moved bool) error {
	f, err := readWhole(text)
	if err != nil {
		return err
	}
	if err := empty(ctx, kept); err != nil {
		return err
	}
	for _, one := range []struct {
		text string
		here func() ([]byte, error)
		keep func([]byte) error
	}{{f.League, season.League, season.KeepLeague}, {f.Schedule, season.Schedule, season.KeepSchedule}} {
		here, err := one.here()
		switch {
		case err != nil:
			return err
		case here != nil && one.text != "" && !bytes.Equal(here, []byte(one.text)):
			return ErrThere
		}
	}
	// The papers come last: with them the desk is there, and without them this can be
	// done again.
	if f.League != "" {
		err = season.KeepLeague([]byte(f.League))
	}
	if err == nil && f.Schedule != "" {
		err = season.KeepSchedule([]byte(f.Schedule))
	}
	if err != nil {
		return err
	}
	texts := map[string][]byte{}
	for name, text := range f.Papers {
		texts[name] = []byte(text)
	}
	if moved {
		if texts[morePaper], err = f.moved(at); err != nil {
			return err
		}
	}
	return kept.Keep(ctx, at, "taken over", texts)
}

// moved is the paper of everything else with the moment at which the desk came here.
func (f wholeFile) moved(at entry.Millis) ([]byte, error) {
	st, err := readTexts(map[string][]byte{morePaper: []byte(cmp.Or(f.Papers[morePaper], "{}"))})
	if err != nil {
		return nil, err
	}
	zone := time.UTC
	if l, err := league.Read([]byte(f.League), "league"); err == nil {
		if own, err := time.LoadLocation(l.Zone); err == nil {
			zone = own
		}
	}
	now, err := momentOf(time.UnixMilli(int64(at)).In(zone))
	if err != nil {
		return nil, err
	}
	st.more.Moved, st.more.Gone = &now, nil
	for i, l := range st.more.Links {
		st.more.Links[i].Address = cmp.Or(l.Address, unknown)
	}
	for i, d := range st.more.Devices {
		st.more.Devices[i].Address = cmp.Or(d.Address, unknown)
	}
	return st.paper(morePaper)
}

// readWhole reads the file of a desk, every part of it.
func readWhole(text []byte) (f wholeFile, err error) {
	if err := api.Read(text, &f); err != nil || f.Version != wholeVersion {
		return f, ErrNoDesk
	}
	texts := map[string][]byte{}
	for name, text := range f.Papers {
		texts[name] = []byte(text)
	}
	if _, err := readTexts(texts); err != nil || texts[logPaper] == nil {
		return f, errors.Join(ErrNoDesk, err)
	}
	if f.League != "" {
		l, err := league.Read([]byte(f.League), "league")
		if err == nil && f.Schedule != "" {
			_, err = schedule.Read([]byte(f.Schedule), l)
		}
		if err != nil {
			return f, errors.Join(ErrNoDesk, err)
		}
	}
	return f, nil
}

// empty returns ErrThere for a desk in which something was done.
func empty(ctx context.Context, kept Papers) error {
	texts, err := kept.All(ctx)
	if err != nil {
		return err
	}
	st, err := readTexts(texts)
	switch {
	case err != nil:
		return err
	case len(st.people) > 0 || st.asked || len(st.rota) > 0 || len(st.log.Events) > 0:
		return ErrThere
	}
	return nil
}

// whole hands the desk out as one file.
func (s *Service) whole(c *api.Call) (api.File, error) {
	return with(s, c, func(view) (api.File, error) {
		text, err := Whole(c, s.Papers, s.Season)
		if err != nil {
			s.Logger.Error("read the whole desk", "error", err)
			return api.File{}, api.NotNow("crew.unreadable")
		}
		if err := s.did(c, didExport, "crew-desk.json"); err != nil {
			return api.File{}, err
		}
		return api.File{Raw: text, Media: "application/json", Name: "crew-desk.json"}, nil
	})
}

// takeWhole takes a desk in from another computer.
func (s *Service) takeWhole(c *api.Call) (crewOverviewJSON, error) {
	text, err := c.Body()
	if err != nil {
		return crewOverviewJSON{}, err
	}
	if s.Papers == nil {
		return crewOverviewJSON{}, api.NotThere("crew.none_kept")
	}
	if err := s.did(c, didTakeOver, ""); err != nil {
		return crewOverviewJSON{}, err
	}
	s.mutex.Lock()
	err = TakeWhole(c, s.Papers, s.Season, c.Now, text, true)
	s.state = nil // it is read again
	s.mutex.Unlock()
	if err == nil {
		// People's pages offer reminders at once, and not when letters are looked for next.
		_, err = with(s, c, func(v view) (bool, error) { return s.keyed(c, v) })
	}
	switch {
	case errors.Is(err, ErrThere):
		return crewOverviewJSON{}, api.NewNo(api.StatusConflict, api.Conflict, "crew.whole.there")
	case errors.Is(err, ErrNoDesk):
		return crewOverviewJSON{}, api.Unread("crew.whole.unreadable")
	case err != nil:
		s.Logger.Error("take a desk over", "error", err)
		return crewOverviewJSON{}, api.NotNow("crew.not_kept")
	}
	return s.overview(c)
}
