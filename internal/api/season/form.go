package season

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/BurntSushi/toml"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/season/league"
	"whistlestop/season/standings"
	"whistlestop/season/suspensions"
	"whistlestop/season/tally"
)

// leagueFormJSON is the league file as the settings of a form, and what may be chosen.
type leagueFormJSON struct {
	Mark       string                `json:"mark"` // of the version of the file
	Settings   []leagueSettingJSON   `json:"settings"`
	Procedures []readyLadderJSON     `json:"procedures"` // ladders that are ready
	Steps      []string              `json:"steps"`      // that a ladder may name
	Ways       []string              `json:"ways"`
	Books      []readyBookJSON       `json:"books"`     // of suspensions
	Parts      []entry.Part          `json:"parts"`     // of a call, that a book's rule may name
	Questions  []servingQuestionJSON `json:"questions"` // of how a suspension is served
	Plays      []readyMadeJSON       `json:"plays"`     // divisions of a game that this bench knows
	// Findings are why the file cannot be shown as a form.
	Findings []fileFindingJSON `json:"findings"`
}

// leagueSettingJSON is a setting of the league file.
type leagueSettingJSON struct {
	Table string `json:"table"` // as its header has it; empty: at the top
	At    int    `json:"at"`    // which of the tables of a list, or of which division
	Key   string `json:"key"`
	Value string `json:"value"` // JSON
}

// readyMadeJSON is something ready-made.
type readyMadeJSON struct {
	ID     string `json:"id"`
	Source string `json:"source"`
}

// readyBookJSON is a ready-made book of suspensions with what it says, as the settings of
// a league's own, so that a league may begin its own with it.
type readyBookJSON struct {
	readyMadeJSON
	Settings []leagueSettingJSON `json:"settings"`
}

// readyLadderJSON is a ready-made ladder with what it says, so that a league may begin
// its own with it.
type readyLadderJSON struct {
	readyMadeJSON
	Points map[string]int `json:"points"` // by the file's name of each way to win and lose
	First  string         `json:"first"`
	Two    []string       `json:"two"`
	More   []string       `json:"more"` // none: as for two
	Way    string         `json:"way"`
	IfMet  bool           `json:"direct_if_met"`
}

// servingQuestionJSON is a question of how a suspension is served, with its answers.
type servingQuestionJSON struct {
	Setting string   `json:"setting"`
	Answers []string `json:"answers"`
}

// keepLeagueFormJSON is changes of the league file.
type keepLeagueFormJSON struct {
	Saw   string           `json:"saw"`  // mark of the version that they were made from
	Keep  bool             `json:"keep"` // otherwise only say what they would do
	Edits []leagueEditJSON `json:"edits"`
}

// leagueEditJSON is a change of one setting.
type leagueEditJSON struct {
	Table  string `json:"table"`
	At     int    `json:"at"` // as many as there are: a new one
	Key    string `json:"key,omitempty"`
	Value  string `json:"value,omitempty"`  // JSON
	Remove bool   `json:"remove,omitempty"` // the setting; without a key the whole table of a list
}

// keptLeagueFormJSON is what changes do, or did.
type keptLeagueFormJSON struct {
	Text     string            `json:"text"` // of the file with them
	Kept     bool              `json:"kept"`
	Mark     string            `json:"mark"`
	Findings []fileFindingJSON `json:"findings"`
	Lines    []string          `json:"lines"`   // that the file then has and had not, as they are
	Lost     []string          `json:"lost"`    // comments that go with what is replaced
	Changes  []string          `json:"changes"` // what is different in the season, in sentences
}

const (
	editsMost   = 2000
	changesMost = 60 // sentences of what is different
)

// form is the league file as settings.
func (s *Service) form(c *api.Call) (leagueFormJSON, error) {
	f, err := s.files()
	if err != nil {
		return leagueFormJSON{}, err
	}
	out := leagueFormJSON{
		Mark: mark(f.leagueText), Settings: []leagueSettingJSON{}, Procedures: []readyLadderJSON{}, Books: booksOf(), Parts: entry.Parts, Plays: []readyMadeJSON{}, Questions: []servingQuestionJSON{},
		Steps: standings.Words(), Ways: []string{"restart", "continue", "two_left", "best_only", "all_at_once"}, Findings: []fileFindingJSON{},
	}
	ready := standings.Procedures()
	for _, id := range slices.Sorted(maps.Keys(ready)) {
		out.Procedures = append(out.Procedures, ladderOf(id, ready[id]))
	}
	for _, q := range suspensions.Questions {
		out.Questions = append(out.Questions, servingQuestionJSON{q.Setting, q.Answers})
	}
	for _, d := range c.Divisions().Divisions {
		out.Plays = append(out.Plays, readyMadeJSON{d.ID, d.Name})
	}
	var tree map[string]any
	if _, err := toml.NewDecoder(bytes.NewReader(f.leagueText)).Decode(&tree); err != nil {
		_, bad := league.Read(f.leagueText, leagueFile)
		out.Findings = append(out.Findings, finding(c, errors.Join(bad)))
		return out, nil
	}
	out.add("", 0, tree)
	return out, nil
}

// booksOf are the ready-made books for the form.
var booksOf = sync.OnceValue(func() []readyBookJSON {
	var trees map[string]map[string]any
	if _, err := toml.NewDecoder(bytes.NewReader(suspensions.Text())).Decode(&trees); err != nil {
		panic(err) // the file is part of the program
	}
	list := []readyBookJSON{}
	for _, id := range slices.Sorted(maps.Keys(trees)) {
		var settings leagueFormJSON
		settings.add(league.OwnBook, 0, trees[id])
		source, _ := trees[id]["source"].(string)
		list = append(list, readyBookJSON{readyMadeJSON{id, source}, settings.Settings})
	}
	return list
})

// ladderOf is a ready-made ladder for the form.
func ladderOf(id string, p standings.Procedure) readyLadderJSON {
	words := func(steps []standings.Step) []string {
		list := []string{}
		for _, step := range steps {
			list = append(list, step.String())
		}
		return list
	}
	return readyLadderJSON{
		readyMadeJSON: readyMadeJSON{id, p.Source}, First: p.First.String(), Two: words(p.Two), More: words(p.More), Way: string(p.Way), IfMet: p.DirectAll,
		Points: map[string]int{
			"regulation_win": p.Points.RegulationWin, "overtime_win": p.Points.OvertimeWin, "shoot_out_win": p.Points.ShootOutWin, "draw": p.Points.Draw,
			"shoot_out_loss": p.Points.ShootOutLoss, "overtime_loss": p.Points.OvertimeLoss, "regulation_loss": p.Points.RegulationLoss,
		},
	}
}

// add adds the settings of a table, and of the tables within.
func (j *leagueFormJSON) add(name string, at int, table map[string]any) {
	for _, key := range slices.Sorted(maps.Keys(table)) {
		path := strings.TrimPrefix(name+"."+key, ".")
		switch v := table[key].(type) {
		case map[string]any:
			if inLine(key) {
				break
			}
			j.add(path, at, v)
			continue
		case []map[string]any:
			if inLine(key) {
				break
			}
			for i, one := range v {
				j.add(path, i, one)
			}
			continue
		}
		if raw, err := json.Marshal(plainValue(table[key])); err == nil {
			j.Settings = append(j.Settings, leagueSettingJSON{name, at, key, string(raw)})
		}
	}
}

// inLine are the settings whose value is written in a line, though it has parts.
func inLine(key string) bool {
	return slices.Contains([]string{"drive", "points", "team", "away", "held_free", "charges", "least"}, key)
}

// plainValue is a value as JSON has it: days as texts.
func plainValue(v any) any {
	switch v := v.(type) {
	case time.Time:
		return v.Format(time.DateOnly)
	case []map[string]any:
		list := make([]any, len(v))
		for i, one := range v {
			list[i] = plainValue(one)
		}
		return list
	case []any:
		list := make([]any, len(v))
		for i, one := range v {
			list[i] = plainValue(one)
		}
		return list
	case map[string]any:
		out := map[string]any{}
		for key, one := range v {
			out[key] = plainValue(one)
		}
		return out
	}
	return v
}

// keepForm says what changes of the league file do, and makes them. The text of the
// file stays the truth: only the lines of what is changed are written anew.
func (s *Service) keepForm(c *api.Call, in keepLeagueFormJSON) (keptLeagueFormJSON, error) {
	s.changing.Lock()
	defer s.changing.Unlock()
	f, err := s.files()
	switch {
	case err != nil:
		return keptLeagueFormJSON{}, err
	case in.Saw != mark(f.leagueText):
		return keptLeagueFormJSON{}, api.NewNo(api.StatusConflict, api.Conflict, "season.league_changed")
	case len(in.Edits) > editsMost:
		return keptLeagueFormJSON{}, api.Refuse("season.too_many_edits")
	}
	edits := make([]league.Edit, len(in.Edits))
	for i, e := range in.Edits {
		edits[i] = league.Edit(e)
	}
	text, lost, err := league.Apply(f.leagueText, edits)
	if err != nil {
		return keptLeagueFormJSON{}, refuse(err)
	}
	made := parse(text, f.scheduleText, f.decisionsText)
	found := named(c, f, text, edits)
	if len(found) == 0 {
		found = s.looks(c, made)
	}
	for i, one := range found {
		if one.Line > 0 {
			at := league.SettingAt(text, one.Line)
			found[i].Table, found[i].At, found[i].Key = at.Table, at.At, at.Key
		}
	}
	out := keptLeagueFormJSON{
		Text: string(text), Mark: mark(f.leagueText), Findings: found, Lines: fresh(f.leagueText, text), Lost: append([]string{}, lost...), Changes: []string{},
	}
	if slices.ContainsFunc(out.Findings, func(one fileFindingJSON) bool { return one.Mistake }) {
		return out, nil
	}
	if out.Changes, err = s.differs(c, f, made); err != nil || !in.Keep {
		return out, err
	}
	if err := s.keeper(f).KeepLeague(text); err != nil {
		return out, s.notKept("the league file", err)
	}
	s.Logger.Info("the league file was changed", "edits", len(edits))
	out.Kept, out.Mark = true, mark(text)
	return out, nil
}

// differs says what is different in the season under another league file: the order of
// each table, then everything that changes for people.
func (s *Service) differs(c *api.Call, f, made files) ([]string, error) {
	list := []string{}
	if f.league == nil || f.scheduleText == nil || f.scheduleBad != nil || f.decisionsBad != nil || made.before != "" {
		return list, nil
	}
	err := s.under(c, f, made, func(before, then tally.Season) {
		for _, d := range then.Divisions {
			was := slices.IndexFunc(before.Divisions, func(o tally.Division) bool { return o.ID == d.ID })
			if was < 0 {
				continue
			}
			if before, after := orderOf(before.Divisions[was]), orderOf(d); before != after {
				list = append(list, say(c, "season.order_changes", "division", d.Name, "before", before, "after", after))
			} else if before != "" {
				list = append(list, say(c, "season.order_stays", "division", d.Name, "order", before))
			}
		}
		list = append(list, forPeople(c, before, then, changesMost-len(list))...)
	})
	return list, err
}

// under adds the season up under other files too.
func (s *Service) under(c *api.Call, f, made files, use func(before, then tally.Season)) error {
	return s.with(c, f, func(b booked) error {
		then, err := tally.New(*made.league, made.games, made.decisions)
		if err != nil {
			return refuse(err)
		}
		for _, one := range b.known {
			then.Put(one.facts)
		}
		value, err := then.Season()
		if err != nil {
			return refuse(err)
		}
		use(b.Season, value)
		return nil
	})
}

// forPeople says what is different for people between two states of a season.
func forPeople(c *api.Call, before, then tally.Season, most int) []string {
	list := []string{}
	for _, change := range tally.Changes(before, then) {
		if len(list) >= most {
			break
		}
		list = append(list, c.Words.Text(change.Say.Key, change.Say.Args))
	}
	return list
}

// orderOf is the teams of a table, the best first.
func orderOf(d tally.Division) string {
	var names []string
	for _, place := range d.Places {
		names = append(names, message.Plain(place.Name))
	}
	return strings.Join(names, ", ")
}
