package web_test

import (
	"bytes"
	"crypto/ed25519"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/web"
	"whistlestop/record/report"
	"whistlestop/record/seal"
)

// benchKey is the key of the tests, or the lack of one.
type benchKey struct{ err error }

func (k benchKey) Key() (ed25519.PrivateKey, error) {
	return ed25519.NewKeyFromSeed(bytes.Repeat([]byte{5}, ed25519.SeedSize)), k.err
}

// shares stands in for what is shared.
type shares map[string]bool

func (s shares) Shared(game string) (bool, error) { return s[game], nil }

func (s shares) Share(game string, on bool) error { s[game] = on; return nil }

// writeOptions writes what was asked for, instead of a report.
func writeOptions(out io.Writer, ledger []entry.Entry, format string, o laptop.Wanted) error {
	if format == "svg" {
		return errors.New("a printer of this test does not draw")
	}
	_, err := fmt.Fprintf(out, "%d entries Format:%s Paper:%s Times:%s Names:%v Picture:%v", len(ledger), format, o.Paper, o.Times, o.Names, o.Picture)
	return err
}

func withReports(t *testing.T) *web.Server {
	s := newServer(t, built)
	s.Report, s.Keys, s.Shares = writeOptions, benchKey{}, shares{}
	return s
}

func put(path, body string) *http.Request { return with(post(path, body), "method", "PUT") }

func TestReports(t *testing.T) {
	s := withReports(t)
	d := answerOf[report.Document](t, do(s, get(gamePath+"/report?times=remaining")), http.StatusOK)
	if d.Game != game || d.Times != "remaining" || d.Teams[0].Name != "Kelp Bay" {
		t.Errorf("%+v", d)
	}
	for path, want := range map[string]string{
		"/report.pdf":                            "Format:pdf Paper:a4",
		"/report.pdf?paper=letter&picture=yes":   "Format:pdf Paper:letter Times: Names:false Picture:true",
		"/report.xlsx":                           "Format:xlsx",
		"/report.csv":                            "Format:csv",
		"/report.json?times=elapsed":             "Format:json Paper:a4 Times:elapsed",
		"/report.html?names=yes":                 "Format:html Paper:a4 Times: Names:true",
		"/report.pdf?paper=a4&times=&picture=no": "Picture:false",
	} {
		answer := do(s, get(gamePath+path))
		if answer.Code != http.StatusOK || !strings.Contains(answer.Body.String(), want) {
			t.Errorf("%s: %d %s", path, answer.Code, answer.Body)
		}
		if kept := answer.Header().Get("Content-Disposition"); !strings.Contains(kept, "report-"+game+".") {
			t.Errorf("%s is called %q", path, kept)
		}
	}
	token := pair(t, s, `{"seat":"box"}`)
	run(t, s, []scenario{
		{name: "no such paper", request: get(gamePath + "/report.pdf?paper=a0"), status: 400, has: []string{"a0"}},
		{name: "no such times", request: get(gamePath + "/report?times=both"), status: 400, has: []string{"elapsed or remaining"}},
		{name: "no such game", request: get("/api/games/01JD0000000000000000000099/report"), status: 404},
		{name: "a fault while writing", request: get(gamePath + "/report.svg"), status: 500, hasNot: []string{"printer"}},
		{name: "the audit", request: get(gamePath + "/audit?times=remaining"), status: 200, has: []string{`"findings":[`}},
		{name: "the audit for a stranger", request: fromPhone(get(gamePath+"/audit"), ""), status: 403},
		{name: "a stranger", request: fromPhone(get(gamePath+"/report.pdf"), ""), status: 403},
		{name: "a stranger wants the document", request: fromPhone(get(gamePath+"/report"), ""), status: 403},
		{name: "the Book", request: fromPhone(get(gamePath+"/report.pdf"), pair(t, s, `{"seat":"book"}`)), status: 200},
		{name: "a seat that needs no report", request: fromPhone(get(gamePath+"/report.pdf"), token), status: 403, has: []string{"for its work"}},
	})
}

func TestTheSharedPageIsSharedByHand(t *testing.T) {
	s := withReports(t)
	page := "/report/" + game + "/shared"
	run(t, s, []scenario{
		{name: "a stranger before", request: fromPhone(get(page), ""), status: 403, has: []string{"not shared"}, hasNot: []string{"entries"}},
		{name: "the bench looks first", request: get(page), status: 200, has: []string{"Format:html", "Names:false"}},
		{name: "a stranger turns it on", request: fromPhone(put(gamePath+"/sharing", `{"on":true}`), ""), status: 403},
		{name: "of no game", request: put("/api/games/01JD0000000000000000000099/sharing", `{"on":true}`), status: 404},
		{name: "on", request: put(gamePath+"/sharing", `{"on":true}`), status: 200, has: []string{page}},
		{name: "it says so", request: get(gamePath + "/sharing"), status: 200, has: []string{`"on":true`}},
		{name: "a stranger", request: fromPhone(get(page+"?names=yes"), ""), status: 200, has: []string{"Format:html", "Names:false"}},
		{name: "off", request: put(gamePath+"/sharing", `{"on":false}`), status: 200},
		{name: "a stranger after", request: fromPhone(get(page), ""), status: 403},
	})
	answer := do(s, get(page))
	if policy := answer.Header().Get("Content-Security-Policy"); !strings.HasPrefix(policy, "default-src 'none'") || strings.Contains(policy, "script") {
		t.Errorf("the page may do %q", policy)
	}
}

type sealedAnswer struct {
	Entry, Fingerprint string
	Version            int
}

func TestSeal(t *testing.T) {
	s := withReports(t)
	url := gamePath + "/seal"
	over := entryJSON("01JD0000000000000000000021", "stage_begun", `{"stage":{"kind":"over"},"length_ms":0}`)
	signed := entryJSON("01JD0000000000000000000022", "signed", `{"role":"referee","name":"Idris Calloway","code":"4417"}`)
	forged := entryJSON("01JD0000000000000000000023", "sealed", `{"version":1,"head":"`+strings.Repeat("a", 64)+`","key":"a2V5","signature":"c2ln"}`)
	for _, one := range []scenario{
		{name: "a game that goes on", request: post(url, `{"missing":""}`), status: 422, has: []string{"not over"}},
		{name: "over", request: post(entryURL, entries(over)), status: 200, keeps: true},
		{name: "nobody signed", request: post(url, `{"missing":" "}`), status: 422, has: []string{"Nobody has signed"}},
		{name: "by hand", request: post(entryURL, entries(forged)), status: 422, has: []string{"use the seal of the report"}},
		{name: "signed", request: post(entryURL, entries(signed)), status: 200, keeps: true},
		{name: "a phone seals", request: fromPhone(post(url, `{"missing":"x"}`), pair(t, s, `{"seat":"book"}`)), status: 403},
		{name: "not JSON", request: with(post(url, `{}`), "Content-Type", "text/plain"), status: 415},
	} {
		run(t, s, []scenario{one})
	}
	first := answerOf[sealedAnswer](t, do(s, post(url, `{"missing":"No period was played."}`)), http.StatusOK)
	if first.Version != 1 || len(first.Fingerprint) != 19 {
		t.Errorf("%+v", first)
	}
	run(t, s, []scenario{{name: "again", request: post(url, `{"missing":"x"}`), status: 422, has: []string{"sealed already"}}})
	answerOf[struct{}](t, do(s, post(entryURL, entries(note))), http.StatusOK)
	second := answerOf[sealedAnswer](t, do(s, post(url, `{"missing":"A remark was added."}`)), http.StatusOK)
	if second.Version != 2 || second.Fingerprint == first.Fingerprint {
		t.Errorf("%+v after %+v", second, first)
	}
	verdict := answerOf[seal.Verdict](t, do(s, get(gamePath+"/verify")), http.StatusOK)
	if verdict.First != nil || len(verdict.Seals) != 2 || verdict.Seals[0].Fingerprint != first.Fingerprint || verdict.After != 0 {
		t.Errorf("%+v", verdict)
	}
	d := answerOf[report.Document](t, do(s, get(gamePath+"/report")), http.StatusOK)
	if !d.Sealed || len(d.Seals) != 2 || d.Seals[1].Fingerprint != second.Fingerprint || d.Seals[1].Replaces != first.Entry {
		t.Errorf("%+v", d.Seals)
	}
}

// TestNoSealWithoutAKey keeps the ledger as it was.
func TestNoSealWithoutAKey(t *testing.T) {
	s := withReports(t)
	s.Keys = benchKey{err: errors.New("/secret/path is damaged")}
	over := entryJSON("01JD0000000000000000000021", "stage_begun", `{"stage":{"kind":"over"},"length_ms":0}`)
	answerOf[struct{}](t, do(s, post(entryURL, entries(over))), http.StatusOK)
	run(t, s, []scenario{{
		name: "damaged", request: post(gamePath+"/seal", `{"missing":"x"}`), status: 503,
		has: []string{"bench-key.pem"}, hasNot: []string{"/secret"},
	}})
	if d := answerOf[report.Document](t, do(s, get(gamePath+"/report")), http.StatusOK); d.Sealed || len(d.Seals) > 0 {
		t.Errorf("sealed all the same: %+v", d.Seals)
	}
}
