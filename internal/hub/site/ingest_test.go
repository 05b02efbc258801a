package site_test

import (
	"net/http"
	"strings"
	"testing"

	"whistlestop/internal/hub/office"
)

func TestABenchSendsItsLedger(t *testing.T) {
	h := newHub(t)
	g := played(t, "third-period", h.clock())
	path := "/v1/ledgers/" + g.id
	if head := h.asBench("GET", path, "").head(t); head.Seq != 0 || head.Epoch != 1 {
		t.Errorf("before: %+v", head)
	}
	half := len(g.lines) / 2
	if head := h.send(g, 0, half).head(t); head.Seq != half {
		t.Errorf("%+v", head)
	}
	for range 3 { // the same again, also when more was sent since
		if head := h.send(g, half-5, half).head(t); head.Seq != half {
			t.Errorf("again: %+v", head)
		}
	}
	if p := h.send(g, half+2, len(g.lines)).no(t, http.StatusConflict, "gap"); p.Want != half+1 {
		t.Errorf("%+v", p)
	}
	hash, err := g.ledger[len(g.ledger)-1].Hash()
	if err != nil {
		t.Fatal(err)
	}
	if head := h.send(g, half-1, len(g.lines)).head(t); head.Seq != len(g.lines) || head.Hash != hash {
		t.Errorf("%+v, want the end %s", head, hash)
	}
	// What is kept are the bytes that were sent.
	kept, err := h.store.Lines(t.Context(), where(g), 0, 1000)
	if err != nil || len(kept) != len(g.lines) {
		t.Fatal(len(kept), err)
	}
	for i, line := range kept {
		if string(line.Bytes)+"\n" != g.lines[i] {
			t.Fatalf("line %d is another one", i+1)
		}
	}
	if body := h.asBench("GET", path+"/hashes?at=0,1,99999", "").body; !strings.Contains(body, `"0":""`) || !strings.Contains(body, kept[0].Hash) {
		t.Error(body)
	}
}

func TestWhatAHubDoesNotTake(t *testing.T) {
	h := newHub(t)
	g := played(t, "power-play", h.clock())
	h.send(g, 0, 2).head(t)
	named, err := g.ledger[0].MarshalJSON()
	if err != nil || !strings.Contains(string(named), "Halvard") {
		t.Fatal("the game has no names inside:", err)
	}
	other := "01JD0000000000000000000009"
	for _, c := range []struct {
		name, path, body string
		status           int
		kind             string
		line             int
	}{
		{"no epoch", "/v1/ledgers/" + g.id + "/entries", g.lines[2], 400, "unreadable", 0},
		{"no entries", entriesPath(g, 1), "\n\n", 400, "unreadable", 0},
		{"what is no entry", entriesPath(g, 1), g.lines[2] + "{}\n", 422, "refused", 2},
		{"another game", "/v1/ledgers/" + other + "/entries?epoch=1", g.lines[2], 422, "refused", 1},
		{"a hole", entriesPath(g, 1), g.lines[2] + g.lines[4], 422, "refused", 2},
		{"another form of JSON", entriesPath(g, 1), " " + g.lines[2], 422, "refused", 1},
		{"names inside", entriesPath(g, 1), string(named) + "\n", 422, "refused", 1},
		{"names beside", entriesPath(g, 1), `{"specversion":"1.0","id":"#x","source":"s","type":"org.whistlestop.name.v1","data":{}}` + "\n", 422, "refused", 1},
		{"too many", entriesPath(g, 1), strings.Repeat(g.lines[2], 501), 413, "too_large", 0},
		{"too large", entriesPath(g, 1), strings.Repeat(" ", 256<<10+1), 413, "too_large", 0},
		{"no id of a game", "/v1/ledgers/nothing/entries?epoch=1", g.lines[2], 404, "missing", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := h.asBench("POST", c.path, c.body)
			if c.name == "too many" { // the same line twice does not follow: which of both is said first is no matter
				if got.StatusCode != 413 && got.StatusCode != 422 {
					t.Error(got.Status)
				}
				return
			}
			if p := got.no(t, c.status, c.kind); p.Line != c.line {
				t.Errorf("%+v, want line %d", p, c.line)
			}
		})
	}
	if head, err := h.store.Head(t.Context(), where(g)); err != nil || head.Seq != 2 {
		t.Errorf("%+v, %v", head, err)
	}
}

func TestWhoMaySend(t *testing.T) {
	h := newHub(t)
	g := played(t, "warm-up", h.clock())
	post := func(header string) answer {
		request := h.request("POST", entriesPath(g, 1), strings.Join(g.lines, ""))
		if header != "" {
			request.Header.Set("Authorization", header)
		}
		return h.do(request)
	}
	team, session := h.issue(office.Team, "Kelp Bay"), h.signIn().cookie.Value
	for _, header := range []string{"", "Bearer ", "Bearer x", "Basic " + h.bench, "Bearer " + team, "Bearer " + session} {
		post(header).no(t, http.StatusUnauthorized, "not_here")
	}
	if head, err := h.store.Head(t.Context(), where(g)); err != nil || head.Seq != 0 {
		t.Errorf("somebody sent: %+v, %v", head, err)
	}
	post("Bearer " + h.bench).head(t)
	list, err := h.office.List(t.Context(), office.Bench)
	if err != nil || len(list) != 1 || list[0].Used != h.clock() {
		t.Errorf("%+v, %v", list, err)
	}
	if err := h.office.Revoke(t.Context(), list[0].ID, office.By{Who: "test"}); err != nil {
		t.Fatal(err)
	}
	post("Bearer "+h.bench).no(t, http.StatusUnauthorized, "not_here")
}

func TestOneBenchDoesNotHoldUpAnother(t *testing.T) {
	h := newHub(t)
	g, other := played(t, "warm-up", h.clock()), played(t, "warm-up", h.clock()+60_000)
	refused := 0
	for range 200 {
		if got := h.send(g, 0, len(g.lines)); got.StatusCode == http.StatusTooManyRequests {
			if refused++; got.Header.Get("Retry-After") == "" {
				t.Fatal("it is not said when to come back")
			}
		}
	}
	if refused == 0 {
		t.Error("200 at once were let")
	}
	h.send(other, 0, len(other.lines)).head(t)
}

func TestForkAndHandOver(t *testing.T) {
	h := newHub(t)
	g := played(t, "power-play", h.clock())
	n := len(g.lines)
	h.send(g, 0, n).head(t)
	fork := g.and(t, n-2, "01JD000000000000000000FRK1")
	if p := h.send(fork, n-2, n-1).no(t, http.StatusConflict, "fork"); p.Seq != n-1 || p.Kept != n-1 {
		t.Errorf("%+v", p)
	}
	if head := h.asBench("GET", "/v1/ledgers/"+g.id, "").head(t); !head.Forked || head.Common != n-2 || head.Seq != n {
		t.Errorf("%+v", head)
	}
	admin := h.signIn()
	if page := admin.page("/admin").body; !strings.Contains(page, `data-hub="fork"`) {
		t.Error("the page says nothing of the fork")
	}
	if got := h.get("/status").body; !strings.Contains(got, "1 games wait") {
		t.Error("the status says nothing of the fork")
	}
	if got := admin.post("/admin/choose", "game", g.id, "branch", "1"); got.StatusCode != http.StatusSeeOther {
		t.Fatal(got.Status, got.body)
	}
	if head := h.asBench("GET", "/v1/ledgers/"+g.id, "").head(t); head.Forked || head.Seq != n-1 {
		t.Errorf("%+v", head)
	}
	if got := admin.post("/admin/handover", "game", g.id); got.StatusCode != http.StatusSeeOther {
		t.Fatal(got.Status, got.body)
	}
	if p := h.send(fork, n-2, n-1).no(t, http.StatusConflict, "fenced"); p.Epoch != 2 {
		t.Errorf("%+v", p)
	}
	log, err := h.store.Log(t.Context(), association, 0, 100)
	if err != nil {
		t.Fatal(err)
	}
	var done []string
	for _, line := range log {
		if strings.HasPrefix(line.Object, g.id) {
			done = append(done, line.What)
		}
	}
	if strings.Join(done, ", ") != "chose, handed_over" {
		t.Errorf("the log says %v", done)
	}
}

// A disk that cannot be read is no answer that a bench takes for one.
func TestADiskThatIsGone(t *testing.T) {
	h := newHub(t)
	g := played(t, "warm-up", h.clock())
	if err := h.store.Close(); err != nil {
		t.Fatal(err)
	}
	got := h.send(g, 0, 1)
	if got.no(t, http.StatusServiceUnavailable, "unavailable"); got.Header.Get("Retry-After") == "" {
		t.Error("it is not said when to come back")
	}
}
