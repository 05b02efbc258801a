package site_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/site"
)

type snapshot struct {
	State  *struct{ Seq int }
	Change *struct{ From, Seq int }
	Run    string
	Now    entry.Millis `json:"now_ms"`
}

func (e event) snapshot(t testing.TB) snapshot {
	t.Helper()
	var s snapshot
	if err := json.Unmarshal([]byte(e.data), &s); err != nil {
		t.Fatalf("%s: %v", e.data, err)
	}
	return s
}

func TestAFollowerSeesTheGameGoOn(t *testing.T) {
	h := newHub(t)
	g := played(t, "overtime", h.clock())
	token := h.issue(office.Team, "Kelp Bay")
	h.send(g, 0, 40).head(t)
	s := h.follow(token, g.id, "")
	first := s.next()
	at := first.snapshot(t)
	if first.name != "state" || at.State == nil || at.State.Seq != 40 || !regexp.MustCompile(`^1-40-[0-9a-f]+$`).MatchString(first.id) {
		t.Fatalf("%s %s", first.name, first.id)
	}
	h.send(g, 40, 41).head(t)
	h.send(g, 41, 43).head(t)
	seq := 40
	for seq < 43 { // who is slow misses some in between
		e := s.next()
		if got := e.snapshot(t); e.name != "change" || got.Change.From != seq || got.Run != at.Run {
			t.Fatalf("%s %s after %d", e.name, e.data, seq)
		} else {
			seq = got.Change.Seq
		}
	}
	s.close()
	// Whoever comes back gets what it missed, and whoever has nothing the whole.
	h.send(g, 43, 50).head(t)
	if e := h.follow(token, g.id, "1-43-"+at.Run).next(); e.name != "change" || e.snapshot(t).Change.From != 43 || e.snapshot(t).Change.Seq != 50 {
		t.Errorf("%s %s", e.name, e.id)
	}
	for _, last := range []string{"", "x", "1-43-abc", "1-x-" + at.Run, "1-99-" + at.Run} {
		if e := h.follow(token, g.id, last).next(); e.name != "state" || e.snapshot(t).State.Seq != 50 {
			t.Errorf("%q: %s %s", last, e.name, e.id)
		}
	}
}

// The whole game, entry by entry: no name and no rink goes out, whatever is asked.
func TestNoNameGoesOut(t *testing.T) {
	h := newHub(t)
	g := played(t, "overtime", h.clock())
	token := h.issue(office.Team, "Kelp Bay")
	h.send(g, 0, 1).head(t)
	s := h.follow(token, g.id, "")
	out := s.next().data
	for i := 1; i < len(g.lines); i += 20 {
		h.send(g, i, min(i+20, len(g.lines))).head(t)
	}
	for !strings.Contains(out, `"seq":`+itoa(len(g.lines))) {
		out += s.next().data
	}
	out += h.get("/v1/follow/" + token).body
	names := 0
	for _, e := range g.ledger {
		entry.MapTexts(e, func(_ entry.Text, text string) string {
			if len(text) > 3 && text != entry.TakenOut {
				if names++; strings.Contains(out, text) {
					t.Errorf("%q goes out", text)
				}
			}
			return text
		})
	}
	if names < 30 || strings.Contains(out, "Saltworks") || !strings.Contains(out, "Kelp Bay") {
		t.Errorf("%d names were looked for; or the rink goes out while the game is on", names)
	}
}

func itoa(n int) string { raw, _ := json.Marshal(n); return string(raw) }

func TestALinkOpensOneTeamsGames(t *testing.T) {
	h := newHub(t)
	g := played(t, "power-play", h.clock())
	h.send(g, 0, len(g.lines)).head(t)
	token, other := h.issue(office.Team, "Kelp Bay"), h.issue(office.Team, "Millrace")
	list := func(token string) string { t.Helper(); return h.get("/v1/follow/" + token).body }
	if body := list(token); !strings.Contains(body, g.id) || !strings.Contains(body, `"live":true`) || strings.Contains(body, `"silent":true`) {
		t.Error(body)
	}
	if body := list(other); strings.Contains(body, g.id) || !strings.Contains(body, `"games":[]`) {
		t.Error(body)
	}
	h.get("/v1/follow/"+other+"/games/"+g.id+"/stream").no(t, http.StatusNotFound, "missing")
	for _, id := range []string{"01JD0000000000000000000009", "nothing"} {
		h.get("/v1/follow/"+token+"/games/"+id+"/stream").no(t, http.StatusNotFound, "missing")
	}
	if h.live.Followers() != 0 {
		t.Errorf("%d are counted who were not let", h.live.Followers())
	}
	for _, bad := range []string{"x", h.bench, h.signIn().cookie.Value} {
		h.get("/v1/follow/"+bad).no(t, http.StatusGone, "missing")
		h.get("/v1/follow/"+bad+"/games/"+g.id+"/stream").no(t, http.StatusGone, "missing")
	}
	if got := h.get("/follow/" + token); got.StatusCode != http.StatusOK ||
		got.Header.Get("X-Robots-Tag") != "noindex, nofollow" || got.Header.Get("Cache-Control") != "no-store" || got.Header.Get("Referrer-Policy") != "no-referrer" {
		t.Errorf("%s %v", got.Status, got.Header)
	}
	h.later(61_000)
	if body := list(token); !strings.Contains(body, `"silent":true`) {
		t.Error("a bench that is not heard is not said to be silent")
	}
	h.asBench("GET", "/v1/ledgers/"+g.id+"?now=1", "").head(t)
	if body := list(token); strings.Contains(body, `"silent":true`) {
		t.Error("it was heard")
	}
}

// Two divisions may have a team of one name. A link that names the division opens the games
// of the one, a link of before those of both, and making one anew leaves the other alone.
func TestALinkOpensOneDivision(t *testing.T) {
	h := newHub(t)
	g := played(t, "power-play", h.clock())
	h.send(g, 0, len(g.lines)).head(t)
	admin := h.signIn()
	link := func(division string) string {
		t.Helper()
		made := shownLink.FindStringSubmatch(admin.post("/admin/team", "label", "Kelp Bay", "division", division).body)
		if made == nil {
			t.Fatal("no link is shown")
		}
		return strings.TrimPrefix(made[1], "/follow/")
	}
	list, err := h.live.List(t.Context())
	if err != nil || len(list) != 1 || list[0].Division == "" {
		t.Fatal(err, list)
	}
	every, own, other := link(""), link(list[0].Division), link("Another one")
	for token, opens := range map[string]bool{every: true, own: true, other: false} {
		body := h.get("/v1/follow/" + token).body
		if strings.Contains(body, g.id) != opens || !strings.Contains(body, `"team":"Kelp Bay"`) {
			t.Errorf("opens %v: %s", opens, body)
		}
		if !opens {
			h.get("/v1/follow/"+token+"/games/"+g.id+"/stream").no(t, http.StatusNotFound, "missing")
		}
	}
	again := link(list[0].Division)
	h.get("/v1/follow/"+own).no(t, http.StatusGone, "missing")
	for _, token := range []string{every, other, again} {
		if got := h.get("/v1/follow/" + token); got.StatusCode != http.StatusOK {
			t.Error(got.Status)
		}
	}
	warns := func() bool { t.Helper(); return strings.Contains(admin.page("/admin").body, `data-hub="several"`) }
	page := admin.page("/admin").body
	if !strings.Contains(page, "<option>"+list[0].Division+"</option>") || !strings.Contains(page, "Kelp Bay · Another one") || warns() {
		t.Error(page)
	}
	h.seasons.files.schedule = harbourSchedule("2023-11-10")
	h.seasons.files.league = []byte(twoKelpBays)
	h.later(2000)
	if !warns() {
		t.Error("it is not said that a link shows the games of two teams")
	}
}

// The clock of a game is anchored in the time of its bench, which may be a wrong one.
func TestTheTimeIsThatOfTheBench(t *testing.T) {
	h := newHub(t)
	g := played(t, "power-play", h.clock())
	h.send(g, 0, len(g.lines)).head(t)
	token := h.issue(office.Team, "Kelp Bay")
	ask := func(ahead, way entry.Millis) entry.Millis {
		t.Helper()
		h.asBench("GET", "/v1/ledgers/"+g.id+"?now="+itoa(int(h.clock()+ahead-way)), "").head(t)
		var at struct {
			Received entry.Millis `json:"received_ms"`
		}
		if err := json.Unmarshal([]byte(h.get("/v1/follow/"+token+"/games/"+g.id+"/time?sent=1").body), &at); err != nil {
			t.Fatal(err)
		}
		return at.Received - h.clock()
	}
	for _, c := range []struct{ ahead, way, want entry.Millis }{
		{500_000, 300, 499_700}, {500_000, 40, 499_960}, {500_000, 900, 499_960}, {-80_000, 50, -80_050},
	} {
		if got := ask(c.ahead, c.way); got != c.want {
			t.Errorf("a bench that is %d ahead, %d on the way: %d, want %d", c.ahead, c.way, got, c.want)
		}
	}
}

// Over HTTP/2 families share connections, so none is theirs alone; they see the same. Nobody
// is counted any more who left, whichever way.
func TestWhoFollowsByHTTP2SeesTheSame(t *testing.T) {
	h := newHub(t)
	g := played(t, "power-play", h.clock())
	h.send(g, 0, 3).head(t)
	second := httptest.NewUnstartedServer(h.site)
	second.EnableHTTP2 = true
	second.StartTLS()
	defer second.Close()
	path := "/v1/follow/" + h.issue(office.Team, "Kelp Bay") + "/games/" + g.id + "/stream"
	answer, err := second.Client().Get(second.URL + path)
	if err != nil || answer.ProtoMajor != 2 {
		t.Fatal(answer, err)
	}
	shared := &stream{t: t, body: answer.Body}
	own := h.follow(h.issue(office.Team, "Kelp Bay"), g.id, "")
	for _, name := range []string{"state", "change"} {
		if one, other := shared.next(), own.next(); one.name != name || other.name != name || one.id != other.id {
			t.Errorf("%s %s, %s %s", one.name, one.id, other.name, other.id)
		}
		if name == "state" {
			h.send(g, 3, 4).head(t)
		}
	}
	own.close()
	if err := answer.Body.Close(); err != nil {
		t.Fatal(err)
	}
	for h.live.Followers() > 0 {
		time.Sleep(10 * time.Millisecond) // who left is found out by a beat
	}
}

// A fork is shown up to the last entry that both have, also to those who watch already.
func TestAForkIsHeld(t *testing.T) {
	h := newHub(t)
	g := played(t, "power-play", h.clock())
	n := len(g.lines)
	h.send(g, 0, n).head(t)
	token := h.issue(office.Team, "Kelp Bay")
	s := h.follow(token, g.id, "")
	before := s.next().snapshot(t)
	h.send(g.and(t, n-2, "01JD000000000000000000FRK1"), n-2, n-1).no(t, http.StatusConflict, "fork")
	buffer := make([]byte, 1<<20)
	for { // the stream ends, and the page comes back
		if _, err := s.body.Read(buffer); err != nil {
			break
		}
	}
	e := h.follow(token, g.id, "1-"+itoa(n)+"-"+before.Run).next()
	if got := e.snapshot(t); e.name != "state" || got.State.Seq != n-2 || got.Run == before.Run {
		t.Errorf("%s %s", e.name, e.id)
	}
	if body := h.get("/v1/follow/" + token).body; !strings.Contains(body, `"held":true`) {
		t.Error(body)
	}
}

// Ten thousand at one hub come back over twenty seconds, and fifty thousand over a minute.
func TestManyComeBackOneAfterTheOther(t *testing.T) {
	for followers, want := range map[int]time.Duration{0: 0, 1: 2 * time.Millisecond, 10_000: 20 * time.Second, 30_000: time.Minute, 50_000: time.Minute} {
		if got := site.Spread(followers); got != want {
			t.Errorf("%d come back over %v, want %v", followers, got, want)
		}
	}
	h := newHub(t)
	g := played(t, "overtime", h.clock())
	token := h.issue(office.Team, "Kelp Bay")
	h.send(g, 0, 2).head(t)
	first := h.follow(token, g.id, "")
	first.next()
	said := h.follow(token, g.id, "")
	said.next()
	var text []byte
	for !bytes.Contains(text, []byte("event: beat\n")) || !bytes.HasSuffix(text, []byte("}\n\n")) {
		piece := make([]byte, 1<<10)
		n, err := said.body.Read(piece)
		if err != nil {
			t.Fatal(err)
		}
		text = append(text, piece[:n]...)
	}
	if !bytes.Contains(text, []byte(`,"spread_ms":4}`)) {
		t.Errorf("two follow, and the beat says %s", text)
	}
}
