package season

import "whistlestop/internal/api"

// leadersJSON is a division's list of the best by one figure.
type leadersJSON struct {
	Division string       `json:"division"`
	By       string       `json:"by"`              // points, goals, assists, plus_minus, save_share, average, won, shutouts
	Least    int          `json:"least,omitempty"` // hundredths of the team's games, or minutes, that everybody in it has
	Rows     []leaderJSON `json:"rows"`
}

// leaderJSON is somebody in a list. Equal ones share a place.
type leaderJSON struct {
	Place  int      `json:"place"`
	Equal  bool     `json:"equal,omitempty"`
	Who    string   `json:"who,omitempty"` // the person's key; for the bench
	Name   string   `json:"name"`          // a number for guests
	Teams  []string `json:"teams"`         // by their ids
	Value  int      `json:"value"`         // shares and averages in thousandths
	Played int      `json:"played"`
}

// leaders are the lists of a season as whoever asks may see them, of the divisions that
// are wanted.
func (b booked) leaders(c *api.Call, n names) []leadersJSON {
	out := []leadersJSON{}
	for _, list := range b.Leaders {
		if want := c.Query("division"); want != "" && want != list.Division {
			continue
		}
		one := leadersJSON{Division: list.Division, By: string(list.By), Least: list.Least, Rows: []leaderJSON{}}
		for _, l := range list.Rows {
			one.Rows = append(one.Rows, leaderJSON{
				Place: l.Place, Equal: l.Equal, Who: n.key(l.Who), Name: n.of(l.Teams[len(l.Teams)-1], l.Name), Teams: l.Teams, Value: l.Value, Played: l.Played,
			})
		}
		out = append(out, one)
	}
	return out
}
