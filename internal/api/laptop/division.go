package laptop

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"

	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/internal/api"
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

// keepDivisionJSON is a division of the league's own.
type keepDivisionJSON struct {
	From     string            `json:"from"` // the division that it was made from; empty: none, it says its sources itself
	Division rulebook.Division `json:"division"`
	Source   string            `json:"source,omitempty"`  // where what differs was read
	Replace  bool              `json:"replace,omitempty"` // in place of the one of that name
	Check    bool              `json:"check,omitempty"`   // say what would be kept, and keep nothing
}

// league lists the league's own divisions, and the files that cannot be used.
func (s *Service) league(words api.Words) (own []rulebook.Division, damaged []api.BadCard) {
	if s.Divisions == nil {
		return nil, nil
	}
	files, err := s.Divisions.All()
	if err != nil {
		s.Logger.Error("read the divisions", "error", err)
	}
	came := rulebook.Divisions()
	for _, file := range files {
		switch {
		case file.Bad != nil:
			damaged = append(damaged, api.BadCard{File: file.Name, Why: api.Reason(words, file.Bad)})
		case has(came, file.Division.ID), has(own, file.Division.ID):
			damaged = append(damaged, api.BadCard{File: file.Name, Why: api.Reason(words, message.In(file.Name, message.New("division_file.ready_id", "id", file.Division.ID)))})
		default:
			own = append(own, file.Division)
		}
	}
	return own, damaged
}

func has(list []rulebook.Division, id string) bool {
	return slices.ContainsFunc(list, func(d rulebook.Division) bool { return d.ID == id })
}

// keepDivision takes a division of the league's own, checks it as its file is
// checked, and keeps it.
func (s *Service) keepDivision(c *api.Call, in keepDivisionJSON) (d rulebook.Division, err error) {
	list := c.Divisions().Divisions
	from := in.Division
	if in.From != "" {
		at := slices.IndexFunc(list, func(d rulebook.Division) bool { return d.ID == in.From })
		if at < 0 {
			return d, api.Refuse("division.no_base", "division", api.Clip(in.From)).About("from")
		}
		from = list[at]
	}
	d = in.Division
	d.Name, d.League = strings.TrimSpace(d.Name), strings.TrimSpace(d.League)
	if d.Name == "" {
		return d, api.Refuse("division.no_name").About("name")
	}
	d.ID = slug(d.League + " " + d.Name)
	if has(rulebook.Divisions(), d.ID) || has(list, d.ID) && !in.Replace {
		return d, api.NewNo(api.StatusConflict, api.Refused, "division.taken").About("name")
	}
	if key, err := d.Fault(); err != nil {
		return d, api.Refuse("division.unusable", "why", message.Inside(err)).About(key)
	}
	d.Sources = sources(d, from, strings.TrimSpace(in.Source))
	if in.Check {
		return d, nil
	}
	if s.Divisions == nil {
		return d, api.NotNow("division.not_kept")
	}
	err = s.Divisions.Keep(d)
	switch {
	case errors.Is(err, rulebook.ErrUnwritable):
		return d, api.Refuse("division.odd").About("")
	case err != nil:
		s.Logger.Error("keep a division", "division", d.ID, "error", err)
		return d, api.NotNow("division.not_kept")
	}
	s.Logger.Info("a division was kept", "division", d.ID)
	return d, nil
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
