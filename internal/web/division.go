package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"slices"
	"strings"

	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/answer"
)

// Divisions keeps a league's own divisions. All lists its files; Keep writes the
// file of one, in place of an older one with its id, and says ErrUnwritable of the
// rulebook where a file cannot say what is in it.
type Divisions interface {
	All() ([]rulebook.OwnDivision, error)
	Keep(rulebook.Division) error
}

// unsaid is the source of a setting about which nobody said where it was read.
const unsaid = "common practice, no source"

// divisionsJSON is the divisions that a game can be opened with.
type divisionsJSON struct {
	Divisions []rulebook.Division `json:"divisions"`
	Own       []string            `json:"own"`     // ids of those that are the league's own
	Damaged   []badCardJSON       `json:"damaged"` // files of the league's own that cannot be used
}

// keepDivisionJSON is a division of the league's own.
type keepDivisionJSON struct {
	From     string            `json:"from"` // the division that it was made from
	Division rulebook.Division `json:"division"`
	Source   string            `json:"source,omitempty"`  // where what differs was read
	Replace  bool              `json:"replace,omitempty"` // in place of the one of that name
}

// allDivisions lists the divisions that come with the program, then those of the
// league's own.
func (s *Server) allDivisions() (list []rulebook.Division, damaged []badCardJSON) {
	list, damaged = rulebook.Divisions(), []badCardJSON{}
	if s.Divisions == nil {
		return list, damaged
	}
	files, err := s.Divisions.All()
	if err != nil {
		s.Logger.Error("read the divisions", "error", err)
	}
	for _, file := range files {
		switch {
		case file.Bad != nil:
			damaged = append(damaged, badCardJSON{File: file.Name, Why: file.Bad.Error()})
		case slices.ContainsFunc(list, func(d rulebook.Division) bool { return d.ID == file.Division.ID }):
			damaged = append(damaged, badCardJSON{File: file.Name, Why: file.Name + ": the program has a division with the id " +
				file.Division.ID + "; give this one an id of its own"})
		default:
			list = append(list, file.Division)
		}
	}
	return list, damaged
}

// keepDivision takes a division of the league's own, checks it as its file is
// checked, and keeps it.
func (s *Server) keepDivision(w http.ResponseWriter, r *http.Request) {
	var body keepDivisionJSON
	if !s.read(w, r, &body) {
		return
	}
	refuse := func(status int, field, key string, pairs ...string) {
		why := rules.Say{Key: key, Args: rules.Pairs(pairs...)}
		s.problem(w, r, status, kindRefused, s.Words.Text(why.Key, why.Args), rules.Refusal{Field: field, Say: why})
	}
	list, _ := s.allDivisions()
	at := slices.IndexFunc(list, func(d rulebook.Division) bool { return d.ID == body.From })
	if at < 0 {
		refuse(http.StatusUnprocessableEntity, "from", "division.no_base", "division", answer.Clip(body.From))
		return
	}
	d := body.Division
	d.Name, d.League = strings.TrimSpace(d.Name), strings.TrimSpace(d.League)
	if d.Name == "" {
		refuse(http.StatusUnprocessableEntity, "name", "division.no_name")
		return
	}
	d.ID = slug(d.League + " " + d.Name)
	came := slices.ContainsFunc(rulebook.Divisions(), func(one rulebook.Division) bool { return one.ID == d.ID })
	if known := slices.ContainsFunc(list, func(one rulebook.Division) bool { return one.ID == d.ID }); came || known && !body.Replace {
		refuse(http.StatusConflict, "name", "division.taken")
		return
	}
	if key, err := d.Fault(); err != nil {
		refuse(http.StatusUnprocessableEntity, key, "division.unusable", "why", err.Error())
		return
	}
	d.Sources = sources(d, list[at], strings.TrimSpace(body.Source))
	if s.Divisions == nil {
		s.problem(w, r, http.StatusServiceUnavailable, kindUnavailable, s.text("division.not_kept"))
		return
	}
	err := s.Divisions.Keep(d)
	switch {
	case errors.Is(err, rulebook.ErrUnwritable):
		refuse(http.StatusUnprocessableEntity, "", "division.odd")
		return
	case err != nil:
		s.Logger.Error("keep a division", "division", d.ID, "error", err)
		s.problem(w, r, http.StatusServiceUnavailable, kindUnavailable, s.text("division.not_kept"))
		return
	}
	s.Logger.Info("a division was kept", "division", d.ID)
	s.json(w, r, http.StatusOK, d)
}

// sources says where each setting of a division was read: what is as in the one
// that it was made from keeps that source.
func sources(d, from rulebook.Division, said string) map[string]string {
	if said == "" {
		said = unsaid
	}
	own, base, nothing := settings(d), settings(from), settings(rulebook.Division{})
	list := map[string]string{}
	for key, value := range own {
		if value == nothing[key] {
			continue
		}
		source := said
		if value == base[key] && from.Sources[key] != "" {
			source = from.Sources[key]
		}
		list[key] = source
	}
	return list
}

// settings are the settings of a division that need a source, by the names of the
// file, each as JSON.
func settings(d rulebook.Division) map[string]string {
	raw, err := json.Marshal(d)
	all := map[string]json.RawMessage{}
	if err == nil {
		err = json.Unmarshal(raw, &all)
	}
	list := map[string]string{}
	for key, value := range all {
		key = strings.TrimSuffix(key, "_ms")
		if err == nil && !slices.Contains([]string{"id", "name", "league", "code", "sources"}, key) {
			list[key] = string(value)
		}
	}
	return list
}

// slug is the id of a division, from its name.
func slug(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	id := strings.Join(words, "-")
	if id == "" {
		return "division"
	}
	return strings.TrimSuffix(id[:min(len(id), 60)], "-")
}
