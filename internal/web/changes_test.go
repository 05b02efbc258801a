package web_test

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/netip"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/demo"
	"whistlestop/internal/locale"
	"whistlestop/internal/seats"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/web"
)

// news is an answer or event with a state, or with what changed in it.
type news struct {
	State  map[string]any
	Run    string
	Change *struct {
		From, Seq int
		Set       map[string]any
		Gone      []string
		Lists     map[string]struct {
			Length int
			At     map[string]any
		}
	}
}

func readNews(t testing.TB, text string) news {
	t.Helper()
	var n news
	if err := json.Unmarshal([]byte(text), &n); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return n
}

// onto does what a screen does with a change.
func (n news) onto(t testing.TB, state map[string]any) map[string]any {
	t.Helper()
	if n.Change == nil {
		t.Fatal("the answer is no change")
	}
	if seq := state["seq"].(float64); seq < float64(n.Change.From) || seq > float64(n.Change.Seq) {
		t.Fatalf("a change from %d to %d does not go onto %v", n.Change.From, n.Change.Seq, seq)
	}
	at := func(path string) (map[string]any, string) {
		object, names := state, strings.Split(path, ".")
		for _, name := range names[:len(names)-1] {
			object = object[name].(map[string]any)
		}
		return object, names[len(names)-1]
	}
	for path, value := range n.Change.Set {
		object, name := at(path)
		object[name] = value
	}
	for _, path := range n.Change.Gone {
		object, name := at(path)
		delete(object, name)
	}
	for path, list := range n.Change.Lists {
		object, name := at(path)
		fresh := make([]any, list.Length)
		old, _ := object[name].([]any)
		copy(fresh, old)
		for place, value := range list.At {
			i, err := strconv.Atoi(place)
			if err != nil {
				t.Fatal(err)
			}
			fresh[i] = value
		}
		object[name] = fresh
	}
	return state
}

func sameJSON(t testing.TB, what string, a, b any) {
	t.Helper()
	x, errX := json.Marshal(a)
	y, errY := json.Marshal(b)
	if errX != nil || errY != nil || string(x) != string(y) {
		t.Fatalf("%s: %s\nis not\n%s", what, x, y)
	}
}

// whole is the state as a whole.
func whole(t testing.TB, s *web.Server, query string) map[string]any {
	t.Helper()
	n := readNews(t, do(s, get("/api/games/"+game+query)).Body.String())
	if n.State == nil || n.Change != nil || n.Run == "" {
		t.Fatalf("no whole state: %+v", n)
	}
	return n.State
}

// steps are entries that change a state in many ways.
func steps() []string {
	id := func(n int) string { return fmt.Sprintf("01JD00000000000000000001%02d", n) }
	at := func(draft string, period, elapsed int) string {
		return strings.Replace(draft, `"at":{"period":0,"elapsed_ms":0}`, fmt.Sprintf(`"at":{"period":%d,"elapsed_ms":%d}`, period, elapsed), 1)
	}
	of := func(draft, of string) string { return strings.Replace(draft, `"seat":`, `"of":"`+of+`","seat":`, 1) }
	return []string{
		entryJSON(id(1), "stage_begun", `{"stage":{"kind":"period","number":1},"length_ms":720000,"running":false}`),
		at(entryJSON(id(2), "penalty", `{"side":"home","player":"7","call":"tripping","parts":["minor"]}`), 1, 10_000),
		entryJSON(id(3), "time_out", `{"side":"home","length_ms":30000}`),
		at(entryJSON(id(4), "goal", `{"side":"visitors","scorer":"9","assists":[]}`), 1, 20_000),
		of(at(entryJSON(id(5), "amended", `{"kind":"goal","body":{"side":"visitors","scorer":"8","assists":[]}}`), 1, 15_000), id(4)),
		entryJSON(id(6), "delay_over", `{}`),
		of(entryJSON(id(7), "struck", `{}`), id(2)),
		entryJSON(id(8), "announced", `{"what":"goal/1"}`),
		entryJSON(id(9), "note", `{"text":"the end"}`),
	}
}

// TestStreamOfChanges: what changed, put onto what was there, is the whole, in
// every view and also for whoever missed some of it.
func TestStreamOfChanges(t *testing.T) {
	s := newServer(t, built)
	address := listen(t, s)
	for _, query := range []string{"", "view=public"} {
		if query == "view=public" {
			s = newServer(t, built)
			address = listen(t, s)
		}
		events := listenTo(t, address+"/api/games/"+game+"/stream?changes=yes&"+query)
		state := readNews(t, next(t, events, "state").data).State
		for i, step := range steps() {
			if answer := do(s, post(entryURL, entries(step))); answer.Code != 200 {
				t.Fatalf("step %d: %d %s", i+1, answer.Code, answer.Body)
			}
			state = readNews(t, next(t, events, "change").data).onto(t, state)
			sameJSON(t, fmt.Sprint("after step ", i+1, " ", query), state, whole(t, s, "?"+query))
		}
	}
}

// TestPostAnswersWithWhatChanged: to whoever says what it has. With the name of
// another run of the bench, or a state that the bench has not, it is the whole.
func TestPostAnswersWithWhatChanged(t *testing.T) {
	s := newServer(t, built)
	first := readNews(t, do(s, get("/api/games/"+game)).Body.String())
	list := steps()
	state, run := first.State, first.Run
	for i, step := range list[:4] {
		have := fmt.Sprintf(`{"entries":[%s],"have":%v,"run":%q}`, step, state["seq"], run)
		preview := readNews(t, do(s, post("/api/games/"+game+"/preview", have)).Body.String())
		if preview.State != nil {
			t.Fatal("a preview came as a whole")
		}
		would := preview.onto(t, readNews(t, do(s, get("/api/games/"+game)).Body.String()).State)
		state = readNews(t, do(s, post(entryURL, have)).Body.String()).onto(t, state)
		sameJSON(t, fmt.Sprint("after step ", i+1), state, whole(t, s, ""))
		if score, now := would["teams"], state["teams"]; i == 3 {
			sameJSON(t, "the teams of the preview", score, now)
		}
	}
	for _, has := range []string{`,"have":2,"run":"another"`, `,"have":99,"run":"` + run + `"`, `,"have":2`, ``} {
		answer := readNews(t, do(s, post(entryURL, `{"entries":[`+list[3]+`]`+has+`}`)).Body.String())
		if answer.State == nil || answer.Change != nil {
			t.Errorf("with %q the answer is not the whole", has)
		}
	}
	// Posted again, by a page that has seen half of it.
	again := readNews(t, do(s, post(entryURL, fmt.Sprintf(`{"entries":[%s],"have":2,"run":%q}`, list[3], run))).Body.String())
	if again.Change == nil || again.Change.From != 2 || again.Change.Seq != 5 {
		t.Fatalf("%+v", again.Change)
	}
}

// longGame is a server with a game of so many entries, of all that there can be
// many of.
func longGame(t testing.TB, count int) (*web.Server, string) {
	t.Helper()
	ledger, err := demo.Ledger("third-period", 1_760_000_000_000)
	if err != nil {
		t.Fatal(err)
	}
	id := ledger[0].Game
	more := []entry.Entry{}
	for n := len(ledger) + 1; n <= count; n++ {
		played := entry.Millis(n) * 40
		kinds := []entry.Body{
			entry.Note{Text: "One of many."}, entry.ClockStarted{Elapsed: played}, entry.Shots{Side: entry.Home, Count: 1},
			entry.ClockStopped{Elapsed: played + 200}, entry.FaceOff{Won: entry.Home, Home: "4", Visitors: "7"},
			entry.Seated{Side: entry.Home, Player: "4", In: n%16 < 8}, entry.Ticked{Step: strconv.Itoa(n)},
			entry.SetAside{Item: "net/home/" + strconv.Itoa(n)},
		}
		more = append(more, entry.Entry{
			ID: fmt.Sprintf("01JDZZ%020d", n), Game: id, Seq: n, Wall: ledger[len(ledger)-1].Wall, Seat: entry.Solo,
			At: entry.At{Period: 3, Elapsed: played}, Body: kinds[n%len(kinds)],
		})
	}
	if err := bench.Chain(ledger, more); err != nil {
		t.Fatal(err)
	}
	ledgers := memory.New()
	if err := ledgers.Append(context.Background(), id, append(ledger, more...)); err != nil {
		t.Fatal(err)
	}
	live := bench.New(ledgers, bench.SteadyClock(), bench.ULIDs(), slog.New(slog.DiscardHandler))
	s := web.New(web.Config{
		Service: laptop.Service{
			Bench: live, Seats: seats.New(seats.Config{Now: live.Now, Random: rand.Reader}), QR: drawText, Languages: web.Speaks(locale.Shipped()),
			Logger: slog.New(slog.DiscardHandler),
		},
		Pages: built, Own: func(a netip.Addr) bool { return a.Unmap().IsLoopback() },
	})
	t.Cleanup(func() { s.Close(); live.Close() })
	return s, id
}

// TestALongGameSendsNoMore: what a post, a preview and a stream send for one
// entry is as little after 10,000 entries as after 200.
func TestALongGameSendsNoMore(t *testing.T) {
	var sizes [2][3]int
	for i, count := range []int{200, 10_000} {
		s, id := longGame(t, count)
		url := "/api/games/" + id
		first := readNews(t, do(s, get(url)).Body.String())
		if int(first.State["seq"].(float64)) < count {
			t.Fatal("the game has only", first.State["seq"])
		}
		events := listenTo(t, listen(t, s)+url+"/stream?changes=yes")
		next(t, events, "state")
		draft := strings.ReplaceAll(note, game, id)
		body := fmt.Sprintf(`{"entries":[%s],"have":%v,"run":%q}`, draft, first.State["seq"], first.Run)
		sizes[i][0] = do(s, post(url+"/preview", body)).Body.Len()
		sizes[i][1] = do(s, post(url+"/entries", body)).Body.Len()
		sizes[i][2] = len(next(t, events, "change").data)
	}
	for i, what := range []string{"a preview", "a post", "the stream"} {
		if few, many := sizes[0][i], sizes[1][i]; many > few+500 {
			t.Errorf("%s sends %d bytes for one entry after 200, and %d after 10,000", what, few, many)
		}
	}
}

// TestALongGameCostsNoMore: a post does as many things after 10,000 entries as
// after 200. What it takes of memory is counted, and not time: a copy of the lines
// alone would be two million bytes.
func TestALongGameCostsNoMore(t *testing.T) {
	const posts = 40
	var things, bytes [2]uint64
	for i, count := range []int{200, 10_000} {
		s, id := longGame(t, count)
		post := poster(t, s, id)
		post() // makes room once
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		for range posts {
			post()
		}
		runtime.ReadMemStats(&after)
		things[i], bytes[i] = (after.Mallocs-before.Mallocs)/posts, (after.TotalAlloc-before.TotalAlloc)/posts
	}
	t.Logf("a post allocates %d and %d times, %d and %d bytes", things[0], things[1], bytes[0], bytes[1])
	if things[1] > 2*things[0] {
		t.Errorf("a post allocates %d times after 200 entries, and %d times after 10,000", things[0], things[1])
	}
	if bytes[1] > bytes[0]+1_500_000 {
		t.Errorf("a post takes %d bytes after 200 entries, and %d after 10,000", bytes[0], bytes[1])
	}
}

// poster posts one note after the other to a game.
func poster(t testing.TB, s *web.Server, id string) func() {
	url := "/api/games/" + id
	first := readNews(t, do(s, get(url)).Body.String())
	have := int(first.State["seq"].(float64))
	n := 0
	return func() {
		draft := strings.ReplaceAll(strings.ReplaceAll(note, game, id), noteID, fmt.Sprintf("01JDYY%020d", n))
		answer := do(s, post(url+"/entries", fmt.Sprintf(`{"entries":[%s],"have":%d,"run":%q}`, draft, have+n, first.Run)))
		if answer.Code != 200 {
			t.Fatal(answer.Body)
		}
		n++
	}
}

// BenchmarkPostInALongGame is one post, with its answer and one stream's change,
// in a ledger in memory.
func BenchmarkPostInALongGame(b *testing.B) {
	for _, count := range []int{200, 10_000} {
		b.Run(strconv.Itoa(count), func(b *testing.B) {
			s, id := longGame(b, count)
			post := poster(b, s, id)
			for b.Loop() {
				post()
			}
		})
	}
}
