package passkeys

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"time"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/people"
)

// ErrNot says that a browser's answer is not the passkey that it should be.
var ErrNot = errors.New("not the passkey")

// lasts is how long somebody may take to show a passkey (ours).
const lasts = entry.Millis(5 * time.Minute / time.Millisecond)

// Keys asks browsers of one association's people. It is safe for use by many goroutines.
type Keys struct {
	web  *webauthn.WebAuthn
	desk *people.Desk
}

// New returns the passkeys of a domain. origin is the address by which browsers reach
// the hub, with its port where that is not the usual one.
func New(domain, origin string, desk *people.Desk) (*Keys, error) {
	web, err := webauthn.New(&webauthn.Config{
		RPID: domain, RPDisplayName: domain, RPOrigins: []string{origin}, AttestationPreference: protocol.PreferNoAttestation,
		AuthenticatorSelection: protocol.AuthenticatorSelection{
			ResidentKey: protocol.ResidentKeyRequirementRequired, RequireResidentKey: protocol.ResidentKeyRequired(),
			UserVerification: protocol.VerificationRequired,
		},
	})
	return &Keys{web, desk}, err
}

// user is a person as the library asks for one.
type user struct {
	handle      []byte
	name, shown string
	keys        []webauthn.Credential
}

func (u *user) WebAuthnID() []byte                         { return u.handle }
func (u *user) WebAuthnName() string                       { return u.name }
func (u *user) WebAuthnDisplayName() string                { return u.shown }
func (u *user) WebAuthnCredentials() []webauthn.Credential { return u.keys }

// userOf is somebody with their passkeys.
func userOf(name, association string, handle []byte, keys []people.Key) (*user, error) {
	u := &user{handle: handle, name: name, shown: name}
	if association != "" {
		u.name = name + ", " + association // who has passkeys of two associations tells them apart
	}
	for _, k := range keys {
		var one webauthn.Credential
		if err := json.Unmarshal(k.Data, &one); err != nil {
			return nil, err
		}
		u.keys = append(u.keys, one)
	}
	return u, nil
}

// Ask is what a browser is asked.
type Ask struct {
	Ticket  string `json:"ticket"`
	Options any    `json:"options"`
}

func (k *Keys) ask(ctx context.Context, kind people.TicketKind, person string, handle []byte, options any, session *webauthn.SessionData) (Ask, error) {
	session.UserID = handle
	data, err := json.Marshal(session)
	if err != nil {
		return Ask{}, err
	}
	ticket, err := k.desk.Issue(ctx, kind, person, data, lasts)
	return Ask{ticket, options}, err
}

// session is the question of a ticket, which is used up.
func (k *Keys) session(ctx context.Context, kind people.TicketKind, ticket string) (s webauthn.SessionData, person string, err error) {
	t, err := k.desk.Take(ctx, kind, ticket)
	if err == nil {
		err = json.Unmarshal(t.Data, &s)
	}
	return s, t.Person, err
}

// Add asks a caller's browser for a new passkey. It returns people.ErrStale.
func (k *Keys) Add(ctx context.Context, c people.Caller, association string) (Ask, error) {
	keys, handle, err := k.desk.MayAddKey(ctx, c)
	if err != nil {
		return Ask{}, err
	}
	u, err := userOf(c.Name, association, handle, keys)
	if err != nil {
		return Ask{}, err
	}
	known := make([]protocol.CredentialDescriptor, 0, len(u.keys))
	for _, one := range u.keys {
		known = append(known, one.Descriptor())
	}
	options, session, err := k.web.BeginRegistration(u, webauthn.WithExclusions(known))
	if err != nil {
		return Ask{}, err
	}
	return k.ask(ctx, people.AddingKey, c.Person, handle, options.Response, session)
}

// Added keeps the passkey with which a browser answers. The caller is signed in by it
// from then on, with another secret. It returns ErrNot, people.ErrGone, people.ErrStale,
// people.ErrBad (the label) and people.ErrTaken.
func (k *Keys) Added(ctx context.Context, c people.Caller, ticket, label string, answer []byte) (secret string, err error) {
	session, person, err := k.session(ctx, people.AddingKey, ticket)
	if err != nil {
		return "", err
	}
	if person != c.Person {
		return "", people.ErrGone
	}
	parsed, err := protocol.ParseCredentialCreationResponseBytes(answer)
	if err != nil {
		return "", errors.Join(ErrNot, err)
	}
	made, err := k.web.CreateCredential(&user{handle: session.UserID, name: c.Name, shown: c.Name}, session, parsed)
	if err != nil {
		return "", errors.Join(ErrNot, err)
	}
	data, err := json.Marshal(made)
	if err != nil {
		return "", err
	}
	return k.desk.AddKey(ctx, c, people.Key{ID: name(made.ID), Handle: session.UserID, Label: label, Data: data})
}

// name is how a passkey is called in the database.
func name(id []byte) string { return base64.RawURLEncoding.EncodeToString(id) }

// Show asks a browser for any passkey of the domain.
func (k *Keys) Show(ctx context.Context) (Ask, error) {
	options, session, err := k.web.BeginDiscoverableLogin(webauthn.WithUserVerification(protocol.VerificationRequired))
	if err != nil {
		return Ask{}, err
	}
	return k.ask(ctx, people.ShowingKey, "", nil, options.Response, session)
}

// Shown signs in whoever answers with a passkey. It returns ErrNot and people.ErrGone.
func (k *Keys) Shown(ctx context.Context, c people.Caller, ticket string, answer []byte, from string) (secret string, err error) {
	session, _, err := k.session(ctx, people.ShowingKey, ticket)
	if err != nil {
		return "", err
	}
	parsed, err := protocol.ParseCredentialRequestResponseBytes(answer)
	if err != nil {
		return "", errors.Join(ErrNot, err)
	}
	var key people.Key
	var person people.Person
	find := func(rawID, handle []byte) (webauthn.User, error) {
		var err error
		if key, person, err = k.desk.Key(ctx, name(rawID)); err != nil {
			return nil, err
		}
		if !bytes.Equal(key.Handle, handle) {
			return nil, ErrNot
		}
		return userOf(person.Name, "", key.Handle, []people.Key{key})
	}
	_, shown, err := k.web.ValidatePasskeyLogin(find, session, parsed)
	switch {
	case err != nil:
		return "", errors.Join(ErrNot, err)
	case shown.Authenticator.CloneWarning:
		return "", ErrNot // its counter went back: there are two of it
	}
	data, err := json.Marshal(shown)
	if err != nil {
		return "", err
	}
	return k.desk.EnterByKey(ctx, c, key, person, data, from)
}
