package web_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"image"
	"image/jpeg"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"whistlestop/game/card"
	"whistlestop/internal/api"
	"whistlestop/internal/web"
)

const cardText = `id = "north"
rink = "North Rink"
[[steps]]
when = "goal"
do = ["Score {score} for the {side} side."]
`

// shelf keeps cards in memory, or fails.
type shelf struct {
	files []card.File
	err   error
}

func (s *shelf) All() ([]card.File, error) { return s.files, s.err }

func (s *shelf) Keep(id string, text []byte) error {
	if s.err == nil {
		s.files = append(s.files, card.NewFile(id+".toml", text))
	}
	return s.err
}

// printName prints the name of the rink and of the paper, so that a test sees
// what was asked for.
func printName(out io.Writer, c card.Card, paper string, _ api.Words) error {
	if c.ID == "long" {
		return errors.New("it is too long")
	}
	_, err := io.WriteString(out, "%PDF "+c.Rink+" on "+paper)
	return err
}

func withCards(t *testing.T, s *shelf) *web.Server {
	t.Helper()
	server := newServer(t, built)
	server.Cards, server.Print = s, printName
	return server
}

func upload(text string) *http.Request {
	return with(post("/api/cards", text), "Content-Type", "text/plain; charset=utf-8")
}

func TestCardsAreKeptListedAndSent(t *testing.T) {
	s := withCards(t, &shelf{files: []card.File{card.NewFile("bad.toml", []byte("id ="))}})
	kept := do(s, upload(cardText))
	if kept.Code != http.StatusCreated || kept.Header().Get("Location") != "/api/cards/north.toml" {
		t.Fatalf("%d %s", kept.Code, kept.Body)
	}
	var list struct {
		Cards []struct {
			ID, Rink string
			Demo     bool
			Card     json.RawMessage
		}
		Damaged []struct{ File, Why string }
	}
	if err := json.Unmarshal(do(s, get("/api/cards")).Body.Bytes(), &list); err != nil {
		t.Fatal(err)
	}
	if len(list.Cards) != 1 || list.Cards[0].ID != "north" || list.Cards[0].Rink != "North Rink" ||
		len(list.Damaged) != 1 || !strings.HasPrefix(list.Damaged[0].Why, "bad.toml, line 1: ") {
		t.Fatalf("%+v", list)
	}
	if text := do(s, get("/api/cards/north.toml")); text.Body.String() != cardText {
		t.Errorf("the file came as %s", text.Body)
	}
	for path, want := range map[string]string{
		"/api/cards/north.pdf":              "%PDF North Rink on a4",
		"/api/cards/north.pdf?paper=letter": "%PDF North Rink on letter",
	} {
		got := do(s, get(path))
		if got.Body.String() != want || got.Header().Get("Content-Type") != "application/pdf" {
			t.Errorf("%s: %s", path, got.Body)
		}
	}
	// What the list has is what an entry takes.
	used := do(s, post(entryURL, entries(entryJSON(noteID, "card_set", `{"card":`+string(list.Cards[0].Card)+`}`))))
	if used.Code != http.StatusOK || !strings.Contains(used.Body.String(), `"card":{"id":"north"`) {
		t.Errorf("%d %s", used.Code, used.Body)
	}
	if state := do(s, get("/api/games/"+game)).Body.String(); !strings.Contains(state, `"card":{"id":"north"`) {
		t.Errorf("the state comes without the card: %s", state)
	}
	stream := <-listenTo(t, listen(t, s)+"/api/games/"+game+"/stream")
	if !strings.Contains(stream.data, `,"card":{"id":"north"`) || !json.Valid([]byte(stream.data)) {
		t.Errorf("the stream has %s", stream.data)
	}
}

// A card's photo comes in the card's file, is drawn anew, and is asked for apart.
func TestAPhotoOfTheConsole(t *testing.T) {
	var photo bytes.Buffer
	if err := jpeg.Encode(&photo, image.NewGray(image.Rect(0, 0, 64, 48)), nil); err != nil {
		t.Fatal(err)
	}
	place := append([]byte("\xff\xe1\x00\x14Exif\x00\x00"), "12 Pier Lane"...)
	raw := append(append(append([]byte{}, photo.Bytes()[:2]...), place...), photo.Bytes()[2:]...)
	s := withCards(t, &shelf{})
	if kept := do(s, upload(string(card.Join([]byte(cardText), raw)))); kept.Code != http.StatusCreated || !strings.Contains(kept.Body.String(), `"picture":true`) {
		t.Fatalf("%d %s", kept.Code, kept.Body)
	}
	got := do(s, get("/api/cards/north.jpg"))
	if got.Header().Get("Content-Type") != "image/jpeg" || bytes.Contains(got.Body.Bytes(), []byte("Pier Lane")) || card.CheckPicture(got.Body.Bytes()) != nil {
		t.Errorf("%d %s", got.Code, got.Header())
	}
	if list := do(s, get("/api/cards")).Body.String(); !strings.Contains(list, `"picture":true`) || strings.Contains(list, "#picture") {
		t.Errorf("%s", list)
	}
	if file := do(s, get("/api/cards/north.toml")).Body.Bytes(); !bytes.Equal(file, card.Join([]byte(cardText), got.Body.Bytes())) {
		t.Errorf("%.200s", file)
	}
	half := card.Join([]byte(cardText), raw[:len(raw)/2])
	if bad := do(s, upload(string(half))); bad.Code != 422 || !strings.Contains(detail(t, bad), "no picture") {
		t.Errorf("%d %s", bad.Code, bad.Body)
	}
	bare := withCards(t, &shelf{files: []card.File{card.NewFile("north.toml", []byte(cardText))}})
	if none := do(bare, get("/api/cards/north.jpg")); none.Code != 404 {
		t.Errorf("%d", none.Code)
	}
}

func TestCardsThatDoNotGo(t *testing.T) {
	long := card.NewFile("long.toml", []byte(strings.Replace(cardText, "north", "long", 1)))
	sound, broken := &shelf{files: []card.File{long}}, &shelf{err: errors.New("no disk")}
	for what, test := range map[string]struct {
		shelf   *shelf
		request *http.Request
		status  int
		says    string
	}{
		"a fault in the file":    {sound, upload(strings.Replace(cardText, "score}", "skore}", 1)), 422, "card, line 5: there is no {skore}"},
		"JSON":                   {sound, post("/api/cards", "{}"), 415, "text/plain"},
		"too large":              {sound, upload(strings.Repeat("#", card.FileMost+1)), 413, "too large for a rink card"},
		"from another machine":   {sound, with(upload(cardText), "from", "192.168.7.9:1000"), 403, "Only the computer"},
		"no such card":           {sound, get("/api/cards/south.toml"), 404, "south"},
		"no such form":           {sound, get("/api/cards/long.docx"), 404, "long"},
		"no such paper":          {sound, get("/api/cards/long.pdf?paper=a0"), 400, "a0"},
		"more than a page":       {sound, get("/api/cards/long.pdf"), 422, "it is too long"},
		"a disk that is gone":    {broken, get("/api/cards"), 503, "cannot be read"},
		"nowhere to keep it":     {broken, upload(cardText), 503, "could not be saved"},
		"a file of a gone disk":  {broken, get("/api/cards/long.toml"), 503, "cannot be read"},
		"a slot that is no time": {sound, get("/api/games/" + game + "/slot?length_ms=1h"), 400, "length_ms"},
		"a slot of a second":     {sound, get("/api/games/" + game + "/slot?length_ms=1000"), 400, "length_ms"},
		"a slot of last year":    {sound, get("/api/games/" + game + "/slot?start_ms=1000"), 400, "start_ms"},
		"a slot of no game":      {sound, get("/api/games/01JD0000000000000000000009/slot"), 404, "no such game"},
	} {
		got := do(withCards(t, test.shelf), test.request)
		if got.Code != test.status || !strings.Contains(detail(t, got), test.says) {
			t.Errorf("%s: %d %s", what, got.Code, got.Body)
		}
	}
}

func detail(t *testing.T, answer *httptest.ResponseRecorder) string {
	t.Helper()
	var p struct{ Detail string }
	if err := json.NewDecoder(bytes.NewReader(answer.Body.Bytes())).Decode(&p); err != nil {
		t.Fatal(err)
	}
	return p.Detail
}

func TestSlot(t *testing.T) {
	s := newServer(t, built)
	do(s, post(entryURL, entries(entryJSON(noteID, "stage_begun", `{"stage":{"kind":"warm_up"},"length_ms":300000}`))))
	type answer struct {
		Slot struct {
			Early  int64 `json:"early_ms"`
			Likely int64 `json:"likely_ms"`
			Late   int64 `json:"late_ms"`
			End    int64 `json:"slot_end_ms"`
			Over   bool  `json:"over"`
			Notice *struct{ Key string }
		} `json:"slot"`
		Now int64 `json:"now_ms"`
	}
	ask := func(query string) (a answer) {
		t.Helper()
		got := do(s, get("/api/games/"+game+"/slot"+query))
		if err := json.Unmarshal(got.Body.Bytes(), &a); err != nil || got.Code != http.StatusOK {
			t.Fatalf("%d %s %v", got.Code, got.Body, err)
		}
		return a
	}
	a := ask("")
	if a.Slot.Early < a.Now+45*60_000 || a.Slot.Likely <= a.Slot.Early || a.Slot.Late <= a.Slot.Likely || a.Slot.End != 0 {
		t.Errorf("%+v", a)
	}
	if a = ask("?length_ms=3000000"); !a.Slot.Over || a.Slot.Notice == nil || a.Slot.Notice.Key != "slot.over" {
		t.Errorf("fifty minutes: %+v", a)
	}
	if a = ask("?length_ms=7200000"); a.Slot.Over || a.Slot.Notice != nil {
		t.Errorf("two hours: %+v", a)
	}
}
