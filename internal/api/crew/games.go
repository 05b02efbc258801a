package crew

import (
	"bytes"
	"io"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/internal/api"
	"whistlestop/internal/wording"
	"whistlestop/record/tables"
)

// crewOverviewJSON is how the desk stands.
type crewOverviewJSON struct {
	Kept   bool           `json:"kept"` // false: this bench keeps no crew
	League string         `json:"league"`
	Season string         `json:"season"`
	From   string         `json:"from"`
	To     string         `json:"to"`
	Today  string         `json:"today"`
	People int            `json:"people"`
	Games  int            `json:"games"`
	Seats  int            `json:"seats"`
	Filled int            `json:"filled"`
	Said   bool           `json:"said"`  // the rules were said, and are not only proposed
	Lan    string         `json:"lan"`   // the address that links have; empty: they reach nobody
	Hub    bool           `json:"hub"`   // links work from anywhere, at any time
	Moved  string         `json:"moved"` // the day on which the desk came here from another computer; empty: it began here
	Gone   string         `json:"gone"`  // the address at which the desk works now; empty: here
	Since  string         `json:"since"` // the day from which on it does
	Teams  []teamName     `json:"teams"`
	Plays  []crewRinkJSON `json:"divisions"` // by id and name
	Rinks  []crewRinkJSON `json:"rinks"`
	Stay   crewStayJSON   `json:"stay"` // whether people stay for a new season
}

// teamName is a team by its name.
type teamName struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// overview is the first thing that the page asks.
func (s *Service) overview(c *api.Call) (crewOverviewJSON, error) {
	if s.Papers == nil {
		return crewOverviewJSON{Teams: []teamName{}, Plays: []crewRinkJSON{}, Rinks: []crewRinkJSON{}}, nil
	}
	return with(s, c, func(v view) (crewOverviewJSON, error) {
		out := crewOverviewJSON{
			Kept: true, Today: v.now.Day.String(), People: len(v.people), Said: v.asked, Lan: s.lan(), Teams: []teamName{}, Plays: []crewRinkJSON{}, Rinks: []crewRinkJSON{}, Stay: v.stay(),
		}
		out.Hub = s.Everywhere
		if v.more.Moved != nil {
			out.Moved = v.more.Moved.Day.String()
		}
		if g := v.more.Gone; g != nil {
			out.Gone, out.Since = g.Address, g.Since.Day.String()
		}
		if v.league == nil {
			return out, nil
		}
		out.League, out.Season, out.From, out.To = v.league.Name, v.league.Season, v.league.From.String(), v.league.To.String()
		for _, d := range v.league.Divisions {
			out.Plays = append(out.Plays, crewRinkJSON{d.ID, d.Name})
			for _, t := range d.Teams {
				out.Teams = append(out.Teams, teamName{t.ID, t.Name + ", " + d.Name})
			}
		}
		for _, r := range v.league.Rinks {
			out.Rinks = append(out.Rinks, crewRinkJSON{r.ID, r.Name})
		}
		list, _ := v.list(everyDay)
		out.Games, out.Seats = len(v.crewGames(everyDay)), len(list)
		for _, one := range list {
			if one.Name != "" {
				out.Filled++
			}
		}
		return out, nil
	})
}

// Print writes a sheet as a page for a printer.
type Print func(out io.Writer, sheet Sheet, words api.Words) error

// PDF writes a document of tables for a printer.
type PDF func(out io.Writer, d tables.Document, words api.Words) error

// Sheet is who sits where in some days, for a wall or for people's hands. It has no
// telephone numbers.
type Sheet struct {
	League   string
	From, To string
	Slips    bool // a slip for each person in place of the list
	Days     []SheetDay
	People   []SheetSlip
	Families []SheetFamily // the balance; nothing else then
	Pots     []SheetColumn // of the balance
}

// SheetDay is the games of a day.
type SheetDay struct {
	Day   string
	Games []SheetGame
}

// SheetGame is a game with its seats.
type SheetGame struct {
	Start, Rink, Teams string
	Seats              []SheetSeat
}

// SheetSeat is a seat with first name and initial of whoever sits there.
type SheetSeat struct {
	Seat, There, Name string
	Must              bool
}

// SheetSlip is what one person takes home.
type SheetSlip struct {
	Name  string
	Lines []SheetLine
}

// SheetLine is a duty on a slip.
type SheetLine struct{ Day, There, Rink, Seat, Teams, Yes, No string }

// SheetFamily is a line of the balance.
type SheetFamily struct {
	Family                                        string
	Share, Done, Missed, Unmarked, Promised, Open int
	Pots                                          []SheetPot // of the sheet's pots, in their order
}

// SheetPot is what a family has of a part of what is to be done.
type SheetPot struct {
	Amount, Done, Promised, Missing int
	Over                            bool
}

// SheetColumn is a part of what is to be done, with its last day; empty: the season's.
type SheetColumn struct{ Name, By string }

// week is the sheet of a week, from the day that is asked for.
func (s *Service) week(c *api.Call) (api.File, error) {
	return with(s, c, func(v view) (api.File, error) {
		from := v.now.Day
		if day := c.Query("day"); day != "" {
			d, err := daysOf(c, day, "")
			if err != nil {
				return api.File{}, err
			}
			from = d.from
		}
		if v.league == nil {
			return api.File{}, api.Refuse("crew.no_season")
		}
		sheet := Sheet{League: v.league.Name, From: from.String(), To: (from + 6).String(), Slips: c.Query("what") == "slips"}
		list, slots := v.list(days{from, from + 6})
		switch c.Query("what") {
		case "balance":
			for _, pot := range v.rules.Pots {
				sheet.Pots = append(sheet.Pots, SheetColumn{pot.Name, dayText(pot.By)})
			}
			for _, f := range v.balanceOf() {
				line := SheetFamily{Family: f.Family, Share: f.Share, Done: f.Done, Missed: f.Missed, Unmarked: f.Unmarked, Promised: f.Promised, Open: f.Open}
				for _, pot := range f.Pots {
					line.Pots = append(line.Pots, SheetPot{pot.Amount, pot.Done, pot.Promised, pot.Missing, pot.Over})
				}
				sheet.Families = append(sheet.Families, line)
			}
		case "slips":
			sheet.People = v.slips(c, list, slots)
		default:
			sheet.Days = v.sheetDays(c, list, slots)
		}
		var page bytes.Buffer
		if c.Query("as") == "pdf" {
			if err := s.PDF(&page, sheet.Document(), c.Words); err != nil {
				return api.File{}, err
			}
			return api.File{Raw: page.Bytes(), Media: "application/pdf", Name: "crew" + ".pdf"}, nil
		}
		if err := s.Print(&page, sheet, c.Words); err != nil {
			return api.File{}, err
		}
		return api.File{Raw: page.Bytes(), Media: "text/html; charset=utf-8", Page: true}, nil
	})
}

func (v view) sheetDays(c *api.Call, list []duties.Duty, slots []slot) (out []SheetDay) {
	day, game := "", ""
	for i, one := range list {
		duty := v.dutyJSON(c, one, slots[i], duties.Book{})
		if duty.Day != day {
			day, game = duty.Day, ""
			out = append(out, SheetDay{Day: wording.Day(c.Words, one.Day)})
		}
		games := &out[len(out)-1].Games
		if one.Game != game {
			game = one.Game
			*games = append(*games, SheetGame{Start: duty.Start, Rink: duty.Rink, Teams: duty.Teams})
		}
		seat := SheetSeat{Seat: duty.Text, There: duty.There, Must: duty.Must}
		if one.Name != "" {
			seat.Name = desk.Short(one.Name)
		}
		seats := &(*games)[len(*games)-1].Seats
		*seats = append(*seats, seat)
	}
	return out
}

func (v view) slips(c *api.Call, list []duties.Duty, slots []slot) (out []SheetSlip) {
	at := map[duties.Who]int{}
	for i, one := range list {
		if one.Name == "" {
			continue
		}
		place, there := at[one.Who]
		if !there {
			place = len(out)
			at[one.Who] = place
			out = append(out, SheetSlip{Name: one.Name})
		}
		duty := v.dutyJSON(c, one, slots[i], duties.Book{})
		out[place].Lines = append(out[place].Lines, SheetLine{
			wording.Day(c.Words, one.Day), duty.There, duty.Rink, duty.Text, duty.Teams, v.log.Code(one, duties.SayYes), v.log.Code(one, duties.SayNo),
		})
	}
	return out
}
