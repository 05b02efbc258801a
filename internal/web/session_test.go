package web_test

import (
	"crypto/tls"
	"net/http"
	"strings"
	"testing"
	"testing/fstest"

	"whistlestop/internal/store/memory"
)

// A name on the network that others can answer for never makes a request the
// bench's own, also not from this computer.
func TestANameOfTheNetworkIsAGuest(t *testing.T) {
	s := serverOver(t, fstest.MapFS{}, memory.New(), "saltworks.local")
	for _, host := range []string{"saltworks.local:8480", "saltworks.local", "SaltWorks.Local.:8480"} {
		own := with(get("/api/session"), "Host", host)
		if said := do(s, own); said.Code != http.StatusOK || !strings.Contains(said.Body.String(), `"here":false`) {
			t.Errorf("%s: %d %s", host, said.Code, said.Body)
		}
		if said := do(s, with(get("/metrics"), "Host", host)); said.Code != http.StatusForbidden {
			t.Errorf("%s reads what only the bench may: %d", host, said.Code)
		}
		draft := with(post(entryURL, entries(note)), "Host", host)
		if said := do(s, draft); said.Code != http.StatusForbidden {
			t.Errorf("%s posts as the bench: %d", host, said.Code)
		}
		if said := do(s, with(get("/api/games/"+game), "Host", host)); strings.Contains(said.Body.String(), `"game_opened"`) {
			t.Errorf("%s sees the whole game", host)
		}
	}
	if said := do(s, with(get("/api/session"), "Host", "127.0.0.1:8480")); !strings.Contains(said.Body.String(), `"here":true`) {
		t.Error("the bench itself is a guest", said.Body)
	}
}

// A device gives its seat back: what it had opens nothing any more, and its
// cookie is taken away.
func TestADeviceGivesItsSeatBack(t *testing.T) {
	s, address := strangersHere(t)
	token := pair(t, s, `{"seat":"clock"}`)
	stream := listenTo(t, address+gamePath+"/stream", "Cookie", "whistlestop_seat="+token)
	next(t, stream, "state")
	answer := do(s, fromPhone(with(get("/api/session"), "method", "DELETE"), token))
	if answer.Code != http.StatusOK {
		t.Fatal(answer.Code, answer.Body)
	}
	if cookies := answer.Result().Cookies(); len(cookies) != 1 || cookies[0].MaxAge >= 0 || cookies[0].Value != "" {
		t.Errorf("the cookie stays: %+v", cookies)
	}
	next(t, stream, "revoked")
	run(t, s, []scenario{
		{name: "reading", request: fromPhone(get(gamePath+"/slot"), token), status: 403},
		{name: "again", request: fromPhone(with(get("/api/session"), "method", "DELETE"), token), status: 403},
		{name: "the bench", request: with(get("/api/session"), "method", "DELETE"), status: 422},
	})
}

// Over an encrypted connection the cookie has a name that no plain page, and no
// other host, can set.
func TestTheCookieOfAnEncryptedConnection(t *testing.T) {
	s := newServer(t, built)
	secure := func(r *http.Request) *http.Request {
		r = with(r, "from", phone, "Host", lanHost)
		r.TLS = &tls.ConnectionState{HandshakeComplete: true}
		return r
	}
	offer := invite(t, s, `{"seat":"clock"}`)
	wish := answerOf[asked](t, do(s, secure(post("/api/join", `{"code":"`+offer.Code+`","device":"a phone"}`))), http.StatusAccepted)
	if answer := do(s, post(gamePath+"/seats/approve", `{"request":"`+wish.Request+`"}`)); answer.Code != http.StatusOK {
		t.Fatal(answer.Body)
	}
	answer := do(s, secure(post("/api/join/"+wish.Request, `{"secret":"`+wish.Secret+`"}`)))
	cookies := answer.Result().Cookies()
	if len(cookies) != 1 || cookies[0].Name != "__Host-whistlestop_seat" || !cookies[0].Secure || cookies[0].Path != "/" || cookies[0].Domain != "" {
		t.Fatalf("%d %+v", answer.Code, cookies)
	}
	ask := func(name string) string {
		r := secure(get("/api/session"))
		r.AddCookie(&http.Cookie{Name: name, Value: cookies[0].Value})
		return do(s, r).Body.String()
	}
	if said := ask("__Host-whistlestop_seat"); !strings.Contains(said, `"seat":"clock"`) {
		t.Error("the seat is not known:", said)
	}
	if said := ask("whistlestop_seat"); !strings.Contains(said, `"seat":""`) {
		t.Error("a cookie that a plain page may have set is taken:", said)
	}
}

// Bytes that are no text are refused in every body, and not replaced.
func TestBytesThatAreNoText(t *testing.T) {
	s := newServer(t, built)
	for path, body := range map[string]string{
		"/api/join":  "{\"code\":\"BCDF-GHJK\",\"device\":\"a\xffb\"}",
		entryURL:     entries(strings.Replace(note, "a note", "a \xc3\x28 note", 1)),
		"/api/games": "{\"id\":\"01JD0000000000000000000009\",\"division\":\"harbour-u14\",\"home\":{\"name\":\"K\xff\"},\"visitors\":{\"name\":\"L\"}}",
	} {
		if answer := do(s, post(path, body)); answer.Code != http.StatusBadRequest || !strings.Contains(answer.Body.String(), "no text (UTF-8)") {
			t.Errorf("%s: %d %s", path, answer.Code, answer.Body)
		}
	}
}
