package site_test

import (
	"context"
	"encoding/json"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/descope/virtualwebauthn"

	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/site"
)

// keyed is a hub that browsers reach as localhost, where they can have passkeys.
func keyed(t *testing.T, sender people.Sender) *hub {
	t.Helper()
	h := newHub(t)
	c := h.site.Config
	c.Address, c.Sender = "http://localhost:8490", sender
	h.site = siteOf(t, c)
	h.server.Config.Handler = h.site
	return h
}

// siteOf is a site that ends with the test.
func siteOf(t *testing.T, c site.Config) *site.Site {
	t.Helper()
	s := site.New(c)
	t.Cleanup(func() { s.Close(); s.Wait() })
	return s
}

var party = virtualwebauthn.RelyingParty{Name: "localhost", ID: "localhost", Origin: "http://localhost:8490"}

// script asks as the page's script does.
func (b *browser) script(path string, body any) answer {
	b.t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		b.t.Fatal(err)
	}
	request := b.request("POST", path, string(raw))
	request.Header.Set("Content-Type", "application/json")
	if b.cookie != nil {
		request.AddCookie(b.cookie)
	}
	got := b.do(request)
	for _, c := range got.Cookies() {
		b.cookie = c
	}
	return got
}

// asks is a question about a passkey.
func (b *browser) asks(path string) (ticket, options string) {
	b.t.Helper()
	got := b.script(path, map[string]any{})
	var ask struct {
		Ticket  string
		Options json.RawMessage
	}
	if err := json.Unmarshal([]byte(got.body), &ask); err != nil || got.StatusCode != http.StatusOK {
		b.t.Fatal(got.Status, got.body, err)
	}
	return ask.Ticket, `{"publicKey":` + string(ask.Options) + `}`
}

// The first admin adds a passkey and comes in by it; what was only invited is no admin
// before; another one is asked for.
func TestAnAdminsPasskey(t *testing.T) {
	h := keyed(t, nil)
	in := h.form("/first/"+h.issue(office.First, ""), nil, "name", "Robin Ashdown")
	if in.StatusCode != http.StatusSeeOther || in.Header.Get("Location") != "/me" {
		t.Fatal(in.Status, in.Header)
	}
	admin := &browser{h, in.Cookies()[0]}
	if page := admin.page("/me").body; !strings.Contains(page, `data-passkey="add"`) || !strings.Contains(page, "asked to have two passkeys") {
		t.Error(page)
	}
	before := admin.cookie.Value
	ticket, options := admin.asks("/passkey/add/begin")
	asked, err := virtualwebauthn.ParseAttestationOptions(options)
	if err != nil {
		t.Fatal(err)
	}
	device := virtualwebauthn.NewAuthenticatorWithOptions(virtualwebauthn.AuthenticatorOptions{UserHandle: []byte(asked.UserID)})
	phone := wholeKey()
	answered := json.RawMessage(virtualwebauthn.CreateAttestationResponse(party, device, phone, *asked))
	got := admin.script("/passkey/add", map[string]any{"ticket": ticket, "label": "Phone", "answer": answered})
	if got.StatusCode != http.StatusOK || !strings.Contains(got.body, `"next":"/me"`) || admin.cookie.Value == before {
		t.Fatal(got.Status, got.body)
	}
	if page := admin.page("/me").body; !strings.Contains(page, "Phone") || !strings.Contains(page, "asked to have two passkeys") {
		t.Error(page)
	}

	again := &browser{h, nil}
	ticket, options = again.asks("/passkey/show/begin")
	shown, err := virtualwebauthn.ParseAssertionOptions(options)
	if err != nil {
		t.Fatal(err)
	}
	answered = json.RawMessage(virtualwebauthn.CreateAssertionResponse(party, device, phone, *shown))
	body := map[string]any{"ticket": ticket, "answer": answered}
	if got = again.script("/passkey/show", body); got.StatusCode != http.StatusOK || !strings.Contains(got.body, `"next":"/admin"`) {
		t.Fatal(got.Status, got.body)
	}
	if page := again.page("/admin"); page.StatusCode != http.StatusOK || !strings.Contains(page.body, "Robin Ashdown") {
		t.Error(page.Status)
	}
	(&browser{h, nil}).script("/passkey/show", body).no(t, http.StatusGone, "missing")

	link := shownLink.FindStringSubmatch(strings.ReplaceAll(again.post("/people/invite", "role", "admin").body, "http://localhost:8490", "http://hub.example"))
	if link == nil {
		t.Fatal("no link")
	}
	in = h.form(link[1], nil, "name", "Alex Marlowe")
	held := &browser{h, in.Cookies()[0]}
	if page := held.page("/people"); page.StatusCode != http.StatusForbidden || !strings.Contains(page.body, "as soon as this device has a passkey") {
		t.Error(page.Status, page.body)
	}
	if page := held.page("/admin").body; strings.Contains(page, "/admin/bench") {
		t.Error("an invited admin runs the hub without a passkey")
	}
	held.script("/passkey/show", map[string]any{"ticket": "x", "answer": json.RawMessage("{}")}).no(t, http.StatusGone, "missing")
	(&browser{h, nil}).script("/passkey/show", "nonsense").no(t, http.StatusBadRequest, "refused")
}

// Where the address has no name, or is plain http, no passkey is offered.
func TestWhereNoPasskeysAre(t *testing.T) {
	for address, want := range map[string]bool{
		"http://hub.example": false, "http://192.168.1.7:8490": false, "https://192.168.1.7": false, "https://[::1]": false,
		"https://hub.example": true, "http://localhost:8490": true, "http://127.0.0.1:8490": false,
	} {
		h := newHub(t)
		c := h.site.Config
		c.Address = address
		s := site.New(c)
		h.server.Config.Handler = s
		if got := strings.Contains(h.get("/sign-in").body, "data-passkey"); got != want {
			t.Errorf("%s: %v", address, got)
		}
		got := (&browser{h, nil}).script("/passkey/show/begin", map[string]any{})
		if (got.StatusCode == http.StatusOK) != want {
			t.Errorf("%s: %s", address, got.Status)
		}
		s.Close()
	}
}

// letters is a post office that keeps what it is given.
type letters struct{ came chan people.SignInMail }

func (l *letters) SignIn(_ context.Context, m people.SignInMail) error {
	l.came <- m
	return nil
}

var linkIn = regexp.MustCompile(`http://localhost:8490(/in/\S+)`)

// Whoever asks for a link hears the same, whether there is somebody of that address or
// not; the link is shown before it is used, and signs in once.
func TestALinkByMail(t *testing.T) {
	post := &letters{came: make(chan people.SignInMail, 8)}
	h := keyed(t, post)
	helper := h.cookieOf(h.people, people.Membership{Role: people.Volunteer})
	if got := (&browser{h, helper}).post("/me/correct", "name", "Alex Marlowe", "address", "Alex@club.example"); got.StatusCode != http.StatusSeeOther {
		t.Fatal(got.Status, got.body)
	}
	unknown := h.form("/sign-in", nil, "address", "nobody@club.example")
	known := h.form("/sign-in", nil, "address", "alex@club.example ")
	if unknown.StatusCode != http.StatusOK || unknown.body != known.body || known.StatusCode != http.StatusOK {
		t.Errorf("%s %s\n%s", unknown.Status, unknown.body, known.body)
	}
	h.site.Wait()
	if len(post.came) != 1 {
		t.Fatalf("%d letters went out", len(post.came))
	}
	m := <-post.came
	if m.Address != "alex@club.example" || m.Name != "Alex Marlowe" || m.AssociationName != "Harbour League" || m.Language != "en" || m.Ends != h.clock()+15*60_000 {
		t.Errorf("%+v", m)
	}
	path := linkIn.FindStringSubmatch(m.Link)
	if path == nil {
		t.Fatal(m.Link)
	}
	for range 3 { // programs look at links before people do
		if got := h.get(path[1]); got.StatusCode != http.StatusOK {
			t.Fatal(got.Status)
		}
	}
	in := h.form(path[1], nil)
	if in.StatusCode != http.StatusSeeOther || len(in.Cookies()) != 1 {
		t.Fatal(in.Status, in.body)
	}
	if got := (&browser{h, in.Cookies()[0]}).page("/me"); !strings.Contains(got.body, "Alex Marlowe") {
		t.Error(got.body)
	}
	for _, got := range []answer{h.get(path[1]), h.form(path[1], nil)} {
		if got.StatusCode != http.StatusGone {
			t.Error(got.Status)
		}
	}
	// So often for one address, known or not, whoever asks.
	for _, address := range []string{"nobody@club.example", "alex@club.example"} {
		refused := 0
		for range 6 {
			h.later(60_000)
			if got := h.form("/sign-in", nil, "address", address); got.StatusCode == http.StatusTooManyRequests {
				refused++
			}
		}
		if refused == 0 {
			t.Errorf("%s: no end", address)
		}
	}
}

// Where no mail goes out, whoever invited somebody makes them a link.
func TestALinkIsHandedOverOnAPage(t *testing.T) {
	h := newHub(t)
	admin := h.signIn()
	h.cookieOf(h.people, people.Membership{Role: people.Volunteer})
	if got := h.form("/sign-in", nil, "address", "alex@club.example"); got.StatusCode != http.StatusNotFound || !strings.Contains(got.body, "sends no mail") {
		t.Error(got.Status, got.body)
	}
	page := admin.page("/people").body
	_, rest, found := strings.Cut(page, `action="/people/link"`)
	id := idInForm.FindStringSubmatch(rest)
	if !found || id == nil || strings.Count(page, `action="/people/link"`) != 1 {
		t.Fatal(page)
	}
	link := shownLink.FindStringSubmatch(admin.post("/people/link", "id", id[1]).body)
	if link == nil || !strings.HasPrefix(link[1], "/in/harbour.") {
		t.Fatal(link)
	}
	in := h.form(link[1], nil)
	if in.StatusCode != http.StatusSeeOther || len(in.Cookies()) != 1 {
		t.Fatal(in.Status, in.body)
	}
}

// wholeKey is a new passkey of a virtual device. The library leaves out a zero with which a coordinate of
// its key begins, one key in 128; a real device does not (RFC 8152, section 13.1.1), so another key is made then.
func wholeKey() virtualwebauthn.Credential {
	const whole = 77 // bytes of a key with both coordinates, as CBOR
	for {
		if one := virtualwebauthn.NewCredential(virtualwebauthn.KeyTypeEC2); len(one.Key.AttestationData()) == whole {
			return one
		}
	}
}
