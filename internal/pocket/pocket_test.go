package pocket_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
	"whistlestop/internal/locale"
	"whistlestop/internal/locale/pseudo"
	"whistlestop/internal/outbox"
	"whistlestop/internal/paper/letters"
	"whistlestop/internal/paper/pdf"
	"whistlestop/internal/pocket"
	"whistlestop/internal/press"
	"whistlestop/internal/store/memory"
)

// file is a content in memory.
type file struct{ content []byte }

func (f *file) Read() ([]byte, error) { return f.content, nil }

func (f *file) Write(content []byte) error {
	f.content = bytes.Clone(content)
	return nil
}

// device is what stays of a browser when it is killed.
type device struct {
	ledgers         *memory.Store
	papers, instant file
	hub             outbox.Client
	print           func(order []byte) ([]byte, error)
}

func (d *device) open(t *testing.T) *pocket.Bench {
	t.Helper()
	b, err := pocket.Open(pocket.Config{Ledgers: d.ledgers, Papers: &d.papers, Instant: &d.instant, Hub: d.hub, Log: io.Discard, Print: d.print})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(b.Close)
	return b
}

// ask asks, and wants a usual answer.
func ask(t *testing.T, b *pocket.Bench, method, path, body string) []byte {
	t.Helper()
	answer := b.Ask(method, path, []byte(body))
	if answer.Status >= 300 {
		t.Fatalf("%s %s: %d %s", method, path, answer.Status, answer.Body)
	}
	return answer.Body
}

func opened(t *testing.T, b *pocket.Bench) (game string) {
	t.Helper()
	game = bench.ULIDs().New(1_770_000_000_000)
	ask(t, b, "POST", "/games", `{"id":"`+game+`","division":"harbour-u14","home":{"name":"Kelp Bay","players":[]},"visitors":{"name":"Lanternside","players":[]}}`)
	return game
}

func TestAGameIsOpenedHeardAndPrinted(t *testing.T) {
	d := &device{ledgers: memory.New(), print: func(order []byte) ([]byte, error) { return press.Print(order, locale.English(), nil) }}
	b := d.open(t)
	game := opened(t, b)
	heard := make(chan pocket.Event, 10)
	stop, err := b.Listen(game, "", func(e pocket.Event) { heard <- e })
	if err != nil {
		t.Fatal(err)
	}
	first := <-heard
	if seats := <-heard; first.Name != "state" || !strings.Contains(first.Data, `"Kelp Bay"`) || seats.Name != "seats" {
		t.Fatalf("%+v, %+v", first, seats)
	}
	note, err := json.Marshal(entry.Entry{ID: bench.ULIDs().New(1_770_000_001_000), Game: game, Seat: entry.Solo, Body: entry.Note{Text: "Ice was late."}})
	if err != nil {
		t.Fatal(err)
	}
	ask(t, b, "POST", "/games/"+game+"/entries", `{"entries":[`+string(note)+`]}`)
	if second := <-heard; second.Name != "change" || second.ID <= first.ID {
		t.Errorf("after a post %+v is heard", second)
	}
	stop()
	if report := ask(t, b, "GET", "/games/"+game+"/report.pdf", ""); !bytes.HasPrefix(report, []byte("%PDF")) {
		t.Errorf("the report begins with %.10q", report)
	}
}

// TestWhyNothingIsPrinted: the printer's own sentence where it has one, and that it failed
// otherwise. The game goes on.
func TestWhyNothingIsPrinted(t *testing.T) {
	for why, says := range map[string]string{
		pdf.ErrTooLong.Error(): "it does not fit on one page in letters that can be read",
		"the thread ended":     "could not be made: the thread ended",
	} {
		d := &device{ledgers: memory.New(), print: func([]byte) ([]byte, error) { return nil, errors.New(why) }}
		b := d.open(t)
		var cards struct{ Cards []struct{ ID string } }
		if err := json.Unmarshal(ask(t, b, "GET", "/cards", ""), &cards); err != nil || len(cards.Cards) == 0 {
			t.Fatal("no card to print", err)
		}
		answer := b.Ask("GET", "/cards/"+cards.Cards[0].ID+".pdf?paper=a4", nil)
		if answer.Status < 400 || !strings.Contains(string(answer.Body), says) {
			t.Errorf("%s: %d %s", why, answer.Status, answer.Body)
		}
	}
	d := &device{ledgers: memory.New()}
	b := d.open(t)
	game := opened(t, b)
	if answer := b.Ask("GET", "/games/"+game+"/report.pdf", nil); answer.Status != 503 || !strings.Contains(string(answer.Body), "The game is safe") {
		t.Errorf("without a printer: %d %s", answer.Status, answer.Body)
	}
	if csv := ask(t, b, "GET", "/games/"+game+"/report.csv", ""); len(csv) == 0 {
		t.Error("the rest of the bench does not go on")
	}
}

// TestLettersAreFetchedWhenANameIsEntered: while there may be a network, and once.
func TestLettersAreFetchedWhenANameIsEntered(t *testing.T) {
	fetched := make(chan string, 10)
	b, err := pocket.Open(pocket.Config{Ledgers: memory.New(), Papers: &file{}, Instant: &file{}, Log: io.Discard, Face: func(name string) error {
		fetched <- name
		return nil
	}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(b.Close)
	game := opened(t, b)
	for _, name := range []string{"Kelp Bay", "Ольга", "Елена"} {
		note, err := json.Marshal(entry.Entry{ID: bench.ULIDs().New(1_770_000_001_000), Game: game, Seat: entry.Solo, Body: entry.Note{Text: name}})
		if err != nil {
			t.Fatal(err)
		}
		ask(t, b, "POST", "/games/"+game+"/entries", `{"entries":[`+string(note)+`]}`)
		if name == "Ольга" {
			for _, want := range []string{letters.FurtherFile, letters.FurtherBoldFile} {
				if got := <-fetched; got != want {
					t.Errorf("%s is fetched, wanted %s", got, want)
				}
			}
		}
	}
	b.Close()
	if len(fetched) > 0 {
		t.Errorf("fetched again: %s", <-fetched)
	}
}

func TestWhatNobodyAnswersIsSaid(t *testing.T) {
	b := (&device{ledgers: memory.New()}).open(t)
	for path, status := range map[string]int{"/nothing": 404, "/games/01JD0000000000000000GAME01": 404, "/season?%zz": 404} {
		if answer := b.Ask("GET", path, nil); answer.Status != status || !strings.Contains(string(answer.Body), "title") {
			t.Errorf("%s: %d %s", path, answer.Status, answer.Body)
		}
	}
}

// The page hands over the texts of its language, and hears the bench's time.
func TestTheBenchSpeaksAsItsPage(t *testing.T) {
	b := (&device{ledgers: memory.New()}).open(t)
	if err := b.Speak(pseudo.Tag, []byte(`{"web.no_api":`)); err == nil {
		t.Error("half a catalogue was taken")
	}
	if err := b.Speak(pseudo.Tag, pseudo.JSON()); err != nil {
		t.Fatal(err)
	}
	var said struct{ Detail string }
	if raw := b.Ask("GET", "/nothing", nil).Body; json.Unmarshal(raw, &said) != nil || said.Detail == "" || len(pseudo.Left(said.Detail)) > 0 {
		t.Errorf("%s", raw)
	}
	if beat := b.Beat(); beat.Name != "beat" || !strings.Contains(beat.Data, `"now_ms":`) {
		t.Errorf("%+v", beat)
	}
}

// TestTheTimeIsWritten: at the start, so that a later end is known.
func TestTheTimeIsWritten(t *testing.T) {
	d := &device{ledgers: memory.New()}
	b := d.open(t)
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
	defer cancel()
	b.KeepTime(ctx)
	if !strings.Contains(string(d.instant.content), `"time_ms"`) {
		t.Errorf("%s", d.instant.content)
	}
}

// noted posts a note to a game.
func noted(t *testing.T, b *pocket.Bench, game, text string) {
	t.Helper()
	note, err := json.Marshal(entry.Entry{ID: bench.ULIDs().New(1_770_000_001_000), Game: game, Seat: entry.Solo, Body: entry.Note{Text: text}})
	if err != nil {
		t.Fatal(err)
	}
	ask(t, b, "POST", "/games/"+game+"/entries", `{"entries":[`+string(note)+`]}`)
}

// A device that breaks is followed by another one, from a copy. When both went on,
// neither takes anything of the other, and both say where they part.
func TestAGameIsTakenOverFromACopy(t *testing.T) {
	first := (&device{ledgers: memory.New()}).open(t)
	game := opened(t, first)
	copied := func(b *pocket.Bench) string { return string(ask(t, b, "GET", "/games/"+game+"/ledger.jsonl", "")) }

	second := (&device{ledgers: memory.New()}).open(t)
	if taken := string(ask(t, second, "POST", "/restore", copied(first))); !strings.Contains(taken, `"had":0`) {
		t.Fatalf("taken over: %s", taken)
	}
	if copied(second) != copied(first) {
		t.Error("the game that was taken over is another one")
	}
	noted(t, second, game, "It goes on here.")

	// The first one comes back, and is given what it missed: a person decides.
	ask(t, first, "POST", "/restore", copied(second))
	var waits struct{ Proposals []struct{ ID string } }
	if raw := ask(t, first, "GET", "/proposals", ""); json.Unmarshal(raw, &waits) != nil || len(waits.Proposals) != 1 {
		t.Fatalf("what waits: %s", raw)
	}
	if copied(first) == copied(second) {
		t.Error("it was taken before a person said so")
	}
	ask(t, first, "POST", "/proposals/"+waits.Proposals[0].ID, `{"take":true}`)
	if copied(first) != copied(second) {
		t.Error("it was decided and not taken")
	}

	noted(t, first, game, "One.")
	noted(t, second, game, "Another.")
	before := copied(first)
	if answer := first.Ask("POST", "/restore", []byte(copied(second))); answer.Status != 409 || copied(first) != before {
		t.Errorf("two that went on: %d %s", answer.Status, answer.Body)
	}
}

// hub is one that takes everything that follows.
type hub struct {
	mutex sync.Mutex
	lines bytes.Buffer
	count int
	hash  string
}

// Ask answers as a hub does (internal/hub/site).
func (h *hub) Ask(_ context.Context, q outbox.Question) (outbox.Answer, error) {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	if strings.HasSuffix(q.Address, "/v1/bench") {
		return outbox.Answer{Status: 200, Body: []byte(`{"association":"Harbour League"}`)}, nil
	}
	h.lines.Write(q.Body)
	for line := range bytes.Lines(q.Body) {
		e, err := entry.ReadLine(bytes.TrimSpace(line))
		if err != nil || e.Seq != h.count+1 {
			return outbox.Answer{}, fmt.Errorf("entry %d after %d: %w", e.Seq, h.count, err)
		}
		if h.hash, err = e.Hash(); err != nil {
			return outbox.Answer{}, err
		}
		h.count++
	}
	return outbox.Answer{Status: 200, Body: fmt.Appendf(nil, `{"epoch":1,"seq":%d,"hash":%q}`, h.count, h.hash)}, nil
}

// kept is how many entries it has.
func (h *hub) kept() (int, string) {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	return h.count, h.lines.String()
}

// TestTheGamesGoToAHub: once it is paired a bench in a browser sends what it has and
// what is entered, without texts that people wrote, also after it was killed.
func TestTheGamesGoToAHub(t *testing.T) {
	at := &hub{}
	d := &device{ledgers: memory.New(), hub: at}
	b := d.open(t)
	game := opened(t, b)
	if answer := b.Ask("PUT", "/hub", []byte(`{"link":"https://hub.example/pair"}`)); answer.Status < 400 || !strings.Contains(string(answer.Body), "/pair#") {
		t.Errorf("%d %s", answer.Status, answer.Body)
	}
	if said := ask(t, b, "PUT", "/hub", `{"link":"https://hub.example/pair#word"}`); !strings.Contains(string(said), "Harbour League") {
		t.Errorf("%s", said)
	}
	noted(t, b, game, "the net came off its pegs")
	arrive := func(want int) {
		t.Helper()
		for range 6000 {
			if count, _ := at.kept(); count == want {
				return
			}
			time.Sleep(10 * time.Millisecond)
		}
		count, _ := at.kept()
		t.Fatalf("the hub has %d entries, want %d", count, want)
	}
	arrive(2)
	b.Close()
	b = d.open(t)
	noted(t, b, game, "it is back")
	arrive(3)
	if _, lines := at.kept(); strings.Contains(lines, "pegs") || !strings.Contains(lines, game) {
		t.Error("what somebody wrote went to the hub: ", lines)
	}
	for range 6000 { // that it is told follows what was told
		if said := string(ask(t, b, "GET", "/copies", "")); strings.Contains(said, "hubcopy.up_to_date") && strings.Contains(said, `"hub":true`) {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if hub, secret := b.HubLink(); hub != "https://hub.example" || secret != "word" {
		t.Errorf("phones come by %q, %q", hub, secret)
	}
	if said := string(ask(t, b, "PUT", "/hub", `{"link":""}`)); strings.Contains(said, "Harbour") {
		t.Error(said)
	}
	if hub, secret := b.HubLink(); hub != "" || secret != "" {
		t.Errorf("without a hub phones come by %q, %q", hub, secret)
	}
	if said := string(ask(t, b, "GET", "/copies", "")); strings.Contains(said, "hubcopy") {
		t.Error(said)
	}
}

// What the page posted is in the answer: the page hears of it later, and of what others post at once.
func TestTheAnswerComesBeforeTheNews(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := (&device{ledgers: memory.New()}).open(t)
		defer b.Close()
		game := opened(t, b)
		token := seated(t, b, game, "shots")
		heard := make(chan time.Time, 50)
		stop, err := b.Listen(game, "", func(e pocket.Event) {
			if e.Name == "change" {
				heard <- time.Now()
			}
		})
		if err != nil {
			t.Fatal(err)
		}
		defer stop()
		time.Sleep(time.Second) // a moment of the test's own time: all that was begun is done
		noted(t, b, game, "A note.")
		if at := time.Now(); !(<-heard).After(at) {
			t.Error("the page is told of its own post as soon as it is answered")
		}
		time.Sleep(time.Second)
		from(t, b, token, "POST", "/games/"+game+"/entries", posting(t, game, entry.Note{Text: "A seat's."}), 200)
		if at := time.Now(); (<-heard).After(at) {
			t.Error("the page waits for what a seat posted")
		}
	})
}
