package main

import (
	"context"
	"crypto/ed25519"
	"crypto/rand"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/jsonschema-go/jsonschema"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/api/season"
	"whistlestop/internal/bench"
	"whistlestop/internal/intake"
	"whistlestop/internal/locale"
	"whistlestop/internal/seats"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/web"
	"whistlestop/record/roster"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// noCards is a folder without rink cards that keeps none.
type noCards struct{}

func (noCards) All() ([]card.File, error) { return nil, nil }
func (noCards) Keep(string, []byte) error { return nil }

// onePicture is a picture for the breaks.
type onePicture struct{}

func (onePicture) Get() (raw []byte, media, id string, err error) {
	return []byte{1}, "image/png", "1f", nil
}
func (onePicture) Keep([]byte) error { return nil }
func (onePicture) Remove() error     { return nil }

// oneHub takes every link.
type oneHub struct{}

func (oneHub) Pair(context.Context, string) (string, error) { return "Harbour League", nil }
func (oneHub) Leave() error                                 { return nil }
func (oneHub) KeepNames(string) bool                        { return true }
func (oneHub) NamesEnd(string) (entry.Millis, bool, bool)   { return 1_770_000_000_000, false, false }

// oneKey is the bench's key.
type oneKey struct{ key ed25519.PrivateKey }

func (k oneKey) Key() (ed25519.PrivateKey, error) { return k.key, nil }

// notShared is where no report is shared.
type notShared struct{}

func (notShared) Shared(string) (bool, error) { return false, nil }
func (notShared) Share(string, bool) error    { return nil }

// noTeams is a book without teams that keeps none.
type noTeams struct{}

func (noTeams) Teams() ([]entry.Team, error) { return nil, nil }
func (noTeams) KeepTeam(entry.Team) error    { return nil }
func (noTeams) ForgetTeam(string) error      { return nil }

// oneProposal is one entry of a copy that waits for a decision.
type oneProposal struct{ lines []rules.Line }

func (oneProposal) Propose([]entry.Entry, int) {}
func (p oneProposal) List() []laptop.Proposal {
	return []laptop.Proposal{{ID: "p1", Game: "01JD0000000000000000000000", Home: "Kelp Bay", Visitors: "Millrace", Count: 1, Lines: p.lines}}
}
func (oneProposal) Decide(context.Context, string, bool) (bench.Restored, error) {
	return bench.Restored{Title: bench.Title{Stage: entry.Stage{Kind: entry.Setup}}}, nil
}

// noDivisions is a folder without divisions, which takes every one.
type noDivisions struct{}

func (noDivisions) All() ([]rulebook.OwnDivision, error) { return nil, nil }
func (noDivisions) Keep(rulebook.Division) error         { return nil }

// oneWithdrawal finds a name in one team of the book.
type oneWithdrawal struct{}

func (oneWithdrawal) EndNames(_ context.Context, act bool) (laptop.NamesEnded, error) {
	return laptop.NamesEnded{
		Games: 2, Reached: []string{"/home/bench/games/copies"}, Waiting: []string{"/media/stick"}, Failed: []string{},
		Phones: 1, Kept: 1, Done: act,
	}, nil
}

func (oneWithdrawal) Withdraw(_ context.Context, _ string, act bool) (laptop.Withdrawal, error) {
	return laptop.Withdrawal{Games: []bench.Taken{}, Teams: []string{"Kelp Bay"}, Waiting: []string{}, Left: []string{}, Done: act}, nil
}

// desk is a real server with a game, as its own bench.
type desk struct {
	*web.Server
	game string
	seat *http.Cookie // of a phone; the next request is the phone's
	t    *testing.T
	home string // team of the game that was played
}

func newDesk(t *testing.T) *desk {
	ledger := sample(t)
	kept := memory.New()
	if err := kept.Append(t.Context(), ledger[0].Game, ledger[:8]); err != nil {
		t.Fatal(err)
	}
	_, key, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	quiet := slog.New(slog.DiscardHandler)
	live := bench.New(kept, bench.SteadyClock(), bench.ULIDs(), quiet)
	s := web.New(web.Config{Service: laptop.Service{
		Season: &season.Service{ReadGames: intake.Schedule, Kept: harbour(t), Live: live, Logger: quiet, Teams: noTeams{}.Teams},
		Crew:   crewOf(t, quiet),
		Duties: dutiesOf(quiet),
		Bench:  live, Seats: seats.New(seats.Config{Now: live.Now, Random: rand.Reader}), Cards: noCards{}, Pictures: onePicture{}, Divisions: noDivisions{}, Keys: oneKey{key}, Shares: notShared{}, Teams: noTeams{},
		Hub: oneHub{}, Proposals: oneProposal{lines: []rules.Line{}}, Withdrawals: oneWithdrawal{}, EndsNames: oneWithdrawal{},
		Rosters:   func([]byte) roster.Sheet { return roster.Sheet{} },
		Languages: web.Speaks(locale.Shipped()), Logger: quiet,
		QR: func(text string) (string, error) { return "<svg/>", nil },
		ReadCopy: func([]byte) ([]laptop.CopiedGame, bool, error) {
			return []laptop.CopiedGame{{Ledger: ledger[:8]}}, false, nil
		},
	}, Pages: fstest.MapFS{}, Own: netip.Addr.IsLoopback})
	t.Cleanup(func() { s.Close(); live.Close() })
	return &desk{Server: s, game: ledger[0].Game, t: t}
}

// files are a league file and its schedule, in memory.
type files struct{ league, schedule, decisions, handed []byte }

func (f *files) League() ([]byte, error)          { return f.league, nil }
func (f *files) Schedule() ([]byte, error)        { return f.schedule, nil }
func (f *files) Decisions() ([]byte, error)       { return f.decisions, nil }
func (f *files) HandedIn() ([]byte, error)        { return f.handed, nil }
func (f *files) KeepHandedIn(text []byte) error   { f.handed = text; return nil }
func (f *files) KeepDecisions(text []byte) error  { f.decisions = text; return nil }
func (f *files) KeepLeague(text []byte) error     { f.league = text; return nil }
func (f *files) KeepSchedule(text []byte) error   { f.schedule = text; return nil }
func (f *files) KeepScheduleBefore([]byte) error  { return nil }
func (f *files) KeepDecisionsBefore([]byte) error { return nil }

// harbour is the season of the invented league.
func harbour(t *testing.T) *files {
	text, err := os.ReadFile("../../testdata/league/harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	l, err := league.Read(text, "harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	plan, err := schedule.Make(l, schedule.Settings{Seed: 1, Moves: 1000})
	if err != nil {
		t.Fatal(err)
	}
	games, err := schedule.Keep(l, plan.Games)
	if err != nil {
		t.Fatal(err)
	}
	return &files{league: text, schedule: games}
}

// scheduled is a game of the schedule, and the mark of the schedule.
func (d *desk) scheduled() (id, mark string) {
	d.t.Helper()
	answer := d.ask("GET", "/api/season/schedule", "", "")
	var list struct{ Games []struct{ ID string } }
	if err := json.Unmarshal(answer.Body.Bytes(), &list); err != nil || len(list.Games) == 0 {
		d.t.Fatalf("%s, %v", answer.Body, err)
	}
	return list.Games[0].ID, d.field(answer, "mark")
}

// first is a game of the schedule.
func (d *desk) first() string {
	id, _ := d.scheduled()
	return id
}

// played plays a game of the schedule to its seal, once, and gives its home team.
func (d *desk) played() string {
	d.t.Helper()
	if d.home != "" {
		return d.home
	}
	id, _ := d.scheduled()
	var list struct{ Games []struct{ ID, Home string } }
	if err := json.Unmarshal(d.ask("GET", "/api/season/schedule", "", "").Body.Bytes(), &list); err != nil {
		d.t.Fatal(err)
	}
	const game = "01JD000000000000000000000C"
	over := `{"entries":[{"specversion":"1.0","id":"01JD00000000000000000000Z9","source":"/game/` + game + `","type":"whistlestop.stage_begun.v1",` +
		`"time":"2026-01-10T18:00:00.000Z","seat":"solo","data":{"at":{"period":0,"elapsed_ms":0},"body":{"stage":{"kind":"over"},"length_ms":0}}}]}`
	for _, one := range [][2]string{
		{"/api/season/schedule/" + id + "/open", `{"id":"` + game + `","again":true,"home":{"name":"Home","players":[{"number":"7","name":"Wren"}]},"visitors":{"name":"Visitors"}}`},
		{"/api/games/" + game + "/entries", over},
		{"/api/games/" + game + "/seal", `{"missing":"a very short game"}`},
	} {
		if answer := d.ask("POST", one[0], "application/json", one[1]); answer.Code >= 300 {
			d.t.Fatalf("%s: %s", one[0], answer.Body)
		}
	}
	for _, g := range list.Games {
		if g.ID == id {
			d.home = g.Home
		}
	}
	return d.home
}

// ask sends a request as the bench does.
func (d *desk) ask(method, path, media, body string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host, r.RemoteAddr = "127.0.0.1:8480", "127.0.0.1:50000"
	if d.seat != nil {
		r.RemoteAddr = "192.0.2.7:50000"
		r.AddCookie(d.seat)
		d.seat = nil
	}
	if media != "" {
		r.Header.Set("Content-Type", media)
	}
	w := httptest.NewRecorder()
	d.ServeHTTP(w, r)
	return w
}

// field returns a text of a JSON answer.
func (d *desk) field(answer *httptest.ResponseRecorder, name string) string {
	d.t.Helper()
	var fields map[string]any
	if err := json.Unmarshal(answer.Body.Bytes(), &fields); err != nil {
		d.t.Fatalf("%s: %v", answer.Body, err)
	}
	text, ok := fields[name].(string)
	if !ok {
		d.t.Fatalf("no %s in %s", name, answer.Body)
	}
	return text
}

// wish makes a device ask to be a seat, and returns its request and secret.
func (d *desk) wish() (request, secret string) {
	invite := d.ask("POST", "/api/games/"+d.game+"/invites", "application/json", `{"seat":"box","side":""}`)
	asked := d.ask("POST", "/api/join", "application/json", `{"code":"`+d.field(invite, "code")+`","device":"a phone"}`)
	return d.field(asked, "request"), d.field(asked, "secret")
}

// body is what an operation is asked with, and the end of its path filled in.
func (d *desk) body(o api.Operation) (path, body string) {
	const draft = `{"entries":[{"specversion":"1.0","id":"01JD00000000000000000000Z0","source":"/game/01JD0000000000000000000000",` +
		`"type":"whistlestop.note.v1","time":"2026-01-10T18:00:00.000Z","seat":"solo","data":{"at":{"period":1,"elapsed_ms":0},"body":{"text":"n"}}}]}`
	path = strings.ReplaceAll(o.Path, "{game}", d.game)
	switch o.Method + " " + o.Path {
	case "POST /api/games":
		return path, `{"id":"01JD000000000000000000000A","division":"harbour-u14","home":{"name":"Kelp Bay"},"visitors":{"name":"Millrace"}}`
	case "POST /api/games/{game}/preview", "POST /api/games/{game}/entries":
		return path, draft
	case "POST /api/games/{game}/seal":
		over := strings.NewReplacer("00Z0", "00Z1", "note.v1", "stage_begun.v1", `{"text":"n"}`, `{"stage":{"kind":"over"},"length_ms":0}`).Replace(draft)
		if answer := d.ask("POST", "/api/games/"+d.game+"/entries", "application/json", over); answer.Code != http.StatusOK {
			d.t.Fatal(answer.Body)
		}
		return path, `{"missing":"the coach left"}`
	case "PUT /api/teams":
		return path, `{"team":{"name":"Kelp Bay","players":[{"number":"7"}]}}`
	case "POST /api/rosters/read":
		return path, "7,Wren"
	case "PUT /api/games/{game}/sharing":
		return path, `{"on":true}`
	case "POST /api/games/{game}/invites":
		return path, `{"seat":"shots","side":"home"}`
	case "POST /api/join":
		invite := d.ask("POST", "/api/games/"+d.game+"/invites", "application/json", `{"seat":"box","side":""}`)
		return path, `{"code":"` + d.field(invite, "code") + `","device":"a phone"}`
	case "POST /api/join/{request}":
		request, secret := d.wish()
		d.ask("POST", "/api/games/"+d.game+"/seats/approve", "application/json", `{"request":"`+request+`"}`)
		return "/api/join/" + request, `{"secret":"` + secret + `"}`
	case "POST /api/games/{game}/seats/approve", "POST /api/games/{game}/seats/refuse":
		request, _ := d.wish()
		return path, `{"request":"` + request + `"}`
	case "POST /api/games/{game}/handed", "POST /api/games/{game}/handed/{handed}":
		request, secret := d.wish()
		d.ask("POST", "/api/games/"+d.game+"/seats/approve", "application/json", `{"request":"`+request+`"}`)
		cookies := d.ask("POST", "/api/join/"+request, "application/json", `{"secret":"`+secret+`"}`).Result().Cookies()
		d.seat = cookies[0]
		d.ask("DELETE", "/api/session", "", "")
		kept := `{"entries":[{"specversion":"1.0","id":"01JD00000000000000000000H1","source":"/game/` + d.game + `","type":"whistlestop.seated.v1",` +
			`"time":"2026-01-10T18:00:00.000Z","seat":"box","data":{"at":{"period":0,"elapsed_ms":0},"body":{"side":"home","player":"7","in":true}}}]}`
		d.seat = cookies[0]
		if o.Path == "/api/games/{game}/handed" {
			return path, kept
		}
		d.ask("POST", "/api/games/"+d.game+"/handed", "application/json", kept)
		return strings.ReplaceAll(path, "{handed}", "01JD00000000000000000000H1"), `{"take":false}`
	case "PUT /api/divisions":
		division, err := json.Marshal(rulebook.Divisions()[0])
		if err != nil {
			d.t.Fatal(err)
		}
		return path, `{"from":"` + rulebook.Divisions()[0].ID + `","division":` + strings.Replace(string(division), `"name":"`, `"name":"Ours `, 1) + `}`
	case "POST /api/games/{game}/seats/revoke", "POST /api/games/{game}/seats/count":
		request, secret := d.wish()
		d.ask("POST", "/api/games/"+d.game+"/seats/approve", "application/json", `{"request":"`+request+`"}`)
		d.ask("POST", "/api/join/"+request, "application/json", `{"secret":"`+secret+`"}`)
		var list seats.List
		if err := json.Unmarshal(d.ask("GET", "/api/games/"+d.game+"/seats", "", "").Body.Bytes(), &list); err != nil || len(list.Sessions) == 0 {
			d.t.Fatalf("%+v, %v", list, err)
		}
		return path, `{"session":"` + list.Sessions[len(list.Sessions)-1].ID + `"}`
	case "DELETE /api/games/{game}/invites/{invite}":
		invite := d.ask("POST", "/api/games/"+d.game+"/invites", "application/json", `{"seat":"box","side":""}`)
		return strings.ReplaceAll(path, "{invite}", d.field(invite, "id")), ""
	case "PUT /api/season/league":
		text, err := json.Marshal(string(harbour(d.t).league))
		if err != nil {
			d.t.Fatal(err)
		}
		return path, `{"text":` + string(text) + `,"check":true}`
	case "PUT /api/season/league/form":
		return path, `{"saw":"` + d.field(d.ask("GET", "/api/season/league", "", ""), "mark") + `","keep":false,"edits":[{"table":"standings","at":0,"key":"forfeit_goals","value":"3"}]}`
	case "PUT /api/season/schedule":
		return path, string(harbour(d.t).schedule)
	case "POST /api/season/schedule":
		return path, `{"seed":1,"replace":true}`
	case "POST /api/season/what-if":
		return path, `{"division":"u14","picks":[]}`
	case "PUT /api/season/decisions":
		id, _ := d.scheduled()
		return path, `{"text":"[[result]]\ngame = \"` + id + `\"\nhome = 2\nvisitors = 1\nhow = \"reg\"\nwhy = \"from the sheet on paper\"\n"}`
	case "GET /api/season/schedule/{scheduled}/lineup":
		id, _ := d.scheduled()
		return strings.Replace(path, "{scheduled}", id, 1), ""
	case "POST /api/season/schedule/{scheduled}/open":
		id, _ := d.scheduled()
		return strings.Replace(path, "{scheduled}", id, 1), `{"id":"01JD000000000000000000000B","home":{"name":"Kelp Bay"},"visitors":{"name":"Millrace"}}`
	case "PUT /api/season/incoming":
		return path + "?name=games.csv", "Game,Home,Visitors,Day,Start,Rink\nnew-1,kelp-bay-u14,millrace-u14,2026-11-28,10:00,saltworks\n"
	case "GET /api/season/hand-in/receipt":
		d.played()
		return path + "?game=" + d.first(), ""
	case "POST /api/season/hand-in":
		d.played()
		sum := d.field(d.ask("GET", "/api/season/hand-in/receipt?game="+d.first(), "", ""), "sha256")
		return path, `{"game":"` + d.first() + `","sha256":"` + sum + `","receipt":"taken, no. 12"}`
	case "GET /api/season/standings/{team}":
		return "/api/season/standings/millrace-u14", ""
	case "GET /api/season/figures/{team}":
		return "/api/season/figures/" + d.played() + "?name=Wren", ""
	case "POST /api/season/schedule/{scheduled}":
		id, mark := d.scheduled()
		return "/api/season/schedule/" + id, `{"state":"postponed","why":"no heating","act":true,"saw":"` + mark + `"}`
	case "POST /api/cards":
		return path, "id = \"north\"\nrink = \"North Rink\"\n[[steps]]\nwhen = \"goal\"\ndo = [\"Score {score}.\"]\n"
	case "PUT /api/hub":
		return path, `{"link":"https://hub.example/pair#word"}`
	case "POST /api/restore", "PUT /api/wall/picture":
		return path, "x"
	case "POST /api/copies/end-names":
		return path, `{"act":true}`
	case "POST /api/withdrawals":
		return path, `{"name":"Maren Holt","act":false}`
	case "POST /api/proposals/{proposal}":
		return "/api/proposals/p1", `{"take":true}`
	case "DELETE /api/session":
		request, secret := d.wish()
		d.ask("POST", "/api/games/"+d.game+"/seats/approve", "application/json", `{"request":"`+request+`"}`)
		cookies := d.ask("POST", "/api/join/"+request, "application/json", `{"secret":"`+secret+`"}`).Result().Cookies()
		if len(cookies) == 0 {
			d.t.Fatal("a phone that was let in has no cookie")
		}
		d.seat = cookies[0]
	}
	switch o.Method + " " + o.Path {
	case "PUT /api/crew/on-duty":
		return path, onDutyFile
	case "PUT /api/crew/whole.json": // taken in where no desk is yet
		d.crewBody(o)
		whole := d.ask("GET", o.Path, "", "").Body.String()
		d.Server = newDesk(d.t).Server
		return path, whole
	case "POST /api/games/{game}/crew":
		return path, `{"seat":"clock","act":"came"}`
	}
	if strings.HasPrefix(o.Path, "/api/crew") {
		return d.crewBody(o)
	}
	return path, ""
}

// The description is true: what the program really takes and answers fits the
// schema that stands in it, for every operation that speaks JSON.
func TestRealAnswersKeepTheDescription(t *testing.T) {
	schemas, m, err := APIDefinitions("../..")
	if err != nil {
		t.Fatal(err)
	}
	fits := func(what string, value any, raw []byte) {
		t.Helper()
		schema, err := m.schemaOf(value)
		if err != nil {
			t.Fatal(err)
		}
		whole := *schema
		whole.Schema, whole.Defs = draft, schemas
		resolved, err := (&whole).Resolve(nil)
		if err != nil {
			t.Fatal(err)
		}
		var decoded any
		if err := json.Unmarshal(raw, &decoded); err != nil {
			t.Errorf("%s: %v: %s", what, err, raw)
			return
		}
		if err := resolved.Validate(decoded); err != nil {
			t.Errorf("%s: %v\n%s", what, err, raw)
		}
	}
	d := newDesk(t)
	for _, o := range web.Operations() {
		what := o.Method + " " + o.Path
		if o.Gives == nil {
			continue // streams and files; the stream has a test of its own
		}
		path, body := d.body(o)
		media := o.TakesMedia
		if media == "" && body != "" {
			media = "application/json"
			fits(what+" takes", o.Takes, []byte(body))
		}
		answer := d.ask(o.Method, path, media, body)
		if answer.Code != o.Usual() {
			t.Errorf("%s: %d, described as %d: %s", what, answer.Code, o.Usual(), answer.Body)
			continue
		}
		fits(what+" gives", o.Gives, answer.Body.Bytes())
	}
	for _, path := range []string{"/api/none", "/api/games/none"} {
		fits(path, api.Problem{}, d.ask("GET", path, "", "").Body.Bytes())
	}
	public := d.ask("GET", "/api/games/"+d.game+"?view=public", "", "")
	for _, o := range web.Operations() {
		if o.Path == "/api/games/{game}" && o.Method == "GET" {
			fits("the public view", o.Gives, public.Body.Bytes())
		}
	}
}

// The served description is the one that was made from this code.
func TestTheDescriptionIsServed(t *testing.T) {
	made, err := OpenAPI("../..")
	if err != nil {
		t.Fatal(err)
	}
	answer := newDesk(t).ask("GET", "/api/openapi.json", "", "")
	if answer.Code != http.StatusOK || answer.Body.String() != string(made) {
		t.Error("the program serves another description: run make contract")
	}
	var document struct {
		OpenAPI    string
		Paths      map[string]map[string]any
		Components struct{ Schemas map[string]*jsonschema.Schema }
	}
	if err := json.Unmarshal(made, &document); err != nil || document.OpenAPI != "3.1.0" {
		t.Fatal(err)
	}
	count := 0
	for _, methods := range document.Paths {
		count += len(methods)
	}
	if count != len(web.Operations()) || strings.Contains(string(made), prefix) {
		t.Errorf("%d operations of %d", count, len(web.Operations()))
	}
	for _, reference := range strings.Split(string(made), `"$ref": "#/components/schemas/`)[1:] {
		name, _, _ := strings.Cut(reference, `"`)
		if document.Components.Schemas[name] == nil {
			t.Errorf("%s is referred to and not there", name)
		}
	}
}
