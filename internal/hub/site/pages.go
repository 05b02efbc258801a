package site

import (
	"bytes"
	"context"
	"embed"
	"encoding/base64"
	"errors"
	"html/template"
	"io/fs"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/reports"
	"whistlestop/internal/web/files"
)

//go:embed pages
var ownPages embed.FS

// templates are the pages, with the texts of English until a request says otherwise.
var templates = template.Must(template.New("").Funcs(functions(nil, time.UTC)).ParseFS(ownPages, "pages/*.html"))

// functions are what a page may call: a sentence by its key, and an instant.
func functions(words api.Words, zone *time.Location) template.FuncMap {
	return template.FuncMap{
		"t": func(key string, pairs ...any) string {
			texts := make([]string, len(pairs))
			for i, one := range pairs {
				texts[i] = text(one)
			}
			return words.Text(key, message.Pairs(texts...))
		},
		"done": func(what string) string { return words.Text("hub.log."+what, nil) },
		"role": func(m people.Membership) string {
			return words.Text("hub.role."+string(m.Role), message.Pairs("team", ofDivision(m.Team, m.Division)))
		},
		"roleAbout":  func(role people.Role) string { return words.Text("hub.people.role."+string(role), nil) },
		"state":      func(state reports.State) string { return words.Text("hub.reports.state."+string(state), nil) },
		"stands":     func(state reports.State) string { return words.Text("hub.reports.about."+string(state), nil) },
		"verified":   func(one reports.Standing) string { return words.Text("hub.reports.verified."+string(one), nil) },
		"inForm":     func(format string) string { return words.Text("hub.reports.file."+format, nil) },
		"switch":     func(what office.Switch) string { return words.Text("hub.switch."+string(what), nil) },
		"older":      func(what office.Older) string { return words.Text("hub.older."+string(what), nil) },
		"teamOf":     func(link office.Token) string { return ofDivision(link.Label, link.Division) },
		"olderAbout": func(what office.Older) string { return words.Text("hub.older.about."+string(what), nil) },
		"switched":   func(what office.Switch) string { return words.Text("hub.switch.about."+string(what), nil) },
		"inState":    func(state string) string { return words.Text("schedule.state."+state, nil) },
		"ended":      func(how string) string { return words.Text("season_book.how."+how, nil) },
		"about":      func(about entry.About) string { return words.Text("paper.about."+string(about), nil) },
		"how":        func(how people.How) string { return words.Text("hub.how."+string(how), nil) },
		"at": func(m entry.Millis) string {
			if m == 0 {
				return "–"
			}
			return time.UnixMilli(int64(m)).In(zone).Format("2006-01-02 15:04")
		},
	}
}

func text(value any) string {
	switch value := value.(type) {
	case string:
		return value
	case int:
		return strconv.Itoa(value)
	}
	return ""
}

// page answers with a page.
func (s *Site) page(w http.ResponseWriter, r *http.Request, status int, name string, data map[string]any) {
	words := s.words(r)
	raw, err := s.render(words, name, data)
	if err != nil {
		s.Logger.Error("a page cannot be written", "page", name, "error", err)
		http.Error(w, words.Text("hub.faulty", nil), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	s.write(w, raw)
}

// render writes a page in the words of a language.
func (s *Site) render(words api.Words, name string, data map[string]any) ([]byte, error) {
	data["Language"], data["Body"] = words.Language(), name
	var out bytes.Buffer
	pages, err := templates.Clone()
	if err == nil {
		err = pages.Funcs(functions(words, time.Local)).ExecuteTemplate(&out, name+".html", data)
	}
	return out.Bytes(), err
}

// message answers with a page of one sentence.
func (s *Site) message(w http.ResponseWriter, r *http.Request, status int, key string, pairs ...string) {
	s.page(w, r, status, "message", map[string]any{"Text": s.words(r).Text(key, message.Pairs(pairs...)), "Name": s.name(r)})
}

// failPage is fail for a person who looks at pages.
func (s *Site) failPage(w http.ResponseWriter, r *http.Request, err error) {
	var no *api.No
	if errors.As(err, &no) {
		s.page(w, r, no.Status, "message", map[string]any{"Text": s.words(r).Text(no.Say.Key, no.Say.Args), "Name": s.name(r)})
		return
	}
	s.Logger.Error("a page failed", "pattern", r.Pattern, "error", err)
	s.message(w, r, http.StatusServiceUnavailable, "hub.unavailable")
}

// own sends a file that belongs to the hub's pages alone.
func (s *Site) own(name, mediaType string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		raw, err := ownPages.ReadFile("pages/" + name)
		if err != nil {
			s.fail(w, r, err)
			return
		}
		w.Header().Set("Content-Type", mediaType)
		w.Header().Set("Cache-Control", "public, max-age=3600")
		s.write(w, raw)
	}
}

// practice sends a file of the practice site, which also runs real games. They are kept
// in the browser, and come to this hub once the browser is paired with it.
func (s *Site) practice(w http.ResponseWriter, r *http.Request) {
	if r.URL.Path == "/practice/" {
		r.URL.Path += "index.html"
	}
	w.Header().Set("Content-Security-Policy", files.PracticePolicy)
	s.asset(w, r)
}

// asset sends a file of the front end.
func (s *Site) asset(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimPrefix(r.URL.Path, "/")
	f, err := s.front.Get(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		s.message(w, r, http.StatusNotFound, "web.no_page")
		return
	case err != nil:
		s.failPage(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-cache")
	if strings.HasPrefix(name, "assets/") { // the bundler writes a hash of the content into these names
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	if err := f.Send(w, r); err != nil {
		s.Logger.Debug("a file was not taken", "error", err)
	}
}

func dataImage(svg string) template.URL {
	//nolint:gosec // our own drawing
	return template.URL("data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString([]byte(svg)))
}

func (s *Site) home(w http.ResponseWriter, r *http.Request) {
	all, err := s.Store.Associations(r.Context())
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	data := map[string]any{"Name": s.name(r), "Associations": all, "Own": s.Association}
	on, err := s.Store.Switches(r.Context(), s.Association)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	if on[office.TablesForAll] && s.Seasons != nil {
		data["Tables"] = "/tables/" + s.Association
	}
	s.page(w, r, http.StatusOK, "home", data)
}

func (s *Site) pairPage(w http.ResponseWriter, r *http.Request) {
	s.page(w, r, http.StatusOK, "pair", map[string]any{"Name": s.name(r)})
}

// row is a game as an admin sees it.
type row struct {
	live.Listed
	Branches []ledgers.Branch
}

// adminPage shows each what their rights reach.
func (s *Site) adminPage(w http.ResponseWriter, r *http.Request, c people.Caller) {
	may := map[string]bool{}
	for _, right := range people.AllRights {
		may[string(right)] = c.Reach(right) == people.All
	}
	data := map[string]any{"Name": s.name(r), "Caller": c, "May": may, "People": len(given(c)) > 0, "Reports": c.Reach(people.ReadReport) >= people.Own}
	data["Seasons"] = s.Seasons != nil && c.Reach(people.ReadSeason) >= people.Own
	if s.Crews != nil && may[string(people.ReadRota)] {
		data["Crew"] = "/crew/" + s.Association + "/desk"
	}
	rows, err := s.gamesOf(r, c)
	if may[string(people.ChangeSettings)] {
		for name, kind := range map[string]office.Kind{"Benches": office.Bench, "Teams": office.Team} {
			list, failed := s.Office.List(r.Context(), kind)
			err = errors.Join(err, failed)
			data[name] = list
		}
		data["Names"] = s.teamsOf(r, c)
		data["Divisions"], data["Several"] = s.divisions(r.Context())
		origins, failed := s.Store.Origins(r.Context(), s.Association)
		data["Origins"], err = origins, errors.Join(err, failed)
		on, failed := s.Store.Switches(r.Context(), s.Association)
		data["On"], data["Switches"], err = on, office.Switches, errors.Join(err, failed)
		data["NamesEnd"] = on[office.NamesEnd]
		data["Older"], data["Olders"] = office.OlderOf(on), office.Olders
		data["Tables"] = "/tables/" + s.Association
	}
	data["Games"], data["Called"] = rows, called(rows)
	if may[string(people.ChangePeople)] {
		lines, _, failed := s.logBefore(r, 0, logShown)
		data["Log"], err = lines, errors.Join(err, failed)
	}
	keys, failed := s.People.Keys(r.Context(), c.Person)
	data["MoreKeys"] = s.moreKeys(c, keys)
	if err = errors.Join(err, failed); err != nil {
		s.failPage(w, r, err)
		return
	}
	s.page(w, r, http.StatusOK, "admin", data)
}

// ofDivision is how a team is called where its division is known.
func ofDivision(team, division string) string {
	return strings.TrimSuffix(team+" · "+division, " · ")
}

// divisions are the names of all that the games and the season have, and the names of
// teams that stand in more than one of them. What cannot be listed leaves the page as it is.
func (s *Site) divisions(ctx context.Context) (names []string, several map[string]bool) {
	of := map[string]map[string]bool{}
	add := func(team, division string) {
		team, division = oneLine(team), oneLine(division)
		if division == "" {
			return
		}
		if of[team] == nil {
			of[team] = map[string]bool{}
		}
		of[team][division] = true
		if !slices.Contains(names, division) {
			names = append(names, division)
		}
	}
	games, err := s.Live.List(ctx)
	if err != nil {
		s.Logger.Warn("divisions of games cannot be listed", "error", err)
	}
	for _, g := range games {
		add(g.Home, g.Division)
		add(g.Visitors, g.Division)
	}
	if now, err := s.standing(ctx); err == nil {
		for _, d := range now.League.Divisions {
			for _, t := range d.Teams {
				add(t.Name, d.Name)
			}
		}
	}
	several = map[string]bool{}
	for team, divisions := range of {
		several[team] = len(divisions) > 1
	}
	slices.Sort(names)
	return names, several
}

// playedBy are the teams of a game, by names as forms have them.
func playedBy(game live.Title) people.On {
	return people.On{Teams: people.Teams(oneLine(game.Division), oneLine(game.Home), oneLine(game.Visitors))}
}

// gamesOf are the games that a caller may read, with what stands beside each. Whoever
// decides between two benches is shown what there is to choose from.
func (s *Site) gamesOf(r *http.Request, c people.Caller) (rows []row, err error) {
	if c.Reach(people.ReadLedger) < people.Own {
		return nil, nil
	}
	games, err := s.Live.List(r.Context())
	for _, one := range games {
		if !c.May(people.ReadLedger, playedBy(one.Title)) {
			continue
		}
		next := row{Listed: one}
		if one.Forked && c.May(people.DecideLedger, people.On{}) {
			list, failed := s.Store.Branches(r.Context(), ledgers.Where{Association: s.Association, Game: one.Game.ID})
			next.Branches, err = list, errors.Join(err, failed)
		}
		rows = append(rows, next)
	}
	return rows, err
}

// BackedUp is what stands in the log when a copy of the hub was written.
const BackedUp = "backed_up"

// backUpLate is after how long without a copy the page asks for one (ours).
const backUpLate = 26 * 3600_000

// status says how the hub is, in words, to anybody: numbers of things and no names.
func (s *Site) status(w http.ResponseWriter, r *http.Request) {
	games, err := s.Store.Games(r.Context(), s.Association)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	benches, err := s.Office.List(r.Context(), office.Bench)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	entries, forks := 0, 0
	var heard entry.Millis
	for _, g := range games {
		entries += g.Seq
		heard = max(heard, g.Heard)
		if g.Forked {
			forks++
		}
	}
	saved, err := s.Store.LastDone(r.Context(), s.Association, BackedUp)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	waits, err := s.waits(r)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	var checked struct {
		At         entry.Millis
		Games, Bad int
	}
	if s.Checked != nil {
		checked.At, checked.Games, checked.Bad = s.Checked()
	}
	s.page(w, r, http.StatusOK, "status", map[string]any{
		"Checked": checked,
		"Waits":   waits, "Name": s.name(r), "Games": len(games), "Entries": entries, "Forks": forks, "Heard": heard, "Benches": len(benches),
		"Followers": s.Live.Followers(), "Rooms": s.Rooms.Count(s.Association), "Began": s.began, "Saved": saved, "Late": s.Now()-max(saved, s.began) > backUpLate,
	})
}

// waiting is what is still to be told to other hubs.
type waiting struct {
	Rows int
	Late bool
	Away bool // the bus between hubs
}

// waitsLong is for how long a change may wait until somebody is to look (ours).
const waitsLong = 5 * time.Second

// waits is that of a hub that is one of several; nil: there are no others.
func (s *Site) waits(r *http.Request) (*waiting, error) {
	if s.Outbox == nil {
		return nil, nil
	}
	rows, oldest, err := s.Outbox(r.Context())
	return &waiting{Rows: rows, Late: oldest > waitsLong, Away: s.BusAway != nil && s.BusAway()}, err
}
