package practice

import (
	_ "embed" // of the titles
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/internal/demo"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// addedMost is how many scripts can be added; the oldest goes.
const addedMost = 50

// rinkCard is the rink card of practice beside the rink's own board: the invented
// one, as a ledger carries it.
var rinkCard = sync.OnceValue(func() json.RawMessage {
	raw, err := json.Marshal(demo.Card().Card)
	if err != nil {
		panic(err) // the card is part of the program
	}
	return raw
})

// titles lists the scripts that come with the program: the games, then the drills. To
// play one out takes a while, and a list needs none played; so what a list says of them
// is made with the program. A test holds it to the scripts, and writes it anew with -update.
//
//go:embed titles.json
var titlesFile []byte

var titles = sync.OnceValue(func() (list []ScriptTitle) {
	if err := json.Unmarshal(titlesFile, &list); err != nil {
		panic(err) // the file is part of the program
	}
	return list
})

// find finds a script by its id.
func (r *Room) find(id string) (script.Script, error) {
	for _, s := range r.added {
		if s.ID == id {
			return s, nil
		}
	}
	if s, known := r.played[id]; known {
		return s, nil
	}
	s, known, err := maker.ByID(id, rinkCard())
	if err != nil {
		return script.Script{}, err
	}
	if !known {
		return script.Script{}, api.NotThere("engine.no_script", "script", id)
	}
	r.played[id] = s
	return s, nil
}

// scripts lists every script: those of the program, then what was added.
func scripts(c *api.Call) (any, error) {
	r := roomOf(c)
	list := slices.Clone(titles())
	for i := range list {
		list[i].Title = r.words.Text("drill.title."+list[i].ID, nil)
	}
	for _, s := range r.added {
		list = append(list, r.title(s))
	}
	return Scripts{Scripts: list}, nil
}

func (r *Room) title(s script.Script) ScriptTitle {
	return ScriptTitle{
		ID: s.ID, Title: TitleOf(r.words, s), Division: s.Division.Name, Level: s.Level, Short: s.Short, Length: s.Length, Skills: s.Skills,
		Clock: s.Clock, Added: slices.ContainsFunc(r.added, func(a script.Script) bool { return a.ID == s.ID }),
	}
}

// keep keeps a script, in place of an older one with its id.
func (r *Room) keep(s script.Script) (ScriptTitle, error) {
	r.added = slices.DeleteFunc(r.added, func(a script.Script) bool { return a.ID == s.ID })
	if _, err := r.find(s.ID); err == nil {
		return ScriptTitle{}, api.Refuse("engine.script_id_taken", "script", s.ID)
	}
	r.added = append(r.added, s)
	r.added = r.added[max(0, len(r.added)-addedMost):]
	return r.title(s), nil
}

// add adds a coordinator's file, or the ledger of a game that was played.
func add(c *api.Call) (any, error) {
	r := roomOf(c)
	var file ScriptFile
	if err := c.Read(&file); err != nil {
		return nil, err
	}
	text := strings.TrimPrefix(file.Text, "\ufeff")
	if strings.HasPrefix(strings.TrimSpace(text), "{") {
		return r.replay(file, text)
	}
	s, err := maker.Parse([]byte(text), file.Name, r.known())
	if err != nil {
		return nil, api.Refuse("command.bad_script", "why", message.Inside(err))
	}
	return r.keep(s)
}

// fold folds a ledger, one entry a line, to the state of its game: the same bytes
// as at any other bench.
func fold(c *api.Call) (any, error) {
	lines, err := c.Body()
	if err != nil {
		return nil, err
	}
	ledger, err := entry.ReadLedger(lines)
	if err != nil {
		return nil, api.Refuse("engine.bad_ledger", "why", message.Inside(err))
	}
	state, err := rules.Fold(ledger)
	if err != nil {
		return nil, api.Refuse("engine.bad_ledger", "why", message.Inside(err))
	}
	return state, nil
}

// replay makes a script of a game that was played.
func (r *Room) replay(file ScriptFile, text string) (ScriptTitle, error) {
	ledger, err := entry.ReadLedger([]byte(text))
	if err != nil {
		return ScriptTitle{}, api.Refuse("command.bad_script", "why", message.Inside(message.Because(err, "file.of", "file", file.Name)))
	}
	if file.Level == 0 {
		file.Level = 3
	}
	plot, err := maker.FromLedger(ledger, file.Level)
	if err != nil {
		return ScriptTitle{}, api.Refuse("command.bad_script", "why", message.Inside(message.In(file.Name, err)))
	}
	s, err := maker.Direct(plot)
	if err != nil {
		return ScriptTitle{}, api.Refuse("command.bad_script", "why", message.Inside(message.In(file.Name, err)))
	}
	return r.keep(s)
}

// makeScript makes a script of a seed, a level and skills.
func makeScript(c *api.Call) (any, error) {
	r := roomOf(c)
	var o ScriptOrder
	if err := c.Read(&o); err != nil {
		return nil, err
	}
	var ids []string
	for _, d := range r.divisions() {
		ids = append(ids, d.ID)
		if d.ID != o.Division {
			continue
		}
		if o.Level < 1 || o.Level > plot.Levels {
			return nil, api.Refuse("engine.no_level", "level", strconv.Itoa(o.Level), "most", strconv.Itoa(plot.Levels))
		}
		s, err := maker.Order{Seed: o.Seed, Level: o.Level, Skills: o.Skills, Division: d, Card: rinkCard()}.Script()
		if err != nil {
			return nil, api.Refuse("command.bad_script", "why", message.Inside(err))
		}
		return r.keep(s)
	}
	return nil, api.Refuse("command.no_division", "division", o.Division, "divisions", strings.Join(ids, ", "))
}
