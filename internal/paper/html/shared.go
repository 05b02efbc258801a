package html

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/lanes"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

// Words are the texts of a language for people, by their keys.
type Words interface {
	Text(key string, args rules.Args) string
	Language() string // as a tag of BCP 47
}

// Options say what the page shows.
type Options struct {
	Names   bool           // of players; otherwise numbers only
	Picture *lanes.Drawing // of the whole game; nil: none
}

//go:embed shared.html
var text string

// Policy is what a browser may do with the page: show it. The page carries it
// too, for when it is opened as a file.
const Policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"

// Shared writes the page.
func Shared(out io.Writer, d report.Document, o Options, words Words) error {
	p := &page{Document: d, names: o.Names, words: words, Policy: Policy}
	if o.Picture != nil && p.Open() {
		var svg strings.Builder
		if err := o.Picture.SVG(&svg); err != nil {
			return err
		}
		p.Picture = template.HTML(svg.String()) //nolint:gosec // drawn by us, with every text escaped
	}
	return write(out, text, template.FuncMap{"say": p.Say}, p)
}

// head is how every page begins and looks.
//
//go:embed head.html
var head string

// write writes a page of a template.
func write(out io.Writer, text string, functions template.FuncMap, page any) error {
	t, err := template.New("page").Funcs(functions).Parse(head + text)
	if err != nil {
		return err
	}
	return t.Execute(out, page)
}

// page is what the template asks.
type page struct {
	report.Document
	Picture template.HTML
	Policy  string
	names   bool
	words   Words
}

// Language is what the page is written in.
func (p *page) Language() string { return p.words.Language() }

// Say is a text of the catalogue; pairs fill its gaps.
func (p *page) Say(key string, pairs ...any) string {
	all := make([]string, len(pairs))
	for i, one := range pairs {
		all[i] = fmt.Sprint(one)
	}
	return p.words.Text(key, rules.Pairs(all...))
}

// Open reports whether anybody may see every goal: not where a division publishes
// no score, no scorers, or a lead only up to a cap that was passed.
func (p *page) Open() bool {
	show := p.Division.Display
	return !show.NoScore && !show.NoScorers && p.Score.Shown == p.Score.Play
}

// Result is the score as the division lets the public see it.
func (p *page) Result() string {
	switch {
	case p.Division.Display.NoScore:
		return "–"
	case p.Open():
		return fmt.Sprintf("%d–%d", p.Score.Final[0], p.Score.Final[1])
	default:
		return fmt.Sprintf("%d–%d", p.Score.Shown[0], p.Score.Shown[1])
	}
}

// Team is the name of a side.
func (p *page) Team(side entry.Side) string { return p.Teams[side.Index()].Name }

// Who is a player: by name only where names were asked for.
func (p *page) Who(side entry.Side, number entry.Jersey) string {
	team := p.Teams[side.Index()]
	if number == "" || (rules.Team{Withdrawn: team.Withdrawn}).IsWithdrawn(number) {
		return "–"
	}
	if p.names {
		for _, player := range team.Players {
			if player.Number == number && player.Name != "" {
				return string(number) + " " + player.Name
			}
		}
	}
	return string(number)
}

// Assists are the players who assisted.
func (p *page) Assists(g report.GoalLine) string {
	list := make([]string, len(g.Assists))
	for i, a := range g.Assists {
		list[i] = p.Who(g.Side, a)
	}
	return strings.Join(list, ", ")
}

// Class is what kind of goal it was.
func (p *page) Class(g report.GoalLine) string {
	key := "class." + string(g.Class)
	if g.On != entry.OnPlay {
		key = "class." + string(g.On)
	}
	class := p.Say(key)
	if g.EmptyNet {
		class += ", " + p.Say("paper.empty_net")
	}
	return class
}

// Call is what a penalty was for.
func (p *page) Call(l report.PenaltyLine) string {
	if l.Call == "" {
		return p.Say("part." + string(l.Kind))
	}
	return p.Say("paper.call_part", "call", "@call."+l.Call, "part", "@part."+string(l.Kind))
}

// Offender is who was called.
func (p *page) Offender(l report.PenaltyLine) string {
	if l.Bench {
		return p.Say("player.bench")
	}
	return p.Who(l.Side, l.Player)
}

// Period is the short name of a period by its number: 1, 2, 3, OT, OT2.
func (p *page) Period(number int) string {
	for _, one := range p.Periods {
		if one.Period != number {
			continue
		}
		if one.Stage.Kind != entry.Overtime {
			return strconv.Itoa(one.Stage.Number)
		}
		if one.Stage.Number == 1 {
			return p.Say("paper.short.overtime")
		}
		return p.Say("paper.short.overtime") + strconv.Itoa(one.Stage.Number)
	}
	return ""
}

// Shots are the shots of a side, or a dash where none were kept.
func (p *page) Shots(side int) string {
	all := 0
	for _, one := range p.Periods {
		if one.Shots == nil {
			return "–"
		}
		all += one.Shots[side]
	}
	return strconv.Itoa(all)
}

// Fingerprint is that of the last seal.
func (p *page) Fingerprint() string {
	if !p.Sealed {
		return ""
	}
	return p.Seals[len(p.Seals)-1].Fingerprint
}
