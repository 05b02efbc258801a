package pdf

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

// plays writes goals and penalties side by side, in the order of the game.
func (s *reportSheet) plays() {
	goals := grid{
		title: s.say("paper.goals"), none: s.say("paper.no_goals"), rest: 3,
		columns: []column{
			{title: s.say("paper.period_short"), width: 5}, {title: s.say("paper.time"), width: 9, right: true},
			{title: s.say("paper.team"), width: 15}, {title: s.say("paper.scorer")},
			{title: s.say("paper.assists"), width: 13}, {title: s.say("paper.class"), width: 10},
			{title: s.say("paper.score"), width: 8, right: true},
		},
	}
	for _, g := range s.doc.Goals {
		goals.rows = append(goals.rows, cells{text: []string{
			s.period(g.At.Period), g.At.Text, s.team(g.Side), s.scorer(g), s.assists(g), s.class(g),
			strconv.Itoa(g.Score[0]) + "–" + strconv.Itoa(g.Score[1]),
		}})
	}
	penalties := grid{
		title: s.say("paper.penalties"), none: s.say("paper.no_penalties"), rest: 3,
		columns: []column{
			{title: s.say("paper.period_short"), width: 5}, {title: s.say("paper.called"), width: 9, right: true},
			{title: s.say("paper.team"), width: 15}, {title: s.say("paper.player")},
			{title: s.say("paper.call"), width: 25}, {title: s.say("paper.minutes_short"), width: 7, right: true},
			{title: s.say("paper.start"), width: 9, right: true}, {title: s.say("paper.out"), width: 10, right: true},
		},
	}
	for _, p := range s.doc.Penalties {
		penalties.rows = append(penalties.rows, cells{text: []string{
			s.period(p.Off.Period), s.called(p), s.team(p.Side), s.offender(p), s.call(p), minutes(p.Charged),
			s.moment(p.Start, p.Off.Period), s.out(p),
		}})
	}
	s.grids([]float64{46, 54}, goals, penalties)
}

// called is when a penalty was called.
func (s *reportSheet) called(p report.PenaltyLine) string {
	if p.WarmUp {
		return s.say("paper.warm_up")
	}
	return p.Off.Text
}

func (s *reportSheet) team(side entry.Side) string { return s.doc.Teams[side.Index()].Name }

func (s *reportSheet) scorer(g report.GoalLine) string {
	if g.OwnGoal {
		return s.say("paper.own_goal", "player", s.who(g.Side, g.Scorer))
	}
	return s.who(g.Side, g.Scorer)
}

func (s *reportSheet) assists(g report.GoalLine) string {
	if g.Unassisted {
		return s.say("paper.unassisted")
	}
	var list []string
	for _, a := range g.Assists {
		if a == "" {
			a = "–"
		}
		list = append(list, string(a))
	}
	return strings.Join(list, ", ")
}

// class is what kind of goal it was, in short.
func (s *reportSheet) class(g report.GoalLine) string {
	var list []string
	switch g.Class {
	case rules.PowerPlay, rules.ShortHanded:
		list = append(list, s.say("paper.class."+string(g.Class)))
	case rules.EvenStrength:
		list = append(list, s.say("paper.class.even"))
	}
	if g.On != entry.OnPlay {
		list = []string{s.say("paper.class." + string(g.On))}
	}
	if g.EmptyNet {
		list = append(list, s.say("paper.class.empty_net"))
	}
	return strings.Join(list, " ")
}

// offender is who was called, and who sat for it.
func (s *reportSheet) offender(p report.PenaltyLine) string {
	who := s.who(p.Side, p.Player)
	if p.Bench {
		who = s.say("player.bench")
	}
	if p.ServedBy != "" {
		return s.say("paper.served_by", "player", who, "by", string(p.ServedBy))
	}
	return who
}

// call is the infraction, with its part where that is not a minor.
func (s *reportSheet) call(p report.PenaltyLine) string {
	infraction := s.say("paper.infraction", "call", "@call."+p.Call)
	if p.Call == "" {
		infraction = s.say("call.owed")
	}
	if p.Kind == entry.Minor || p.Kind == entry.BenchMinor {
		return infraction
	}
	return s.say("paper.call_part", "call", infraction, "part", "@part."+string(p.Kind))
}

// moment writes a moment, with its period where that is another one.
func (s *reportSheet) moment(at *report.Stamp, period int) string {
	switch {
	case at == nil:
		return "–"
	case at.Period != period:
		return s.period(at.Period) + "/" + at.Text
	default:
		return at.Text
	}
}

// out is when whoever sat was on the ice again, or why nobody was.
func (s *reportSheet) out(p report.PenaltyLine) string {
	switch {
	case p.Wiped:
		return s.say("paper.wiped")
	case p.How == "" || p.How == rules.NotServed:
		return "–"
	case p.Running:
		return s.say("paper.not_over")
	case p.On != nil:
		return s.moment(p.On, p.Off.Period)
	default:
		return s.moment(p.End, p.Off.Period)
	}
}

// goalkeepers writes their figures, and beside them time-outs, changes in goal
// and players alone against a goalkeeper.
func (s *reportSheet) goalkeepers() {
	keepers := grid{
		title: s.say("paper.goalkeepers"), none: s.say("paper.no_goalkeepers"), rest: 1,
		columns: []column{
			{title: s.say("paper.team"), width: 16}, {title: s.say("paper.player")},
			{title: s.say("paper.in_net"), width: 11, right: true}, {title: s.say("paper.shots"), width: 8, right: true},
			{title: s.say("paper.saves"), width: 9, right: true}, {title: s.say("paper.against"), width: 9, right: true},
			{title: s.say("paper.save_share"), width: 9, right: true},
		},
	}
	for _, k := range s.doc.Goalkeepers {
		share := "–"
		if k.SaveShare != nil {
			share = thousandths(*k.SaveShare)
		}
		keepers.rows = append(keepers.rows, cells{text: []string{
			s.team(k.Side), s.who(k.Side, k.Number), k.Time.String(), known(k.Shots), known(k.Saves),
			strconv.Itoa(k.GoalsAgainst), share,
		}})
	}
	also := grid{
		title: s.say("paper.also"), none: s.say("paper.nothing_else"), rest: 3,
		columns: []column{
			{title: s.say("paper.period_short"), width: 5}, {title: s.say("paper.time"), width: 9, right: true},
			{title: s.say("paper.team"), width: 15}, {title: ""},
		},
	}
	also.rows = s.also()
	s.grids([]float64{52, 48}, keepers, also)
}

func (s *reportSheet) also() []cells {
	type event struct {
		at  report.Stamp
		row cells
	}
	var events []event
	add := func(at report.Stamp, team, text string) {
		events = append(events, event{at, cells{text: []string{s.period(at.Period), at.Text, team, text}}})
	}
	for _, t := range s.doc.TimeOuts {
		team := s.say("paper.officials_own")
		if t.Side != "" {
			team = s.team(t.Side)
		}
		add(t.At, team, s.say("paper.time_out", "length", t.Length.String()))
	}
	for _, c := range s.doc.Changes {
		text := s.say("paper.empty_net")
		if c.Number != "" {
			text = s.say("paper.in_goal", "player", s.who(c.Side, c.Number))
		}
		add(c.At, s.team(c.Side), text)
	}
	for _, a := range s.doc.Attempts {
		key := "paper.penalty_shot"
		if a.ShootOut {
			key = "paper.shoot_out"
		}
		outcome := "@paper.missed"
		if a.Scored {
			outcome = "@paper.scored"
		}
		text := s.say(key, "player", s.who(a.Side, a.Player), "outcome", outcome)
		if a.Goalkeeper != "" {
			text = s.say("paper.against_goalkeeper", "what", text, "goalkeeper", string(a.Goalkeeper))
		}
		at := a.At
		if a.ShootOut { // after all play
			at = report.Stamp{Abs: s.doc.Totals.Played + 1}
		}
		add(at, s.team(a.Side), text)
	}
	slices.SortStableFunc(events, func(x, y event) int { return cmp.Compare(x.at.Abs, y.at.Abs) })
	rows := make([]cells, len(events))
	for i, one := range events {
		rows[i] = one.row
	}
	return rows
}

// minutes writes penalty minutes: whole ones as 2, others as 1:30.
func minutes(m entry.Millis) string {
	switch {
	case m == 0:
		return ""
	case m%60_000 == 0:
		return strconv.Itoa(int(m / 60_000))
	default:
		return m.String()
	}
}

// known writes a figure that may not have been kept.
func known(n *int) string {
	if n == nil {
		return "–"
	}
	return strconv.Itoa(*n)
}

// thousandths writes a share as people do: .923, and 1.000.
func thousandths(n int) string {
	if n >= 1000 {
		return "1.000"
	}
	return "." + strconv.Itoa(1000 + n)[1:]
}

// instant writes the time of day of an instant, with its zone.
func (s *reportSheet) instant(m entry.Millis) string {
	at := time.UnixMilli(int64(m)).In(s.zone)
	return at.Format("15:04 ") + utc(at)
}

// utc is how far a time of day is ahead of UTC: the names of zones differ from one
// computer to the next, and a browser knows none.
func utc(at time.Time) string {
	_, ahead := at.Zone()
	sign := "+"
	if ahead < 0 {
		sign, ahead = "-", -ahead
	}
	switch hours, minutes := ahead/3600, ahead/60%60; {
	case ahead == 0:
		return "UTC"
	case minutes == 0:
		return fmt.Sprintf("UTC%s%d", sign, hours)
	default:
		return fmt.Sprintf("UTC%s%d:%02d", sign, hours, minutes)
	}
}
