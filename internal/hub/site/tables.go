package site

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/counted"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/web/files"
	"whistlestop/season/league"
)

// Seasons is the season of an association, worked out from its sealed games.
type Seasons interface {
	// Stamp names what the season is worked out from: another text when any of it changed.
	// It is asked often, and cheap.
	Stamp(ctx context.Context) (string, error)
	// Season works it out. An *api.No says that there is none, or why it cannot be.
	Season(ctx context.Context) (counted.Season, error)
}

// tableRoutes are those of the season: for everybody, where the association turned that
// on; for whoever has the link of a team; and for people by their roles.
func (s *Site) tableRoutes() []route {
	return []route{
		s.open("GET /tables/{association}", s.tablesPage),
		s.open("GET /v1/tables/{association}", s.tablesJSON),
		s.forTeam("GET /v1/follow/{token}/season", s.teamSeason),
		s.need("GET /season", people.ReadSeason, people.Own, s.seasonPage),
		s.need("POST /admin/switch", people.ChangeSettings, people.All, s.turn),
		s.need("POST /admin/older", people.ChangeSettings, people.All, s.decideOlder),
	}
}

// seasonLook is for how long a season is shown without asking whether anything of it
// changed (ours): ten thousand who read it cost one question a second.
const seasonLook = 1000

// seasonNow is a season with what was written of it. It is replaced and never changed,
// but for what is written.
type seasonNow struct {
	counted.Season
	stamp    string
	switches map[office.Switch]bool

	mutex   sync.Mutex
	written map[string]*written
}

// written is an answer that many get.
type written struct {
	raw, packed []byte
	mark        string // entity tag
}

// seasonKept is the newest season.
type seasonKept struct {
	mutex  sync.Mutex
	looked entry.Millis
	now    *seasonNow
}

// standing is the season as it stands, from memory as long as nothing of it changed.
func (s *Site) standing(ctx context.Context) (*seasonNow, error) {
	if s.Seasons == nil {
		return nil, api.NotThere("hub.season.none")
	}
	k := &s.season
	k.mutex.Lock()
	defer k.mutex.Unlock()
	now := s.Now()
	if k.now != nil && now-k.looked < seasonLook && now >= k.looked {
		return k.now, nil
	}
	// Who asked first may go away; the others still want it.
	ctx = context.WithoutCancel(ctx)
	stamp, err := s.Seasons.Stamp(ctx)
	if err != nil {
		return nil, err
	}
	if k.now != nil && k.now.stamp == stamp {
		k.looked = now
		return k.now, nil
	}
	next := &seasonNow{stamp: stamp, written: map[string]*written{}}
	if next.switches, err = s.Store.Switches(ctx, s.Association); err != nil {
		return nil, err
	}
	// None yet, or one that cannot be used, is kept like any other: asking again does not
	// change it.
	next.Season, err = s.Seasons.Season(ctx)
	var no *api.No
	if err != nil && !errors.As(err, &no) {
		return nil, err
	}
	k.now, k.looked = next, now
	return next, nil
}

// writtenMost is how many answers are kept of one season (ours): its divisions and teams,
// as page and as JSON.
const writtenMost = 2000

// once is an answer that is written once for everybody who asks for the same.
func (n *seasonNow) once(key string, write func() ([]byte, error)) (*written, error) {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	if one := n.written[key]; one != nil {
		return one, nil
	}
	raw, err := write()
	if err != nil {
		return nil, err
	}
	var packed bytes.Buffer
	out := gzip.NewWriter(&packed)
	_, err = out.Write(raw)
	if err = errors.Join(err, out.Close()); err != nil {
		return nil, err
	}
	sum := sha256.Sum256(raw)
	one := &written{raw, packed.Bytes(), `"` + hex.EncodeToString(sum[:12]) + `"`}
	if len(n.written) < writtenMost {
		n.written[key] = one
	}
	return one, nil
}

// give sends it, or says that whoever asks has it.
func (s *Site) give(w http.ResponseWriter, r *http.Request, media string, one *written) {
	h := w.Header()
	h.Set("ETag", one.mark)
	h.Set("Cache-Control", "no-cache")
	h.Add("Vary", "Accept-Encoding, Accept-Language")
	if r.Header.Get("If-None-Match") == one.mark {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	h.Set("Content-Type", media)
	if files.TakesGzip(r) {
		h.Set("Content-Encoding", "gzip")
		s.write(w, one.packed)
		return
	}
	s.write(w, one.raw)
}

// public is the season for everybody, where the association shows it, and what is asked
// for of it: a division, or a team.
func (s *Site) public(r *http.Request) (*seasonNow, seen, error) {
	off := api.NotThere("hub.season.off")
	if r.PathValue("association") != s.Association {
		return nil, seen{}, off
	}
	now, err := s.standing(r.Context())
	switch {
	case err != nil:
		return nil, seen{}, err
	case !now.switches[office.TablesForAll]:
		return nil, seen{}, off
	case now.Zone == nil:
		return nil, seen{}, api.NotThere("hub.season.none")
	}
	o, err := now.wanted(r.URL.Query())
	return now, o, err
}

// wanted is what is asked for of a season. Only what there is gets through, so that what
// is kept for everybody is bounded.
func (n *seasonNow) wanted(query url.Values) (o seen, err error) {
	o.places = n.switches[office.PlacesBefore]
	if id := query.Get("division"); id != "" {
		if _, known := n.League.Division(id); !known {
			return o, api.NotThere("hub.season.no_part")
		}
		o.division = id
	}
	if id := query.Get("team"); id != "" {
		if !n.has(id) {
			return o, api.NotThere("hub.season.no_part")
		}
		o.teams = []string{id}
	}
	return o, nil
}

// has reports whether a team plays in the season.
func (n *seasonNow) has(id string) bool {
	for _, d := range n.League.Divisions {
		for _, t := range d.Teams {
			if t.ID == id {
				return true
			}
		}
	}
	return false
}

// called are the teams of a name: one in each division that has it, or in the one that is
// named.
func (n *seasonNow) called(name, division string) (ids []string) {
	for _, d := range n.League.Divisions {
		for _, t := range d.Teams {
			if strings.TrimSpace(t.Name) == name && (division == "" || oneLine(d.Name) == division) {
				ids = append(ids, t.ID)
			}
		}
	}
	return ids
}

// key names an answer.
func (o seen) key(kind, language, day string) string {
	return strings.Join([]string{kind, language, day, o.division, strings.Join(o.teams, ",")}, "/")
}

// day is the rinks' day, on which depends what is to come.
func (n *seasonNow) day(now entry.Millis) string {
	return view(counted.Season{Zone: n.Zone}, seen{}, nil, "", now).Today
}

// tablesJSON answers with the season for everybody, for pages of listed origins too.
func (s *Site) tablesJSON(w http.ResponseWriter, r *http.Request) {
	s.letRead(w, r)
	if !s.limits.let("ask "+from(r).String(), askRate, askBurst) {
		s.problem(w, r, tooOften())
		return
	}
	now, o, err := s.public(r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.giveJSON(w, r, now, o)
}

func (s *Site) giveJSON(w http.ResponseWriter, r *http.Request, now *seasonNow, o seen) {
	words, at := s.words(r), s.Now()
	one, err := now.once(o.key("json", words.Language(), now.day(at)), func() ([]byte, error) {
		return json.Marshal(view(now.Season, o, words, s.name(r), at))
	})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.give(w, r, "application/json", one)
}

// teamSeason is a team's season for whoever has its link: games that were played and that
// are to come, and the table of its division.
func (s *Site) teamSeason(w http.ResponseWriter, r *http.Request, token office.Token) {
	now, err := s.standing(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	o := seen{teams: now.called(token.Label, token.Division), places: now.switches[office.PlacesBefore]}
	if now.Zone == nil || len(o.teams) == 0 {
		s.problem(w, r, api.NotThere("hub.season.none"))
		return
	}
	s.giveJSON(w, r, now, o)
}

// tablesPage shows the season to everybody.
func (s *Site) tablesPage(w http.ResponseWriter, r *http.Request) {
	if !s.limits.let("ask "+from(r).String(), askRate, askBurst) {
		s.message(w, r, http.StatusTooManyRequests, "hub.too_often")
		return
	}
	now, o, err := s.public(r)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	words, at := s.words(r), s.Now()
	one, err := now.once(o.key("page", words.Language(), now.day(at)), func() ([]byte, error) {
		name := s.name(r)
		return s.render(words, "tables", map[string]any{
			"Name": name, "Season": view(now.Season, o, words, name, at), "Base": "/tables/" + s.Association, "Asked": o.division + strings.Join(o.teams, ""),
		})
	})
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	s.letFrame(w, r)
	s.give(w, r, "text/html; charset=utf-8", one)
}

// seasonPage shows the season to people: all of the tables, and the suspensions of those
// teams whose season they may read.
func (s *Site) seasonPage(w http.ResponseWriter, r *http.Request, c people.Caller) {
	now, err := s.standing(r.Context())
	if err == nil && now.Zone == nil {
		err = api.NotThere("hub.season.none")
	}
	var o seen
	if err == nil {
		o, err = now.wanted(r.URL.Query())
	}
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	o.places = true
	o.suspended = func(team, division string) bool {
		return c.May(people.ReadSeason, people.On{Teams: people.Teams(oneLine(division), oneLine(team))})
	}
	name := s.name(r)
	s.page(w, r, http.StatusOK, "tables", map[string]any{
		"Name": name, "Season": view(now.Season, o, s.words(r), name, s.Now()), "Base": "/season", "Asked": o.division + strings.Join(o.teams, ""),
		"Caller": c,
	})
}

// turn turns something on or off for the association.
func (s *Site) turn(w http.ResponseWriter, r *http.Request, c people.Caller) {
	what := office.Switch(r.FormValue("switch"))
	if what != office.NamesEnd && !slices.Contains(office.Switches, what) {
		s.failPage(w, r, api.Refuse("hub.unreadable"))
		return
	}
	on, did := r.FormValue("on") == "yes", "turned_off"
	if on {
		did = "turned_on"
	}
	err := s.Store.Turn(r.Context(), s.Association, what, on, s.note(c, did, string(what)))
	if err == nil && what == office.Initials && !on { // what is shown no longer is not kept
		var games []string
		games, err = s.Store.ForgetNaming(r.Context(), s.Association, string(league.ByInitial))
		for _, game := range games {
			s.Live.Moved(game)
		}
	}
	s.done(w, r, err)
}
