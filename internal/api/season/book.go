package season

import (
	"bytes"
	"context"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/record/report"
	"whistlestop/season/handin"
	"whistlestop/season/results"
	"whistlestop/season/tally"
)

// added is the season as it was added up last. A game is read again only after it
// grew.
type added struct {
	from  files
	tally *tally.Tally
	value tally.Season
	known map[string]read // by ledger
	// written are the files that guests had of it: a hundred who ask for one cost one.
	written map[string][]byte
}

// read is what was read of a ledger.
type read struct {
	seq    int
	newest string // hash of its newest entry, where the title said it
	facts  results.Facts
	sealed *results.Facts        // as it was when it was sealed first; nil: it never was, or is so still
	handed handin.HandedIn       // what its package would say, without the schedule's part
	lines  map[string]rules.Line // of goals and calls, by entry: what a figure counts is said with them
	stages map[int]entry.Stage   // what each period of the game was
}

// booked is the season with the files that it was made from.
type booked struct {
	files
	tally.Season
	tally *tally.Tally
	known map[string]read
}

// counted gives the season, added up to what is known now, to use. Nobody else uses
// it meanwhile.
func (s *Service) counted(c *api.Call, use func(booked) error) error {
	f, err := s.planned()
	if err != nil {
		return err
	}
	return s.with(c, f, use)
}

func (s *Service) with(c context.Context, f files, use func(booked) error) error {
	titles, err := s.Live.Games(c)
	if err != nil {
		return err
	}
	s.adding.Lock()
	defer s.adding.Unlock()
	if err := s.add(c, f, titles); err != nil {
		return err
	}
	return use(booked{files: f, Season: s.sum.value, tally: s.sum.tally, known: s.sum.known})
}

// add brings the season to what is known now.
func (s *Service) add(c context.Context, f files, titles []bench.Title) error {
	sum := &s.sum
	if sum.known == nil {
		sum.known = map[string]read{}
	}
	fresh := sum.tally == nil || !f.same(sum.from)
	if fresh {
		rules := *f.league
		if s.Sealed {
			rules = rules.SealedOnly()
		}
		made, err := tally.New(rules, f.games, f.decisions)
		if err != nil {
			return refuse(err)
		}
		sum.tally, sum.from = made, f
		for _, one := range sum.known {
			made.Put(one.facts)
		}
	}
	there, grew := map[string]bool{}, fresh
	for _, title := range titles {
		if s.Sealed && title.Stage.Kind != entry.Over {
			continue // nothing of it can be sealed yet
		}
		there[title.ID] = true
		if before, known := sum.known[title.ID]; known && title.Seq > 0 && before.seq == title.Seq && before.newest == title.Newest || title.Damaged || title.Reading {
			continue
		}
		one, err := s.readGame(c, title.ID)
		if err != nil {
			s.Logger.Error("read a game for the season", "game", title.ID, "error", err)
			continue
		}
		if one.newest = title.Newest; one.newest != "" {
			one.seq = title.Seq // the end of what there is, of which what counts may be a part
		}
		sum.known[title.ID] = one
		sum.tally.Put(one.facts)
		grew = true
	}
	for id := range sum.known {
		if !there[id] {
			delete(sum.known, id)
			sum.tally.Remove(id)
			grew = true
		}
	}
	if !grew {
		return nil
	}
	value, err := sum.tally.Season()
	if err != nil {
		sum.tally = nil // begun anew the next time
		return refuse(err)
	}
	sum.value, sum.written = value, map[string][]byte{}
	return nil
}

// same says whether the files are those.
func (f files) same(o files) bool {
	return bytes.Equal(f.leagueText, o.leagueText) && bytes.Equal(f.scheduleText, o.scheduleText) && bytes.Equal(f.decisionsText, o.decisionsText)
}

// readGame is what a season keeps of a game's ledger.
func (s *Service) readGame(c context.Context, id string) (read, error) {
	ledger, err := s.Live.Ledger(c, id)
	if err != nil {
		return read{}, err
	}
	state, err := rules.Fold(ledger)
	if err != nil {
		return read{}, err
	}
	document, err := report.Build(ledger, report.Options{})
	if err != nil {
		return read{}, err
	}
	one := read{seq: state.Seq, facts: results.FactsOf(document)}
	one.lines, one.stages = spoken(state)
	one.handed = handin.About(handin.Game{Report: document})
	for i, e := range ledger {
		if e.Kind() != entry.KindSealed {
			continue
		}
		if i+1 < len(ledger) {
			then, err := report.Build(ledger[:i+1], report.Options{})
			if err != nil {
				return read{}, err
			}
			facts := results.FactsOf(then)
			one.sealed = &facts
		}
		break
	}
	return one, nil
}

// spoken is what is kept of a game's lines: its goals and calls.
func spoken(state rules.State) (map[string]rules.Line, map[int]entry.Stage) {
	lines, stages := map[string]rules.Line{}, map[int]entry.Stage{}
	for _, line := range state.Lines {
		if (line.Kind == entry.KindGoal || line.Kind == entry.KindPenalty) && !line.Struck {
			lines[line.Entry] = rules.Line{Entry: line.Entry, Moment: line.Moment, Say: line.Say}
		}
	}
	for _, span := range state.Periods {
		stages[span.Period] = span.Stage
	}
	return lines, stages
}
