package web_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"whistlestop/internal/web"
)

const (
	phone    = "192.168.7.31:40000"
	lanHost  = "192.168.7.20:8480"
	gamePath = "/api/games/" + game
)

// fromPhone sends a request as a phone in the rink's Wi-Fi does.
func fromPhone(r *http.Request, token string) *http.Request {
	r = with(r, "from", phone, "Host", lanHost)
	if token != "" {
		r.AddCookie(&http.Cookie{Name: "whistlestop_seat", Value: token})
	}
	return r
}

func answerOf[T any](t testing.TB, answer *httptest.ResponseRecorder, status int) (value T) {
	t.Helper()
	if answer.Code != status {
		t.Fatalf("%d, want %d: %s", answer.Code, status, answer.Body)
	}
	if err := json.Unmarshal(answer.Body.Bytes(), &value); err != nil {
		t.Fatalf("%s: %v", answer.Body, err)
	}
	return value
}

type invited struct {
	ID, Seat, Side, Code, Link, QR, Caution string
}

type asked struct{ Request, Secret, Seat, Side, Game, Check string }

type listed struct {
	Invites  []struct{ ID string }
	Requests []struct{ ID, Device, Seat, Side, Check, From string }
	Sessions []struct {
		ID, Device, Seat, Side string
		Open                   int
	}
}

func invite(t testing.TB, s *web.Server, role string) invited {
	t.Helper()
	return answerOf[invited](t, do(s, post(gamePath+"/invites", role)), http.StatusCreated)
}

// pair makes a device a seat, and returns its token.
func pair(t testing.TB, s *web.Server, role string) string {
	t.Helper()
	offer := invite(t, s, role)
	wish := answerOf[asked](t, do(s, fromPhone(post("/api/join", `{"code":"`+offer.Code+`","device":"Anna's phone"}`), "")), http.StatusAccepted)
	if answer := do(s, post(gamePath+"/seats/approve", `{"request":"`+wish.Request+`"}`)); answer.Code != http.StatusOK {
		t.Fatal(answer.Body)
	}
	answer := do(s, fromPhone(post("/api/join/"+wish.Request, `{"secret":"`+wish.Secret+`"}`), ""))
	if answer.Code != http.StatusOK {
		t.Fatal(answer.Body)
	}
	cookie := answer.Result().Cookies()[0]
	if !cookie.HttpOnly || cookie.SameSite != http.SameSiteStrictMode || cookie.Path != "/" || cookie.Secure {
		t.Errorf("the cookie is %+v", cookie)
	}
	return cookie.Value
}

// P4: nobody becomes a seat but by a person at the bench, who sees the device,
// the seat and the same two digits.
func TestP4_ADeviceBecomesASeatByHand(t *testing.T) {
	s := newServer(t, built)
	offer := invite(t, s, `{"seat":"box","side":"home"}`)
	token := offer.Link[strings.Index(offer.Link, "#")+1:]
	if len(offer.Code) != 9 || len(token) < 22 || !strings.Contains(offer.QR, offer.Link) || offer.Seat != "box" || offer.Side != "home" {
		t.Errorf("%+v", offer)
	}
	wish := answerOf[asked](t, do(s, fromPhone(post("/api/join", `{"token":"`+token+`","device":"Anna's\u202e phone "}`), "")), http.StatusAccepted)
	poll := func() *httptest.ResponseRecorder {
		return do(s, fromPhone(post("/api/join/"+wish.Request, `{"secret":"`+wish.Secret+`"}`), ""))
	}
	list := answerOf[listed](t, do(s, get(gamePath+"/seats")), http.StatusOK)
	if len(list.Invites) != 0 || len(list.Requests) != 1 || list.Requests[0].Device != "Anna's phone" ||
		list.Requests[0].Check != wish.Check || list.Requests[0].From != "192.168.7.31" || len(wish.Check) != 2 {
		t.Errorf("the bench sees %+v of %+v", list, wish)
	}
	answered := make(chan *httptest.ResponseRecorder)
	go func() { answered <- poll() }()
	time.Sleep(20 * time.Millisecond)
	if answer := do(s, post(gamePath+"/seats/approve", `{"request":"`+wish.Request+`","seat":"book"}`)); answer.Code != http.StatusOK {
		t.Fatal(answer.Body)
	}
	answer := <-answered
	paired := answerOf[struct{ Game, Seat, Side, Device string }](t, answer, http.StatusOK)
	if paired.Game != game || paired.Seat != "book" || paired.Side != "" {
		t.Errorf("%+v", paired)
	}
	cookie := answer.Result().Cookies()[0].Value
	me := answerOf[map[string]any](t, do(s, fromPhone(get("/api/session"), cookie)), http.StatusOK)
	if me["seat"] != "book" || me["here"] != false || me["secure"] != false || me["device"] != "Anna's phone" {
		t.Errorf("%+v", me)
	}
	if answer := poll(); answer.Code != http.StatusGone {
		t.Errorf("the token was given out again: %d", answer.Code)
	}
}
