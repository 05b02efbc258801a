package web_test

import (
	"net/http"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
)

var devices = []entry.Seat{entry.ClockSeat, entry.BoxSeat, entry.BookSeat, entry.ShotsSeat, entry.VoiceSeat}

// readingPaths are the paths of what not every seat may read. What is no answer for a
// seat that may is at least no refusal of the seat.
var readingPaths = map[bench.Reading][]string{
	bench.ReadReport: {
		"/report", "/report.pdf", "/report.xlsx", "/report.csv", "/report.json", "/report.html", "/report.svg", "/audit", "/verify",
	},
	bench.ReadSlot: {"/slot"}, bench.ReadAnnouncements: {"/announcements"}, bench.ReadCopy: {"/ledger.jsonl"},
}

// Every seat asks for everything.
func TestASeatIsAnsweredWhatItsWorkNeeds(t *testing.T) {
	s := withReports(t)
	for _, seat := range devices {
		token := pair(t, s, `{"seat":"`+string(seat)+`"}`)
		for reading, paths := range readingPaths {
			for _, path := range paths {
				answer := do(s, fromPhone(get(gamePath+path), token))
				if refused := answer.Code == http.StatusForbidden; refused == bench.Reads(seat, reading) {
					t.Errorf("%s asks for %s: %d %s", seat, path, answer.Code, answer.Body)
				}
			}
		}
		cards := do(s, fromPhone(get("/api/cards"), token))
		if refused := cards.Code == http.StatusForbidden; refused == bench.Reads(seat, bench.ReadCards) {
			t.Errorf("%s asks for the cards: %d %s", seat, cards.Code, cards.Body)
		}
		page := do(s, fromPhone(get("/report/"+game+"/shared"), token))
		if refused := page.Code == http.StatusForbidden; refused == bench.Reads(seat, bench.ReadReport) {
			t.Errorf("%s asks for the page for parents: %d", seat, page.Code)
		}
	}
}

// secrets are texts about people and the reading that shows each.
var secrets = map[string]bench.Reading{
	"PLANTED player": bench.ReadNames, "PLANTED coach": bench.ReadNames, "PLANTED referee": bench.ReadPeople,
	"PLANTED confirmer": bench.ReadPeople, "PLANTED signer": bench.ReadPeople, "PLANTED code": bench.ReadPeople,
	"PLANTED note": bench.ReadNotes, "PLANTED reason": bench.ReadNotes,
}

func envelope(id, kind, of, body string) string {
	if of != "" {
		of = `"of":"` + of + `",`
	}
	return `{"specversion":"1.0","id":"` + id + `","source":"/game/` + game + `","type":"whistlestop.` + kind +
		`.v1","time":"2026-01-01T00:00:00Z","seat":"solo",` + of + `"data":{"at":{"period":0,"elapsed_ms":0},"body":` + body + `}}`
}

// What a seat is answered in any way holds no text about people that its work
// does not need.
func TestNoAnswerToASeatHoldsMoreThanItsWork(t *testing.T) {
	s := withReports(t)
	id := func(n string) string { return ("01JD00000000000000PRIV0000")[:26-len(n)] + n }
	plant := []string{
		envelope(id("1"), "roster_set", "", `{"side":"home","team":{"name":"Kelp Bay","players":[{"number":"7","name":"PLANTED player"}],
			"staff":[{"role":"head_coach","name":"PLANTED coach"}]}}`),
		envelope(id("2"), "crew_set", "", `{"officials":[{"role":"referee","name":"PLANTED referee"}]}`),
		envelope(id("3"), "roster_confirmed", "", `{"side":"home","by":"PLANTED confirmer"}`),
		envelope(id("4"), "signed", "", `{"role":"referee","name":"PLANTED signer","code":"PLANTED code"}`),
		envelope(id("5"), "note", "", `{"text":"PLANTED note","about":"injury"}`),
		envelope(id("6"), "struck", id("5"), `{"reason":"PLANTED reason"}`),
		envelope(id("7"), "note", "", `{"text":"PLANTED note","about":"injury"}`),
	}
	if answer := do(s, post(gamePath+"/entries", `{"entries":[`+strings.Join(plant, ",")+`]}`)); answer.Code != http.StatusOK {
		t.Fatal(answer.Body)
	}
	for i, seat := range devices {
		token := pair(t, s, `{"seat":"`+string(seat)+`"}`)
		aside := `{"entries":[` + envelope(id("A"+string(rune('0'+i))), "note", "", `{"text":"mine"}`) + `]}`
		ledger := do(s, fromPhone(get(gamePath+"/ledger.jsonl"), token))
		copied, err := entry.ReadLedger(ledger.Body.Bytes())
		if err == nil {
			err = entry.VerifyChain(copied)
		}
		if err != nil || len(copied) < len(plant) {
			t.Errorf("the copy of %s has %d entries: %v", seat, len(copied), err)
		}
		answers := map[string]string{
			"ledger":  ledger.Body.String(),
			"reading": do(s, fromPhone(get(gamePath+"/ledger.jsonl?texts=inside"), token)).Body.String(),
			"state":   do(s, fromPhone(get(gamePath), token)).Body.String(),
			"preview": do(s, fromPhone(post(gamePath+"/preview", aside), token)).Body.String(),
			"post":    do(s, fromPhone(post(gamePath+"/entries", aside), token)).Body.String(),
			"public":  do(s, fromPhone(get(gamePath+"?view=public"), token)).Body.String(),
		}
		for what, text := range answers {
			if len(text) < 200 {
				t.Errorf("%s gets no %s: %s", seat, what, text)
			}
			for secret, reading := range secrets {
				may := bench.Reads(seat, reading) && what != "public"
				if got := strings.Contains(text, secret); got && !may {
					t.Errorf("%s reads %q in the %s", seat, secret, what)
				}
			}
		}
		if seat == entry.BookSeat && !strings.Contains(answers["state"], "PLANTED signer") {
			t.Errorf("the Book is kept from its work: %s", answers["state"])
		}
		if seat == entry.VoiceSeat && !strings.Contains(answers["state"], "PLANTED player") {
			t.Errorf("Voice is kept from its work: %s", answers["state"])
		}
	}
}
