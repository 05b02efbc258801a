package tally

import "whistlestop/season/figures"

// leaders are the lists of the best by the league's terms, division by division.
func (t *Tally) leaders() []Leaders {
	terms := t.league.Figures
	found := t.figures.Leaders(figures.Terms{
		SkaterGames: terms.SkaterGames, KeeperMinutes: terms.KeeperMinutes, GameMinutes: terms.GameMinutes,
		PlusMinus: terms.PlusMinus, Places: terms.Places,
	})
	out := []Leaders{}
	for _, d := range t.divisions {
		for _, list := range found {
			if list.Stage != d.ID {
				continue
			}
			one := Leaders{Division: d.ID, By: list.By, Least: list.Least, Rows: []Leader{}}
			for _, l := range list.Rows {
				one.Rows = append(one.Rows, LeaderOf(l, list.By, t.nameOf(string(l.Who))))
			}
			out = append(out, one)
		}
	}
	return out
}

// LeaderOf is somebody of a list by one figure, with the name.
func LeaderOf(l figures.Leader, by figures.By, name string) Leader {
	out := Leader{
		Place: l.Place, Equal: l.Equal, Who: string(l.Who), Name: name, Value: l.Value, Played: l.Of.Played, Teams: []string{},
	}
	if by.OfKeepers() {
		out.Played = l.Of.KeeperPlayed
	}
	for _, team := range l.Teams {
		out.Teams = append(out.Teams, string(team))
	}
	return out
}
