package main

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"whistlestop/crew/onduty"
	"whistlestop/internal/api"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/mail"
	"whistlestop/internal/store/sqlite"
	"whistlestop/record/tables"
)

// crewOf is a crew's desk of the invented league with nobody in it.
func crewOf(t *testing.T, quiet *slog.Logger) *crew.Service {
	papers, err := sqlite.OpenPapers(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := papers.Close(); err != nil {
			t.Error(err)
		}
	})
	return &crew.Service{
		Papers: papers, Season: harbour(t), Logger: quiet,
		Key: func(n int) []byte {
			raw := make([]byte, n)
			_, _ = rand.Read(raw)
			return raw
		},
		Post: noPost{},
		PDF:  func(io.Writer, tables.Document, api.Words) error { return nil },
	}
}

// noPost is a mail account that takes no letter.
type noPost struct{}

func (noPost) Send(context.Context, mail.Letter) error { return errors.New("no letter is sent here") }
func (noPost) From() string                            { return "Harbour League" }
func (noPost) Most() int                               { return 0 }

// onDutyFile is who is on duty at one game.
const onDutyFile = `{"version":1,"league":"Harbour League","made":{"day":"2026-10-01","clock":"12:00"},"games":[{"game":"u14-001","day":"2026-10-04",
"start":"10:00","home":"Kelp Bay","visitors":"Northmole","seats":[{"seat":"clock","kind":"clock","there":"09:45","name":"Maren H",
"came":"AAAA-2222","missed":"BBBB-2222","unmarked":"CCCC-2222"}]}]}`

// dutyFiles are a bench's files in memory.
type dutyFiles struct{ onDuty, noted []byte }

func (f *dutyFiles) OnDuty() ([]byte, error)      { return f.onDuty, nil }
func (f *dutyFiles) Noted() ([]byte, error)       { return f.noted, nil }
func (f *dutyFiles) KeepOnDuty(text []byte) error { f.onDuty = text; return nil }
func (f *dutyFiles) KeepNoted(text []byte) error  { f.noted = text; return nil }

// dutiesOf is a bench that was told who is on duty at the game.
func dutiesOf(quiet *slog.Logger) *crew.Bench {
	return &crew.Bench{Files: &dutyFiles{onDuty: []byte(onDutyFile)}, Logger: quiet, Game: func(*api.Call, string) (onduty.Wanted, error) {
		return onduty.Wanted{Schedule: "u14-001"}, nil
	}}
}

// crewBody is what an operation of the crew's desk is asked with. Whatever it needs to
// be there is put there first.
func (d *desk) crewBody(o api.Operation) (path, body string) {
	path = o.Path
	list := d.ask("GET", "/api/crew/people", "", "")
	if !strings.Contains(list.Body.String(), "Maren Holt") {
		text, err := os.ReadFile("../../testdata/league/harbour-people.csv")
		if err != nil {
			d.t.Fatal(err)
		}
		pasted, _ := json.Marshal(map[string]string{"text": string(text)})
		list = d.ask("PUT", "/api/crew/people", "application/json", string(pasted))
		d.ask("POST", "/api/crew/rota", "application/json", `{"moves":1000}`)
	}
	var people struct{ People []json.RawMessage }
	d.decode(list, &people)
	var first struct{ ID string }
	if err := json.Unmarshal(people.People[0], &first); err != nil {
		d.t.Fatal(err)
	}
	var rota struct {
		Duties []struct{ Game, Seat, Person string }
	}
	d.decode(d.ask("GET", "/api/crew/rota", "", ""), &rota)
	seat := rota.Duties[0]
	for _, one := range rota.Duties {
		if one.Person != "" {
			seat = one
		}
	}
	if strings.Contains(path, "{token}") {
		wanted := `{"person":"` + seat.Person + `"}`
		if strings.Contains(path, "/team/") {
			wanted = `{"team":"kelp-bay-u14"}`
		}
		_, token, _ := strings.Cut(d.field(d.ask("POST", "/api/crew/links", "application/json", wanted), "link"), "#")
		path = strings.ReplaceAll(path, "{token}", token)
	}
	path = strings.NewReplacer("{person}", first.ID, "{game}", seat.Game, "{seat}", seat.Seat).Replace(path)
	switch o.Method + " " + o.Path {
	case "PUT /api/crew/mail":
		return path, `{"by_itself":false}`
	case "PUT /api/crew/people":
		return path, `{"text":"name\nOne More\n","check":true}`
	case "PUT /api/crew/people/{person}":
		return path, string(people.People[0])
	case "POST /api/crew/results":
		return path, `{"text":"00000-00000-00000-00000-00000"}`
	case "POST /api/crew/season":
		return path, `{"act":"contact"}`
	case "PUT /api/crew/rules":
		return path, d.ask("GET", "/api/crew/rules", "", "").Body.String()
	case "PUT /api/crew/rules/file":
		return path, `{"text":"[[seat]]\nid = \"clock\"\nneed = \"must\"\n"}`
	case "POST /api/crew/rota":
		return path, `{"moves":100,"seed":2}`
	case "POST /api/crew/seats/{game}/{seat}":
		return path, `{"act":"unlock"}`
	case "POST /api/crew/seats/{game}/{seat}/ask", "POST /api/crew/messages":
		if o.Path == "/api/crew/messages" {
			return path, `{"people":["` + first.ID + `"],"act":"prepare"}`
		}
		return path, `{"people":["` + first.ID + `"]}`
	case "POST /api/crew/answers":
		return path, `{"text":"I come."}`
	case "POST /api/crew/gone":
		return path, `{"address":""}` // it works here: the rest is asked of it
	case "POST /api/crew/links":
		return path, `{"team":"kelp-bay-u14"}`
	case "POST /api/crew/mine/{token}":
		return path, `{"do":"forget"}`
	}
	return path, ""
}

func (d *desk) decode(answer *httptest.ResponseRecorder, into any) {
	d.t.Helper()
	if err := json.Unmarshal(answer.Body.Bytes(), into); err != nil {
		d.t.Fatalf("%s: %v", answer.Body, err)
	}
}
