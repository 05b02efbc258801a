package site_test

import (
	"encoding/json"
	"errors"
	"html"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/golang-jwt/jwt/v5"
	"github.com/oauth2-proxy/mockoidc"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/oidc"
	"whistlestop/internal/hub/people"
)

// service is another service that signs people in, and lies if it is told to.
type service struct {
	*mockoidc.MockOIDC
	mutex sync.Mutex
	lie   func(claims jwt.MapClaims)
}

func newService(t *testing.T, h *hub) *service {
	t.Helper()
	s := &service{}
	mock, err := mockoidc.NewServer(nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := mock.AddMiddleware(s.lying); err != nil {
		t.Fatal(err)
	}
	s.MockOIDC = mock
	listener := httptest.NewUnstartedServer(nil).Listener
	if err := mock.Start(listener, nil); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := mock.Shutdown(); err != nil {
			t.Error(err)
		}
	})
	settings, err := oidc.Read([]byte("name = \"Club login\"\nissuer = \""+mock.Issuer()+"\"\nclient = \""+mock.ClientID+"\"\n"), "oidc.toml")
	if err != nil {
		t.Fatal(err)
	}
	settings.Secret = mock.ClientSecret
	h.at.Store(time.Now().UnixMilli()) // by which the service's answers end
	h.site.Other = oidc.New(settings, "http://hub.example/other/back", nil, func() time.Time { return time.UnixMilli(int64(h.clock())) })
	return s
}

// lying changes what a token says, and signs it as the service does.
func (s *service) lying(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.mutex.Lock()
		lie := s.lie
		s.mutex.Unlock()
		if r.URL.Path != mockoidc.TokenEndpoint || lie == nil {
			next.ServeHTTP(w, r)
			return
		}
		kept := httptest.NewRecorder()
		next.ServeHTTP(kept, r)
		var answer map[string]any
		if json.Unmarshal(kept.Body.Bytes(), &answer) != nil || answer["id_token"] == nil {
			w.WriteHeader(kept.Code)
			return
		}
		claims := jwt.MapClaims{}
		if _, _, err := jwt.NewParser().ParseUnverified(answer["id_token"].(string), claims); err != nil {
			panic(err)
		}
		lie(claims)
		token, err := s.Keypair.SignJWT(claims)
		if err != nil {
			panic(err)
		}
		answer["id_token"] = token
		w.Header().Set("Content-Type", "application/json")
		if err := json.NewEncoder(w).Encode(answer); err != nil {
			panic(err)
		}
	})
}

func (s *service) lies(lie func(jwt.MapClaims)) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.lie = lie
}

var goesTo = regexp.MustCompile(`class="button" href="([^"]+)"`)

// trip is a browser that was sent to the other service.
type trip struct {
	*hub
	at      string // of the service
	cookies []*http.Cookie
}

// leave sends a form that leads there.
func (h *hub) leave(path string, cookie *http.Cookie, pairs ...string) trip {
	h.t.Helper()
	h.later(30_000)
	page := h.form(path, cookie, pairs...)
	to := goesTo.FindStringSubmatch(page.body)
	if to == nil {
		h.t.Fatal(page.Status, page.body)
	}
	out := trip{hub: h, at: html.UnescapeString(to[1]), cookies: page.Cookies()}
	if cookie != nil {
		out.cookies = append(out.cookies, cookie)
	}
	return out
}

// there lets the service say who it is, and returns the way back.
func (t trip) there(s *service, subject string) string {
	t.t.Helper()
	s.QueueUser(&mockoidc.MockUser{Subject: subject})
	got := t.do(t.outside(t.at))
	back := got.Header.Get("Location")
	if got.StatusCode != http.StatusFound || !strings.HasPrefix(back, "http://hub.example/other/back?") {
		t.t.Fatal(got.Status, got.body)
	}
	return strings.TrimPrefix(back, "http://hub.example")
}

func (h *hub) outside(address string) *http.Request {
	h.t.Helper()
	request, err := http.NewRequestWithContext(h.t.Context(), http.MethodGet, address, nil)
	if err != nil {
		h.t.Fatal(err)
	}
	return request
}

func (t trip) back(path string) answer {
	t.t.Helper()
	t.later(30_000)
	request := t.request("GET", path, "")
	for _, cookie := range t.cookies {
		request.AddCookie(cookie)
	}
	return t.do(request)
}

func (a answer) session() *http.Cookie {
	for _, cookie := range a.Cookies() {
		if cookie.Name == "whistlestop_hub" && cookie.MaxAge > 0 {
			return cookie
		}
	}
	return nil
}

// Somebody links themself while signed in, and comes in by the other service from then
// on; whoever is linked with nobody does not, and the link ends with a press.
func TestAnotherServiceSignsIn(t *testing.T) {
	h := newHub(t)
	s := newService(t, h)
	stranger := h.leave("/other", nil)
	if got := stranger.back(stranger.there(s, "alex-7")); got.StatusCode != http.StatusForbidden || got.session() != nil || !strings.Contains(got.body, "needs an invitation") {
		t.Fatal(got.Status, got.body)
	}
	cookie := h.cookieOf(h.people, people.Membership{Role: people.Volunteer})
	out := h.leave("/me/other", cookie)
	at, err := url.Parse(out.at)
	if err != nil || at.Query().Get("code_challenge_method") != "S256" || at.Query().Get("scope") != "openid" || at.Query().Get("nonce") == "" {
		t.Fatal(out.at, err)
	}
	if got := out.back(out.there(s, "alex-7")); got.StatusCode != http.StatusSeeOther {
		t.Fatal(got.Status, got.body)
	}
	b := &browser{h, cookie}
	if me := b.page("/me"); !strings.Contains(me.body, "Linked with http://127.0.0.1") {
		t.Error(me.body)
	}
	in := h.leave("/other", nil)
	got := in.back(in.there(s, "alex-7"))
	if got.StatusCode != http.StatusSeeOther || got.session() == nil {
		t.Fatal(got.Status, got.body)
	}
	if page := (&browser{h, got.session()}).page("/me"); !strings.Contains(page.body, "Alex Marlowe") || !strings.Contains(page.body, "By another service.") {
		t.Error(page.body)
	}
	// Another person cannot take that account, nor does it open another association.
	other := h.leave("/me/other", h.cookieOf(h.people, people.Membership{Role: people.Referee}))
	if got := other.back(other.there(s, "alex-7")); got.StatusCode != http.StatusUnprocessableEntity {
		t.Error(got.Status, got.body)
	}
	desk, _ := h.second()
	if _, err := desk.EnterByOther(t.Context(), people.Caller{}, s.Issuer(), "alex-7", true, ""); !errors.Is(err, people.ErrGone) {
		t.Errorf("another association: %v", err)
	}
	if got := b.post("/me/other/end", "issuer", s.Issuer()); got.StatusCode != http.StatusSeeOther {
		t.Error(got.Status, got.body)
	}
	in = h.leave("/other", nil)
	if got := in.back(in.there(s, "alex-7")); got.StatusCode != http.StatusForbidden || got.session() != nil {
		t.Error(got.Status, got.body)
	}
}

// An invitation leads to the other service, an admin is not let in without a passkey, and
// who is deleted is linked no longer.
func TestAnInvitationLinksWithAnotherService(t *testing.T) {
	h := newHub(t)
	s := newService(t, h)
	admin := h.signIn()
	for _, role := range []string{"coordinator", "admin"} {
		h.later(60_000)
		page := admin.post("/people/invite", "role", role)
		link := shownLink.FindStringSubmatch(page.body)
		if link == nil {
			t.Fatal(page.Status, page.body)
		}
		out := h.leave(link[1], nil, "name", "Kim Sorley", "with", "other")
		if got := out.back(out.there(s, "kim-"+role)); got.StatusCode != http.StatusSeeOther {
			t.Fatal(got.Status, got.body)
		}
		in := h.leave("/other", nil)
		got := in.back(in.there(s, "kim-"+role))
		if entered := got.session() != nil; entered != (role == "coordinator") {
			t.Errorf("%s: %s %s", role, got.Status, got.body)
		}
		if role == "coordinator" {
			if got := (&browser{h, got.session()}).post("/me/forget"); got.StatusCode != http.StatusOK {
				t.Fatal(got.Status, got.body)
			}
			in := h.leave("/other", nil)
			if got := in.back(in.there(s, "kim-"+role)); got.session() != nil {
				t.Error("who was deleted comes in")
			}
		}
	}
}

// What is not good for exactly this sign-in opens nothing.
func TestAnotherServicesAnswersThatAreNotGood(t *testing.T) {
	h := newHub(t)
	s := newService(t, h)
	out := h.leave("/me/other", h.cookieOf(h.people, people.Membership{Role: people.Volunteer}))
	if got := out.back(out.there(s, "alex-7")); got.StatusCode != http.StatusSeeOther {
		t.Fatal(got.Status, got.body)
	}
	for name, lie := range map[string]func(jwt.MapClaims){
		"another nonce":      func(c jwt.MapClaims) { c["nonce"] = "x" },
		"no nonce":           func(c jwt.MapClaims) { delete(c, "nonce") },
		"for somebody else":  func(c jwt.MapClaims) { c["aud"] = "another-client" },
		"of another issuer":  func(c jwt.MapClaims) { c["iss"] = "https://evil.example" },
		"ended":              func(c jwt.MapClaims) { c["exp"] = time.Now().Add(-time.Hour).Unix() },
		"of nobody":          func(c jwt.MapClaims) { c["sub"] = "" },
		"of a very long one": func(c jwt.MapClaims) { c["sub"] = strings.Repeat("x", 300) },
	} {
		s.lies(lie)
		in := h.leave("/other", nil)
		if got := in.back(in.there(s, "alex-7")); got.StatusCode != http.StatusForbidden || got.session() != nil {
			t.Errorf("%s: %s %s", name, got.Status, got.body)
		}
		s.lies(nil)
	}
	ways := map[string]func(in trip, back string) answer{
		"another state": func(in trip, back string) answer {
			return in.back(strings.Replace(back, "state=", "state=x", 1))
		},
		"another browser": func(in trip, back string) answer { in.cookies = nil; return in.back(back) },
		"no code": func(in trip, back string) answer {
			return in.back(back[:strings.Index(back, "?")] + "?state=" + stateOf(back))
		},
		"the same twice": func(in trip, back string) answer {
			if got := in.back(back); got.session() == nil {
				t.Error("the first time:", got.Status, got.body)
			}
			return in.back(back)
		},
		"a code that was used": func(in trip, back string) answer {
			if got := in.back(back); got.session() == nil {
				t.Error("the first time:", got.Status, got.body)
			}
			again := h.leave("/other", nil)
			next := again.there(s, "alex-7")
			return again.back("/other/back?state=" + stateOf(next) + "&code=" + codeOf(back))
		},
		"too late": func(in trip, back string) answer {
			h.later(people.OtherLasts)
			return in.back(back)
		},
	}
	for name, way := range ways {
		h.at.Store(time.Now().UnixMilli())
		in := h.leave("/other", nil)
		if got := way(in, in.there(s, "alex-7")); got.StatusCode < 400 || got.session() != nil {
			t.Errorf("%s: %s %s", name, got.Status, got.body)
		}
	}
}

func partOf(back, name string) string {
	at, err := url.Parse(back)
	if err != nil {
		return ""
	}
	return url.QueryEscape(at.Query().Get(name))
}

func stateOf(back string) string { return partOf(back, "state") }
func codeOf(back string) string  { return partOf(back, "code") }

// A service that is away keeps nobody out who has another way in.
func TestAnotherServiceIsAway(t *testing.T) {
	h := newHub(t)
	settings, err := oidc.Read([]byte("name = \"Club login\"\nissuer = \"http://127.0.0.1:1\"\nclient = \"x\"\n"), "oidc.toml")
	if err != nil {
		t.Fatal(err)
	}
	h.site.Other = oidc.New(settings, "http://hub.example/other/back", nil, time.Now)
	if got := h.form("/other", nil); got.StatusCode != http.StatusServiceUnavailable || !strings.Contains(got.body, "cannot be reached") {
		t.Error(got.Status, got.body)
	}
	h.later(entry.Millis(60_000))
	h.signIn()
}

// A hub that knows no other service says so, and settings that cannot be are refused.
func TestNoOtherService(t *testing.T) {
	h := newHub(t)
	if got := h.form("/other", nil); got.StatusCode != http.StatusNotFound {
		t.Error(got.Status)
	}
	for _, text := range []string{
		"", "name = \"x\"\nclient = \"x\"\nissuer = \"http://id.example\"\n", "name = \"x\"\nclient = \"x\"\nissuer = \"https://id.example/?a\"\n",
		"name = \"\"\nclient = \"x\"\nissuer = \"https://id.example\"\n", "name = \"x\"\nclient = \"x\"\nissuer = \"https://me@id.example\"\n", "secret = \"x\"\n",
	} {
		if _, err := oidc.Read([]byte(text), "oidc.toml"); err == nil {
			t.Errorf("%q is taken", text)
		}
	}
	if _, err := oidc.Read([]byte("name = \"x\"\nclient = \"x\"\nissuer = \"https://id.example/realm\"\n"), "oidc.toml"); err != nil {
		t.Error(err)
	}
}
