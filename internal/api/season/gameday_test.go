package season_test

import (
	"crypto/ed25519"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/api/season"
	"whistlestop/internal/bench"
	"whistlestop/record/seal"
	doc "whistlestop/record/tables"
	"whistlestop/season/schedule"
)

const (
	firstID  = "01JD0000000000000000000001"
	secondID = "01JD0000000000000000000002"
)

type lineup struct {
	Division       string
	Known          bool
	Venue, Date    string
	Home, Visitors entry.Team
	Out            []struct {
		Side, Name, Why, Game string
		Number, Games         int
	}
	SlotEnd int64 `json:"slot_end_ms"`
}

// roster is a team's list: a goalkeeper and the numbers, each with a name of the team.
func roster(team string, numbers ...string) entry.Team {
	t := entry.Team{Name: team, Players: []entry.Player{{Number: "30", Name: team + " Keeper", Goalkeeper: true}}}
	for _, number := range numbers {
		t.Players = append(t.Players, entry.Player{Number: entry.Jersey(number), Name: team + " Nr " + number})
	}
	return t
}

func (o *office) lineup(game string) (out lineup) {
	o.t.Helper()
	if no := o.ask("GET", "/api/season/schedule/"+game+"/lineup", "", &out); no != "" {
		o.t.Fatal(no)
	}
	return out
}

func (o *office) open(game, id string, home, visitors entry.Team, more string) (no string) {
	o.t.Helper()
	both, err := json.Marshal(map[string]any{"id": id, "home": home, "visitors": visitors})
	if err != nil {
		o.t.Fatal(err)
	}
	var out struct{ ID string }
	return o.ask("POST", "/api/season/schedule/"+game+"/open", strings.TrimSuffix(string(both), "}")+more+"}", &out)
}

// post posts what happened in a game, one entry after another.
func (o *office) post(game string, bodies ...entry.Body) {
	o.t.Helper()
	for _, body := range bodies {
		o.count++
		draft := entry.Entry{ID: fmt.Sprintf("01JD00000000000000000%05d", 100+o.count), Game: game, Wall: o.live.Now(), Seat: entry.Solo, Body: body}
		if body.Kind() == entry.KindGoal || body.Kind() == entry.KindPenalty {
			draft.At = entry.At{Period: 1, Elapsed: 60_000 * entry.Millis(o.count%10)}
		}
		if a, is := body.(entry.Amended); is {
			draft.Of, draft.Body = o.last, a
		} else {
			o.last = draft.ID
		}
		if _, err := o.live.Post(o.t.Context(), game, []entry.Entry{draft}); err != nil {
			var p *bench.Problem
			if errors.As(err, &p) {
				o.t.Fatalf("%s: %+v", body.Kind(), p.Refused)
			}
			o.t.Fatal(err)
		}
	}
}

func (o *office) seal(game string) {
	o.t.Helper()
	key := ed25519.NewKeyFromSeed([]byte(strings.Repeat("k", ed25519.SeedSize)))
	if _, _, err := o.live.Seal(o.t.Context(), game, "the crew had to leave", bench.Poster{}, seal.Key(key)); err != nil {
		var p *bench.Problem
		if errors.As(err, &p) {
			o.t.Fatalf("%s: %+v", p.Say.Key, p.Refused)
		}
		o.t.Fatal(err)
	}
}

type tables struct {
	Divisions []struct {
		ID     string
		Places []struct {
			Team           string
			Points, Played int
			For            int
		}
	}
}

func (o *office) points(division, team string) int {
	o.t.Helper()
	var out tables
	if no := o.ask("GET", "/api/season/standings?division="+division, "", &out); no != "" || len(out.Divisions) != 1 {
		o.t.Fatalf("%+v, %s", out, no)
	}
	for _, p := range out.Divisions[0].Places {
		if p.Team == team {
			return p.Points
		}
	}
	return -1
}

// two are a team's first game and its next one.
func (o *office) two(team string) (first, next string) {
	o.t.Helper()
	games := o.plan("?team=" + team).Games
	begin := func(i int) string { return games[i].Place.Day + " " + games[i].Place.Start }
	one, two := 0, -1
	for i := range games {
		if begin(i) < begin(one) {
			one = i
		}
	}
	for i := range games {
		if i != one && (two < 0 || begin(i) < begin(two)) {
			two = i
		}
	}
	return games[one].ID, games[two].ID
}

func (o *office) teamsOf(game string) (home, visitors string) {
	for _, g := range o.plan("").Games {
		if g.ID == game {
			return g.Home, g.Visitors
		}
	}
	o.t.Fatalf("no game %s", game)
	return "", ""
}

// From the schedule to the suspension and back: a game is opened with all that is
// known of it; what was called in it keeps a player out of the next one; a note lets
// the player play; and when the call is corrected after the seal, what that changed is
// listed.
func TestASuspendedPlayerIsRefusedAndLetPlay(t *testing.T) {
	o := seasoned(t)
	const team = "millrace-u14"
	first, next := o.two(team)
	side := func(game string) entry.Side {
		if home, _ := o.teamsOf(game); home == team {
			return entry.Home
		}
		return entry.Visitors
	}
	ours, others := roster("Millrace", "4", "17"), roster("Others", "9", "8")
	both := func(game string, ours entry.Team) (home, visitors entry.Team) {
		if side(game) == entry.Home {
			return ours, others
		}
		return others, ours
	}
	kept := roster("Millrace", "4", "17")
	kept.Name = "Millrace Under 14"
	o.teams = []entry.Team{kept, roster("Millrace", "99")}
	known := o.lineup(first)
	if known.Division != "harbour-u14" || !known.Known || known.Date == "" || known.SlotEnd == 0 || len(known.Out) != 0 {
		t.Errorf("%+v", known)
	}
	// There is a Millrace in every division: only the roster kept with the division is surely this one's.
	if got := map[entry.Side]entry.Team{entry.Home: known.Home, entry.Visitors: known.Visitors}[side(first)]; len(got.Players) != 3 || got.Name != "Millrace" {
		t.Errorf("the book gave %+v", got)
	}
	home, visitors := both(first, ours)
	if no := o.open(first, firstID, home, visitors, ""); no != "" {
		t.Fatal(no)
	}
	if len(o.teams) != 3 || slices.ContainsFunc(o.teams, func(one entry.Team) bool { return one.Name == "Others" }) {
		t.Errorf("the book has %+v", o.teams)
	}
	if no := o.open(first, firstID, home, visitors, ""); no != "" {
		t.Errorf("asked again: %s", no)
	}
	if no := o.open(first, secondID, home, visitors, ""); no != "season.opened_already" {
		t.Errorf("opened twice: %q", no)
	}
	update, err := o.live.State(t.Context(), firstID)
	if err != nil || update.State.Info.Schedule != first || int64(update.State.Bench.SlotEnd) != known.SlotEnd {
		t.Errorf("%+v, %v", update.State.Info, err)
	}
	period := func(n int) entry.Body {
		return entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: n}, Length: entry.Clock(12, 0)}
	}
	o.post(firstID, period(1), entry.Goal{Side: side(first), Scorer: "4"},
		entry.Penalty{Side: side(first), Player: "17", Call: "boarding", Parts: []entry.Part{entry.Major, entry.GameMisconduct}})
	call := o.last
	over := entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}}
	o.post(firstID, over)
	if got := o.points("u14", team); got != 0 {
		t.Errorf("%d points before the seal", got)
	}
	o.seal(firstID)
	if got := o.points("u14", team); got < 2 {
		t.Errorf("%d points for the winner after the seal", got)
	}
	out := o.lineup(next).Out
	if len(out) != 1 || out[0].Name != "Millrace Nr 17" || out[0].Why == "" || out[0].Game != first {
		t.Fatalf("out of the next game: %+v", out)
	}
	marked := o.lineup(next)
	for _, p := range map[entry.Side]entry.Team{entry.Home: marked.Home, entry.Visitors: marked.Visitors}[side(next)].Players {
		if (p.Number == "17") != (p.Status == entry.Suspended) {
			t.Errorf("%s is %q in the roster", p.Number, p.Status)
		}
	}
	var moved struct {
		Changes, Duties []string
		Done            bool
	}
	move := `{"state":"postponed","why":"no ice","saw":"` + o.plan("").Mark + `"}`
	if no := o.ask("POST", "/api/season/schedule/"+next, move, &moved); no != "" || moved.Done || len(moved.Changes) == 0 || moved.Duties == nil || len(moved.Duties) > 0 {
		t.Errorf("a game that somebody is to miss is moved: %+v, %s", moved, no)
	}
	// Who is on duty there is said; where that cannot be read the game can be moved all the same.
	o.s.Duties = func(_ *api.Call, games []schedule.Game, g schedule.Game) ([]string, error) {
		if g.ID != next || g.State != schedule.Postponed || g.Place != nil || slices.ContainsFunc(games, func(one schedule.Game) bool { return one.State == schedule.Postponed }) {
			return nil, errFull
		}
		return []string{"clock: Ida Vik"}, nil
	}
	if no := o.ask("POST", "/api/season/schedule/"+next, move, &moved); no != "" || !slices.Equal(moved.Duties, []string{"clock: Ida Vik"}) {
		t.Errorf("%+v, %s", moved, no)
	}
	o.s.Duties = func(*api.Call, []schedule.Game, schedule.Game) ([]string, error) { return nil, errFull }
	if no := o.ask("POST", "/api/season/schedule/"+next, move, &moved); no != "" || !slices.Equal(moved.Duties, []string{"crew.moved.unknown"}) {
		t.Errorf("%+v, %s", moved, no)
	}
	o.names(first)
	o.exported()
	o.behind(first, team)
	var would struct {
		Table struct {
			Places []struct {
				Team   string
				Points int
			}
		}
		Chances []string
	}
	goals := map[entry.Side]string{entry.Home: "[3,1]", entry.Visitors: "[1,3]"}[side(next)]
	if no := o.ask("POST", "/api/season/what-if", `{"division":"u14","picks":[{"game":"`+next+`","goals":`+goals+`,"how":"reg"}]}`, &would); no != "" ||
		len(would.Table.Places) != 4 || would.Table.Places[0].Team != team || would.Table.Places[0].Points != 2*o.points("u14", team) || len(would.Chances) != 4 {
		t.Errorf("%+v, %s", would, no)
	}
	if no := o.ask("POST", "/api/season/what-if", `{"division":"u14","picks":[{"game":"`+first+`","goals":[1,0],"how":"reg"}]}`, &would); no != "season.refused" {
		t.Errorf("a game that was played was picked: %q", no)
	}

	// Refused with the reason; let play with a note; and at the bench the same.
	home, visitors = both(next, ours)
	if no := o.open(next, secondID, home, visitors, ""); no != "season.suspended" {
		t.Errorf("a suspended player in the line-up: %q", no)
	}
	if _, err := o.live.State(t.Context(), secondID); err == nil {
		t.Error("the game was opened all the same")
	}
	sat := ours
	sat.Players = append([]entry.Player(nil), ours.Players...)
	sat.Players[2].Status = entry.Suspended
	home, visitors = both(next, sat)
	if no := o.open(next, secondID, home, visitors, ""); no != "" {
		t.Fatal(no)
	}
	guarded := o.s.Guard(o.live)
	play := []entry.Entry{{ID: "01JD00000000000000000000X1", Game: secondID, Seat: entry.Solo, Body: entry.RosterSet{Side: side(next), Team: ours}}}
	if considered, err := guarded.Preview(t.Context(), secondID, play); err != nil || len(considered.Refused) != 1 || considered.Refused[0].Say.Args.Get("number") != "17" {
		t.Errorf("%+v, %v", considered.Refused, err)
	}
	_, err = guarded.PostFrom(t.Context(), secondID, play, bench.Poster{})
	var p *bench.Problem
	if !errors.As(err, &p) || len(p.Refused) != 1 || p.Refused[0].Field != "suspended/"+string(side(next))+"/17" {
		t.Errorf("%v", err)
	}
	note := entry.Entry{ID: "01JD00000000000000000000X2", Game: secondID, Seat: entry.Solo, Body: entry.Note{
		Text: "The referee spoke with the league on the telephone", About: entry.SuspendedPlay, Side: side(next), Player: "17",
	}}
	if _, err := guarded.PostFrom(t.Context(), secondID, append(play, note), bench.Poster{}); err != nil {
		t.Errorf("with the league's word: %v", err)
	}
	// The roster that was entered at the bench is there for the team's next game.
	if kept := o.book("Millrace Under 14"); len(kept.Players) != len(ours.Players) || kept.Players[2].Status != ours.Players[2].Status {
		t.Errorf("the book has %+v", kept)
	}

	// The call was another one: corrected after the seal, and listed.
	o.last = call
	o.post(firstID, entry.Amended{To: entry.Penalty{Side: side(first), Player: "17", Call: "boarding", Parts: []entry.Part{entry.Minor}}})
	if out := o.lineup(next).Out; len(out) != 0 {
		t.Errorf("still out after the correction: %+v", out)
	}
	var amended struct {
		Games []struct {
			Game    string
			Sealed  bool
			Changes []string
		}
	}
	if no := o.ask("GET", "/api/season/amendments", "", &amended); no != "" || len(amended.Games) != 1 || amended.Games[0].Game != first || amended.Games[0].Sealed {
		t.Fatalf("%+v, %s", amended, no)
	}
	told := false
	for _, say := range amended.Games[0].Changes {
		told = told || say == "tally.changed_owes_notMillrace Nr 17"
	}
	if !told {
		t.Errorf("%+v", amended.Games[0].Changes)
	}
}

// book is a team of the book of teams.
func (o *office) book(name string) entry.Team {
	for _, team := range o.teams {
		if team.Name == name {
			return team
		}
	}
	return entry.Team{}
}

// exported looks whether the season can be had as a file, with names only where they
// are asked for by the bench.
func (o *office) exported() {
	o.t.Helper()
	o.s.Formats = []season.Format{{Name: "csv", Media: "text/csv; charset=utf-8"}}
	o.s.Write = func(out io.Writer, d doc.Document, format, paper string, _ api.Words) error {
		_, err := fmt.Fprintf(out, "%s %s %v %+v", format, paper, d.Names(), d.Flat("skaters").Rows)
		return err
	}
	var text string
	if no := o.ask("GET", "/api/season/export.csv?what=skaters&paper=letter", "", &text); no != "" || !strings.HasPrefix(text, "csv letter [skaters]") || strings.Contains(text, "Millrace Nr") {
		o.t.Errorf("%s %s", no, text)
	}
	if no := o.ask("GET", "/api/season/export.csv?names=yes", "", &text); no != "" || !strings.Contains(text, "Millrace Nr") || !strings.Contains(text, "suspensions") {
		o.t.Errorf("%s %s", no, text)
	}
	for _, wrong := range []string{"what=luck", "paper=a0"} {
		if no := o.ask("GET", "/api/season/export.csv?"+wrong, "", &text); no != "season.no_export" {
			o.t.Errorf("%s: %q", wrong, no)
		}
	}
	o.guest = true
	for range 2 { // the second from what the first was given
		for _, names := range []string{"", "yes", "adults"} {
			if no := o.ask("GET", "/api/season/export.csv?names="+names, "", &text); no != "" || !strings.Contains(text, "skaters") || strings.Contains(text, "Millrace Nr") {
				o.t.Errorf("a guest asks for names of %q: %s %s", names, no, text)
			}
		}
	}
	if no := o.ask("GET", "/api/season/export.csv?what=skaters&paper=letter", "", &text); no != "" || !strings.HasPrefix(text, "csv letter [skaters]") {
		o.t.Errorf("another file for a guest: %s %s", no, text)
	}
	o.guest = false
	if no := o.ask("GET", "/api/season/export.csv?names=yes", "", &text); no != "" || !strings.Contains(text, "Millrace Nr") {
		o.t.Errorf("the bench got a guest's file: %s %s", no, text)
	}
}

// names looks whether guests get numbers and the bench names, of suspensions and figures.
func (o *office) names(game string) {
	o.t.Helper()
	for _, guest := range []bool{false, true} {
		o.guest = guest
		for _, what := range []string{"suspensions", "figures"} {
			var text string
			if no := o.ask("GET", "/api/season/"+what, "", &text); no != "" {
				o.t.Fatal(no)
			}
			if has := strings.Contains(text, "Millrace Nr"); has == guest || guest && (!strings.Contains(text, `"#17"`) || strings.Contains(text, "404")) {
				o.t.Errorf("%s, guest %v: %s", what, guest, text)
			}
			if what == "figures" && !strings.Contains(text, `"by":"shutouts"`) && !strings.Contains(text, `"by":"goals"`) {
				o.t.Errorf("nobody leads: %s", text)
			}
		}
	}
	o.guest = false
}
