package practice_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/practice"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/run"
)

// TestStatusesAreThoseOfHTTP: the numbers are written without the package.
func TestStatusesAreThoseOfHTTP(t *testing.T) {
	for got, want := range map[int]int{
		api.StatusOK: http.StatusOK, api.StatusUnreadable: http.StatusBadRequest, api.StatusMissing: http.StatusNotFound,
		api.StatusConflict: http.StatusConflict, api.StatusRefused: http.StatusUnprocessableEntity,
		api.StatusFaulty: http.StatusInternalServerError, api.StatusUnavailable: http.StatusServiceUnavailable,
	} {
		if got != want {
			t.Errorf("%d is not %s", got, http.StatusText(want))
		}
	}
}

// call is a question, and what its answer has to hold.
type call struct {
	method, path, body string
	status             int
	want               string // a part of the answer
}

func (c call) hold(t *testing.T, room *practice.Room) {
	t.Helper()
	status, text := room.Call(c.method, c.path, []byte(c.body), noon)
	if status != c.status || !strings.Contains(string(text), c.want) {
		t.Errorf("%s %s: %d %.600s\nwant %d and %q", c.method, c.path, status, text, c.status, c.want)
	}
	if status < 400 {
		return
	}
	var p api.Problem
	if err := json.Unmarshal(text, &p); err != nil || p.Title == "" || p.Detail == "" || p.Status != status || strings.Contains(p.Detail, "engine.") {
		t.Errorf("%s %s: the problem is %s", c.method, c.path, text)
	}
}

// TestBeforeAPractice: what a room answers before a practice was begun.
func TestBeforeAPractice(t *testing.T) {
	room := practice.NewRoom()
	for _, c := range []call{
		{"GET", "/practice/scripts", "", 200, `{"id":"standard","title":"The standard practice game","division":"Under 14"`},
		{"GET", "/practice/scripts", "", 200, `"id":"drill-follow-board"`},
		{"GET", "/codes", "", 200, `"calls":[`},
		{"GET", "/divisions", "", 200, `"id":"harbour-u14"`},
		{"GET", "/time?sent=1", "", 200, `{"received_ms":1770000000000,"sent_ms":1770000000000}`},
		{"GET", "/session", "", 404, "Choose a script and begin"},
		{"GET", "/games", "", 404, ""},
		{"POST", "/practice/look", "{}", 404, ""},
		{"GET", "/practice/grade", "", 404, ""},
		{"GET", "/", "", 404, ""},
		{"GET", "", "", 404, ""},
		{"POST", "/practice/begin", `{"script":"moonlight","seat":"solo","pace":"real"}`, 404, "There is no script moonlight"},
		{"POST", "/practice/begin", `{"script":"standard","seat":"voice","pace":"real"}`, 422, "solo, clock, box or book"},
		{"POST", "/practice/begin", `{"script":"standard","seat":"solo","pace":"moon"}`, 422, "real, fast or step"},
		{"POST", "/practice/begin", `{"script":`, 400, "it ends in the middle"},
		{"POST", "/practice/begin", `{"moon":1}`, 400, "unknown field"},
		{"POST", "/practice/scripts/made", `{"seed":1,"level":2,"division":"moon"}`, 422, "There is no division moon"},
		{"POST", "/practice/scripts/made", `{"seed":1,"level":9,"division":"harbour-u14"}`, 422, "Levels go from 1 to 5"},
		{"POST", "/practice/scripts/made", `{"seed":1,"level":2,"division":"harbour-u10","skills":["overtime"]}`, 422, "plays no overtime"},
		{"POST", "/practice/scripts/made", `{"seed":9,"level":2,"division":"harbour-u14"}`, 200, `"added":true`},
		{"POST", "/practice/scripts", `{"name":"bad.practice","text":"practice 1\nlevel 9\n"}`, 422, "bad.practice, line 2"},
		{"POST", "/practice/scripts", `{"name":"bad.jsonl","text":"{\"moon\":1}\n"}`, 422, "bad.jsonl, line 1"},
		{"POST", "/fold", `{"moon":1}`, 422, "line 1"},
		{"POST", "/fold", ``, 422, ""},
		{"POST", "/practice/today", `{"results":[],"name":"Wren","seat":"box","day":2000}`, 200, `"drill":"drill-minor"`},
		{"POST", "/practice/today", `{"results":[],"name":"Wren","seat":"moon","day":2000}`, 422, ""},
		{"POST", "/practice/everybody", `{"results":[],"bar":{},"day":2000}`, 200, `"bar":{"score":85`},
		{"POST", "/practice/codes", `{"text":"  \nMOON-MOON\n"}`, 200, `"bad":[{"text":"MOON-MOON"`},
	} {
		c.hold(t, room)
	}
}

// TestInAPractice: what a room answers in a practice.
func TestInAPractice(t *testing.T) {
	room := practice.NewRoom()
	s := maker.Standard()
	game := s.Answers[0].Entry.ID
	ask[practice.Begun](t, room, "POST", "/practice/begin", practice.Beginning{Script: s.ID, Seat: entry.ClockSeat, Pace: run.StepPace}, noon)
	draft := func(body entry.Body) string {
		e := entry.Entry{ID: "01PRACY0000000000000000001", Game: game, Wall: noon, Seat: entry.ClockSeat, Body: body}
		if body.Kind() == entry.KindGoal {
			e.ID = "01PRACY0000000000000000002"
		}
		return `{"entries":[` + string(must(e.MarshalJSON())) + `]}`
	}
	begun := draft(entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: 720_000})
	goal := draft(entry.Goal{Side: entry.Home, Scorer: "9"})
	for _, c := range []call{
		{"GET", "/session", "", 200, `"here":true,"seat":"clock"`},
		{"GET", "/games", "", 200, `"id":"` + game + `"`},
		{"GET", "/games/" + game, "", 200, `"now_ms":1770000000000`},
		{"GET", "/games/" + game + "/announcements", "", 200, `"seq":`},
		{"GET", "/games/" + game + "/slot?length_ms=3600000", "", 200, `"slot":`},
		{"GET", "/games/" + game + "/ledger.jsonl", "", 200, `"type":"whistlestop.bench_set.v1"`},
		{"GET", "/games/01PRACM0000000000000000009", "", 404, ""},
		{"GET", "/games/moon", "", 404, ""},
		{"GET", "/games/" + game + "/moon", "", 404, ""},
		{"DELETE", "/games/" + game, "", 404, ""},
		{"POST", "/games/" + game + "/entries", `{"entries":[{"moon":1}]}`, 400, "1"},
		{"POST", "/games/" + game + "/entries", `{"entries":[]}`, 422, ""},
		{"POST", "/games/" + game + "/entries", begun, 200, `"posted":["01PRACY0000000000000000001"]`},
		{"POST", "/games/" + game + "/preview", goal, 200, `"says"`},
		{"POST", "/games/" + game + "/entries", goal, 422, "Book"},
		{"POST", "/practice/look", "{}", 200, `"cue":-1`},
		{"POST", "/practice/next", "{}", 200, `"over":false`},
		{"POST", "/practice/pace", `{"pace":"fast"}`, 200, `"jump_ms"`},
		{"POST", "/practice/pace", `{"pace":"moon"}`, 422, ""},
		{"POST", "/practice/act", `{"do":"horn"}`, 200, `"seq"`},
		{"POST", "/practice/act", `{"do":"told_out","side":"home","player":"9"}`, 200, ``},
		{"POST", "/practice/act", `{"do":"shown"}`, 422, ""},
		{"POST", "/practice/act", `{"do":"horn","side":"moon"}`, 422, ""},
		{"GET", "/practice/frames/0", "", 200, `"frames":[{"real_ms"`},
		{"GET", "/practice/frames/1", "", 200, `"frames":`},
		{"GET", "/practice/frames/9999", "", 404, ""},
		{"GET", "/practice/frames/moon", "", 404, ""},
		{"GET", "/practice/told", "", 404, "next puck drop"},
		{"GET", "/practice/grade", "", 200, `"complete":false`},
		{"GET", "/practice/record", "", 200, `"script":"practice 1\n`},
		{"POST", "/practice/result", `{"name":"Wren","day":2000}`, 409, "not over"},
		{"GET", "/practice/moon", "", 404, ""},
		{"GET", "/moon", "", 404, ""},
		{"POST", "/practice/today", strings.Repeat(" ", 17<<20), 400, "16 MB"},
	} {
		c.hold(t, room)
	}
}

// TestScriptsAreAdded: a coordinator's file and the ledger of a game can be
// practised, take the place of an older one of their id, and never that of a
// script of the program.
func TestScriptsAreAdded(t *testing.T) {
	room := practice.NewRoom()
	text := maker.Standard().Text()
	file := func(name, text string) string {
		return string(must(json.Marshal(practice.ScriptFile{Name: name, Text: text})))
	}
	lines := string(must(api.Lines(maker.Standard().Ledger())))
	for _, c := range []call{
		{"POST", "/practice/scripts", file("own.practice", text), 422, "belongs to a script that comes with the program"},
		{"POST", "/practice/scripts", file("own.practice", strings.Replace(text, "standard", "evening", 1)), 200, `"id":"evening"`},
		{"POST", "/practice/scripts", file("own.practice", strings.Replace(text, "standard", "evening", 1)), 200, `"added":true`},
		{"POST", "/practice/scripts", file("game.jsonl", lines), 200, `"id":"replay-standard"`},
		{"POST", "/practice/begin", `{"script":"evening","seat":"solo","pace":"real"}`, 200, `"box":true`},
		{"POST", "/practice/begin", `{"script":"replay-standard","seat":"solo","pace":"real"}`, 200, `"Replay of Northmole against Kelp Bay"`},
	} {
		c.hold(t, room)
	}
	list := ask[practice.Scripts](t, room, "GET", "/practice/scripts", nil, noon)
	added := 0
	for _, s := range list.Scripts {
		if s.Added {
			added++
		}
	}
	if added != 2 {
		t.Errorf("%d scripts were added", added)
	}
}

// TestAResultGoesRound: the code of a result is read back as the result, written
// in one line, with spaces, and beside another that is broken.
func TestAResultGoesRound(t *testing.T) {
	room := practice.NewRoom()
	s, err := maker.DrillFor(plot.Score, nil)
	if err != nil {
		t.Fatal(err)
	}
	r := begin(t, room, s, entry.Solo, run.FastPace)
	r.play()
	kept := ask[practice.Kept](t, room, "POST", "/practice/result", practice.Naming{Name: "Wren", Day: 2000}, r.now)
	if kept.Result.Score != 100 || kept.Result.Name != "Wren" || !kept.Result.Drill {
		t.Errorf("kept %+v", kept.Result)
	}
	spaced := strings.ReplaceAll(kept.Code, "-", " ")
	read := ask[practice.CodesRead](t, room, "POST", "/practice/codes", practice.SentCodes{
		Text: kept.Code + " " + kept.Code + "\n" + spaced + "\r\n\n" + kept.Code[:len(kept.Code)-1],
	}, r.now)
	if len(read.Results) != 3 || len(read.Bad) != 1 || read.Results[2].Name != "Wren" || read.Results[2].Day != 2000 {
		t.Errorf("read %+v", read)
	}
	listed := ask[practice.Listed](t, room, "POST", "/practice/everybody", practice.Listing{Results: read.Results, Day: 2001}, r.now)
	if len(listed.Rows) != 1 || !strings.HasPrefix(listed.CSV, "\ufeff") || !strings.Contains(listed.CSV, "Wren,") {
		t.Errorf("listed %+v", listed)
	}
	call{"POST", "/practice/result", `{"name":"  ","day":2000}`, 422, "Write another name"}.hold(t, room)
}

// FuzzCall: whatever somebody asks, the room answers, and the practice goes on.
func FuzzCall(f *testing.F) {
	s := maker.Standard()
	game := s.Answers[0].Entry.ID
	f.Add("GET", "/games/"+game, "", int64(noon))
	f.Add("POST", "/practice/look", "{}", int64(noon)+5_000)
	f.Add("POST", "/practice/act", `{"do":"told_out","side":"home","player":"9"}`, int64(noon))
	f.Add("POST", "/practice/begin", `{"script":"drill-minor","seat":"box","pace":"step"}`, int64(-1))
	f.Add("POST", "/practice/scripts", `{"name":"a","text":"practice 1\n","level":3}`, int64(1)<<62)
	f.Add("POST", "/practice/scripts/made", `{"seed":1,"level":1,"division":"harbour-u14","skills":["score"]}`, int64(noon))
	f.Add("POST", "/practice/codes", `{"text":"A B"}`, int64(0))
	f.Add("GET", "/practice/frames/-1", "", int64(0))
	f.Add("POST", "/games/"+game+"/entries", `{"entries":[{}],"saw":-1}`, int64(noon))
	f.Add("POST", "/practice/everybody", `{"results":[{"name":"=A","skills":[{"skill":"score","right":1,"of":-1}]}],"bar":{"games":1}}`, int64(0))
	room := practice.NewRoom()
	f.Fuzz(func(t *testing.T, method, path, body string, now int64) {
		room.Call("POST", "/practice/begin", []byte(`{"script":"drill-minor","seat":"solo","pace":"fast"}`), noon)
		room.Call("POST", "/practice/look", []byte("{}"), noon+8_000)
		status, text := room.Call(method, path, []byte(body), entry.Millis(now))
		if status >= 500 {
			t.Errorf("%s %s %s: %d %s", method, path, body, status, text)
		}
		status, text = room.Call("POST", "/practice/look", []byte("{}"), noon+9_000)
		if status != 200 || !json.Valid(text) {
			t.Errorf("after %s %s %s a look is answered %d %s", method, path, body, status, text)
		}
	})
}
