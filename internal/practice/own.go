package practice

import (
	"slices"

	"whistlestop/game/card"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/internal/api"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
)

// Own is what an association put into its site: rink cards, each with its picture in it,
// divisions and scripts, as their files.
type Own struct {
	Cards     []CardText `json:"cards"`
	Divisions []CardText `json:"divisions"`
	Scripts   []CardText `json:"scripts"`
}

// OwnTaken says what of it can be used here.
type OwnTaken struct {
	Rinks     []string      `json:"rinks"`
	Divisions []string      `json:"divisions"`
	Scripts   []ScriptTitle `json:"scripts"`
}

// ownMost is how many files of a kind an association can put into its site.
const ownMost = 40

// Check reads every file, and says of the first that cannot be used what is wrong.
func (o Own) Check() error {
	_, err := o.read()
	return err
}

// owned is what was read of an association's files.
type owned struct {
	cards     []card.Card
	divisions []rulebook.Division
}

func (o Own) read() (owned, error) {
	var all owned
	if len(o.Cards) > ownMost || len(o.Divisions) > ownMost || len(o.Scripts) > ownMost {
		return all, message.New("engine.own_many", "most", ownMost)
	}
	for _, file := range o.Cards {
		one, err := card.Parse([]byte(file.Text), file.Name)
		if err != nil {
			return all, err
		}
		all.cards = append(all.cards, one)
	}
	for _, file := range o.Divisions {
		d, err := rulebook.ParseDivision([]byte(file.Text), file.Name)
		if err != nil {
			return all, err
		}
		all.divisions = append(all.divisions, d)
	}
	known := plot.Known{Divisions: slices.Concat(rulebook.Divisions(), all.divisions), Card: rinkCard()}
	for _, file := range o.Scripts {
		if _, err := maker.Parse([]byte(file.Text), file.Name, known); err != nil {
			return all, err
		}
	}
	return all, nil
}

// takeOwn takes what the site's association has put into it.
func takeOwn(c *api.Call) (any, error) {
	var sent Own
	if err := c.Read(&sent); err != nil {
		return nil, err
	}
	r := roomOf(c)
	all, err := sent.read()
	if err != nil {
		return nil, api.Refuse("engine.own_unusable", "why", message.Inside(err))
	}
	r.own, r.ownFiles = all, sent
	taken := OwnTaken{Rinks: []string{}, Divisions: []string{}, Scripts: []ScriptTitle{}}
	for _, one := range all.cards {
		taken.Rinks = append(taken.Rinks, one.Rink)
	}
	for _, d := range all.divisions {
		taken.Divisions = append(taken.Divisions, d.ID)
	}
	for _, file := range sent.Scripts {
		s, err := maker.Parse([]byte(file.Text), file.Name, r.known())
		if err != nil {
			return nil, api.Refuse("engine.own_unusable", "why", message.Inside(err))
		}
		title, err := r.keep(s)
		if err != nil {
			return nil, err
		}
		taken.Scripts = append(taken.Scripts, title)
	}
	return taken, nil
}

// divisions are those that practice knows: the association's first.
func (r *Room) divisions() []rulebook.Division {
	return slices.Concat(r.own.divisions, rulebook.Divisions())
}

// known is what the scripts of a coordinator may name.
func (r *Room) known() plot.Known {
	return plot.Known{Divisions: r.divisions(), Card: rinkCard()}
}
