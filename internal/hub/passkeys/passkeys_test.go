package passkeys_test

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/descope/virtualwebauthn"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/passkeys"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/sqlite"
)

var party = virtualwebauthn.RelyingParty{Name: "hub.example", ID: "hub.example", Origin: "https://hub.example"}

// club is an association, with devices that have passkeys.
type club struct {
	t     *testing.T
	desk  *people.Desk
	keys  *passkeys.Keys
	store *sqlite.Store
	now   entry.Millis
}

func newClub(t *testing.T) *club {
	t.Helper()
	store, err := sqlite.Open(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := store.Close(); err != nil {
			t.Error(err)
		}
	})
	c := &club{t: t, store: store, now: 1_700_000_000_000}
	c.desk, c.keys = c.of("harbour")
	return c
}

func (c *club) of(id string) (*people.Desk, *passkeys.Keys) {
	c.t.Helper()
	a := office.Association{ID: id, Name: id, Made: 1}
	if err := c.store.Found(c.t.Context(), a, ledgers.Note{At: 1, Who: "test", What: "founded"}); err != nil {
		c.t.Fatal(err)
	}
	desk := people.New(c.store, id, func() entry.Millis { return c.now }, rand.Reader)
	keys, err := passkeys.New("hub.example", "https://hub.example", desk)
	if err != nil {
		c.t.Fatal(err)
	}
	return desk, keys
}

func (c *club) caller(secret string) people.Caller {
	c.t.Helper()
	caller, err := c.desk.Known(c.t.Context(), secret, "", true)
	if err != nil {
		c.t.Fatal(err)
	}
	return caller
}

func (c *club) first() people.Caller {
	c.t.Helper()
	secret, err := c.desk.First(c.t.Context(), "Robin Ashdown", "")
	if err != nil {
		c.t.Fatal(err)
	}
	return c.caller(secret)
}

// device is a phone with a passkey.
type device struct {
	virtualwebauthn.Authenticator
	virtualwebauthn.Credential
}

func options(t *testing.T, ask passkeys.Ask) string {
	t.Helper()
	raw, err := json.Marshal(map[string]any{"publicKey": ask.Options})
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
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

// made is a device and its answer to a question for a new passkey.
func made(t *testing.T, ask passkeys.Ask, of virtualwebauthn.RelyingParty) (*device, []byte) {
	t.Helper()
	asked, err := virtualwebauthn.ParseAttestationOptions(options(t, ask))
	if err != nil {
		t.Fatal(err)
	}
	d := &device{Credential: wholeKey()}
	d.Authenticator = virtualwebauthn.NewAuthenticatorWithOptions(virtualwebauthn.AuthenticatorOptions{UserHandle: []byte(asked.UserID)})
	return d, []byte(virtualwebauthn.CreateAttestationResponse(of, d.Authenticator, d.Credential, *asked))
}

// shows is a device's answer to a question for a passkey.
func (d *device) shows(t *testing.T, ask passkeys.Ask, of virtualwebauthn.RelyingParty) []byte {
	t.Helper()
	asked, err := virtualwebauthn.ParseAssertionOptions(options(t, ask))
	if err != nil {
		t.Fatal(err)
	}
	return []byte(virtualwebauthn.CreateAssertionResponse(of, d.Authenticator, d.Credential, *asked))
}

// add has a caller add a passkey and returns them as they are signed in then.
func (c *club) add(by people.Caller) (*device, people.Caller) {
	c.t.Helper()
	ask, err := c.keys.Add(c.t.Context(), by, "Harbour League")
	if err != nil {
		c.t.Fatal(err)
	}
	d, answer := made(c.t, ask, party)
	secret, err := c.keys.Added(c.t.Context(), by, ask.Ticket, "Phone", answer)
	if err != nil {
		c.t.Fatal(err)
	}
	return d, c.caller(secret)
}

func is(t *testing.T, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Errorf("%v, want %v", err, want)
	}
}

func TestAPasskeyIsAddedAndShown(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	first := c.first()
	phone, first := c.add(first)
	if first.How != people.ByPasskey || !first.Is(people.Admin) {
		t.Errorf("%+v", first)
	}
	list, err := c.desk.Keys(ctx, first.Person)
	if err != nil || len(list) != 1 || list[0].Label != "Phone" || len(list[0].Handle) != 64 {
		t.Fatalf("%+v %v", list, err)
	}
	for _, secret := range []string{"Robin", "robin", first.Person} {
		if strings.Contains(string(list[0].Handle), secret) {
			t.Error("the handle tells who it is")
		}
	}
	// Signed in with it from nothing.
	ask, err := c.keys.Show(ctx)
	is(t, err, nil)
	answer := phone.shows(t, ask, party)
	secret, err := c.keys.Shown(ctx, people.Caller{}, ask.Ticket, answer, "")
	if err != nil {
		t.Fatal(err)
	}
	if in := c.caller(secret); in.Person != first.Person || in.Session == first.Session || !in.Fresh || in.How != people.ByPasskey {
		t.Errorf("%+v", in)
	}
	// The same answer again opens nothing: not with its question, not with another one.
	_, err = c.keys.Shown(ctx, people.Caller{}, ask.Ticket, answer, "")
	is(t, err, people.ErrGone)
	next, err := c.keys.Show(ctx)
	is(t, err, nil)
	_, err = c.keys.Shown(ctx, people.Caller{}, next.Ticket, answer, "")
	is(t, err, passkeys.ErrNot)
	// Whoever is signed in already goes on with the session, which is fresh again and
	// has another secret.
	c.now += 20 * 60_000
	ask, err = c.keys.Show(ctx)
	is(t, err, nil)
	again, err := c.keys.Shown(ctx, c.caller(secret), ask.Ticket, phone.shows(t, ask, party), "")
	is(t, err, nil)
	if in := c.caller(again); !in.Fresh || in.Person != first.Person {
		t.Errorf("%+v", in)
	}
	_, err = c.desk.Known(ctx, secret, "", true)
	is(t, err, people.ErrGone)
}

func TestOtherPasskeysAreRefused(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	phone, first := c.add(c.first())
	show := func(of virtualwebauthn.RelyingParty, d *device) error {
		t.Helper()
		ask, err := c.keys.Show(ctx)
		is(t, err, nil)
		_, err = c.keys.Shown(ctx, people.Caller{}, ask.Ticket, d.shows(t, ask, of), "")
		return err
	}
	elsewhere := party
	elsewhere.Origin = "https://hub.example.evil.example"
	is(t, show(elsewhere, phone), passkeys.ErrNot)
	elsewhere = party
	elsewhere.ID = "evil.example"
	is(t, show(elsewhere, phone), passkeys.ErrNot)
	unverified := *phone
	unverified.Options.UserNotVerified = true
	is(t, show(party, &unverified), passkeys.ErrNot)
	other := *phone
	other.Options.UserHandle = []byte("somebody else")
	is(t, show(party, &other), passkeys.ErrNot)
	stranger := &device{virtualwebauthn.NewAuthenticatorWithOptions(phone.Options), wholeKey()}
	is(t, show(party, stranger), passkeys.ErrNot)
	is(t, show(party, phone), nil)
	ask, err := c.keys.Show(ctx)
	is(t, err, nil)
	for _, bad := range []string{"", "{}", "null", `{"id":"x"}`} {
		_, err := c.keys.Shown(ctx, people.Caller{}, ask.Ticket, []byte(bad), "")
		if err == nil {
			t.Errorf("%q", bad)
		}
	}
	// Another association knows nothing of it, and takes no ticket from here.
	_, theirs := c.of("elsewhere")
	ask, err = theirs.Show(ctx)
	is(t, err, nil)
	_, err = theirs.Shown(ctx, people.Caller{}, ask.Ticket, phone.shows(t, ask, party), "")
	is(t, err, passkeys.ErrNot)
	ask, err = c.keys.Show(ctx)
	is(t, err, nil)
	_, err = theirs.Shown(ctx, people.Caller{}, ask.Ticket, phone.shows(t, ask, party), "")
	is(t, err, people.ErrGone)
	// A question is answered within five minutes.
	ask, err = c.keys.Show(ctx)
	is(t, err, nil)
	c.now += 5 * 60_000
	_, err = c.keys.Shown(ctx, people.Caller{}, ask.Ticket, phone.shows(t, ask, party), "")
	is(t, err, people.ErrGone)
	// Somebody else's question for a new one is not answered for them.
	secret, err := c.desk.First(ctx, "Sage Thornley", "")
	is(t, err, nil)
	ask, err = c.keys.Add(ctx, c.caller(secret), "")
	is(t, err, nil)
	_, answer := made(t, ask, party)
	_, err = c.keys.Added(ctx, first, ask.Ticket, "Phone", answer)
	is(t, err, people.ErrGone)
}

// Who has a passkey adds another only by it: an open browser is not enough. An admin
// keeps one.
func TestTheSecondPasskey(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	first := c.first()
	invitation, _, err := c.desk.Invite(ctx, first, people.Membership{Role: people.Admin})
	is(t, err, nil)
	secret, err := c.desk.Accept(ctx, invitation, people.Caller{}, "Alex Marlowe", "", "")
	is(t, err, nil)
	invited := c.caller(secret)
	if invited.Is(people.Admin) || len(invited.Held) != 1 {
		t.Fatalf("%+v", invited)
	}
	phone, invited := c.add(invited)
	if !invited.Is(people.Admin) {
		t.Fatalf("%+v", invited)
	}
	old := invited
	old.How = people.ByInvite
	_, err = c.keys.Add(ctx, old, "")
	is(t, err, people.ErrStale)
	c.now += 1000
	_, invited = c.add(invited)
	list, err := c.desk.Keys(ctx, invited.Person)
	if err != nil || len(list) != 2 || string(list[0].Handle) != string(list[1].Handle) {
		t.Fatalf("%+v %v", list, err)
	}
	c.now += 16 * 60_000
	is(t, c.desk.EndKey(ctx, c.stale(invited), list[0].ID), people.ErrStale)
	is(t, c.desk.EndKey(ctx, invited, "none"), people.ErrGone)
	is(t, c.desk.EndKey(ctx, invited, list[0].ID), nil)
	is(t, c.desk.EndKey(ctx, invited, list[1].ID), people.ErrLastKey)
	ask, err := c.keys.Show(ctx)
	is(t, err, nil)
	_, err = c.keys.Shown(ctx, people.Caller{}, ask.Ticket, phone.shows(t, ask, party), "")
	is(t, err, passkeys.ErrNot)
}

func (c *club) stale(of people.Caller) people.Caller { of.Fresh = false; return of }

// Whatever a browser may send is taken as a passkey or refused, and nothing else.
func FuzzAnswer(f *testing.F) {
	f.Add([]byte(`{"id":"AA","rawId":"AA","type":"public-key","response":{"clientDataJSON":"e30","authenticatorData":"AA","signature":"AA","userHandle":"AA"}}`))
	f.Add([]byte(`{"id":"AA","rawId":"AA","type":"public-key","response":{"clientDataJSON":"e30","attestationObject":"oA"}}`))
	store, err := sqlite.Open(f.Context(), f.TempDir())
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() {
		if err := store.Close(); err != nil {
			f.Error(err)
		}
	})
	if err := store.Found(f.Context(), office.Association{ID: "harbour", Made: 1}, ledgers.Note{At: 1, What: "founded"}); err != nil {
		f.Fatal(err)
	}
	desk := people.New(store, "harbour", func() entry.Millis { return 1000 }, rand.Reader)
	keys, err := passkeys.New("hub.example", "https://hub.example", desk)
	if err != nil {
		f.Fatal(err)
	}
	secret, err := desk.First(f.Context(), "Robin Ashdown", "")
	if err != nil {
		f.Fatal(err)
	}
	first, err := desk.Known(f.Context(), secret, "", true)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, answer []byte) {
		ask, err := keys.Show(t.Context())
		is(t, err, nil)
		if _, err := keys.Shown(t.Context(), people.Caller{}, ask.Ticket, answer, ""); !errors.Is(err, passkeys.ErrNot) {
			t.Fatal(err)
		}
		ask, err = keys.Add(t.Context(), first, "")
		is(t, err, nil)
		if _, err := keys.Added(t.Context(), first, ask.Ticket, "Phone", answer); !errors.Is(err, passkeys.ErrNot) {
			t.Fatal(err)
		}
	})
}
