package oidc

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"net/http"
	"sync"
	"time"

	"github.com/coreos/go-oidc/v3/oidc"
	"golang.org/x/oauth2"
)

// The errors, each around its reason.
var (
	// ErrDown says that the service cannot be reached, or is not what it should be.
	ErrDown = errors.New("the service cannot be reached")
	// ErrNot says that what came back is not good for a sign-in.
	ErrNot = errors.New("the answer of the service is not good")
)

// Who is somebody as a service knows them.
type Who struct{ Issuer, Subject string }

// subjectMost is how long a subject is at most (OpenID Connect Core 1.0, 2).
const subjectMost = 255

// Flow is what has to be kept of a sign-in that is under way, and shown to nobody.
type Flow struct {
	Nonce    string `json:"nonce"`
	Verifier string `json:"verifier"` // of PKCE
}

// askWithin is how long the service has for an answer (ours).
const askWithin = 10 * time.Second

// Service is one. It is safe for use by many goroutines.
type Service struct {
	settings Settings
	back     string
	client   *http.Client
	now      func() time.Time

	mutex sync.Mutex
	found *oidc.Provider // nil: not asked yet, or it could not be reached
}

// New returns the service. back is the hub's address to which browsers come back. A nil
// client is the usual one. Nobody is asked yet: a hub starts also while the service is
// away.
func New(s Settings, back string, client *http.Client, now func() time.Time) *Service {
	if client == nil {
		client = &http.Client{}
	}
	limited := *client
	limited.Timeout = askWithin
	return &Service{settings: s, back: back, client: &limited, now: now}
}

// Name is what people call the service.
func (s *Service) Name() string { return s.settings.Name }

// provider asks the service where what is, once.
func (s *Service) provider(ctx context.Context) (*oidc.Provider, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.found != nil {
		return s.found, nil
	}
	// Its keys are asked for later, so this must not end with the request.
	found, err := oidc.NewProvider(oidc.ClientContext(context.WithoutCancel(ctx), s.client), s.settings.Issuer)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrDown, err)
	}
	s.found = found
	return found, nil
}

func (s *Service) config(p *oidc.Provider) oauth2.Config {
	return oauth2.Config{
		ClientID: s.settings.Client, ClientSecret: s.settings.Secret, Endpoint: p.Endpoint(), RedirectURL: s.back,
		Scopes: []string{oidc.ScopeOpenID}, // who it is, and nothing else about them
	}
}

// NewFlow begins a sign-in.
func NewFlow() Flow {
	raw := make([]byte, 24)
	_, _ = rand.Read(raw) // never fails
	return Flow{Nonce: base64.RawURLEncoding.EncodeToString(raw), Verifier: oauth2.GenerateVerifier()}
}

// At returns where the browser goes. The state comes back with it, as it is.
func (s *Service) At(ctx context.Context, state string, flow Flow) (string, error) {
	p, err := s.provider(ctx)
	if err != nil {
		return "", err
	}
	config := s.config(p)
	return config.AuthCodeURL(state, oidc.Nonce(flow.Nonce), oauth2.S256ChallengeOption(flow.Verifier)), nil
}

// Finish turns the code with which a browser came back into who it is: the token is
// signed by the issuer, for this hub, for this sign-in, and has not ended.
func (s *Service) Finish(ctx context.Context, flow Flow, code string) (who Who, err error) {
	p, err := s.provider(ctx)
	if err != nil {
		return who, err
	}
	ctx = oidc.ClientContext(ctx, s.client)
	config := s.config(p)
	token, err := config.Exchange(ctx, code, oauth2.VerifierOption(flow.Verifier))
	var said *oauth2.RetrieveError
	switch {
	case errors.As(err, &said) && said.Response != nil && said.Response.StatusCode < http.StatusInternalServerError:
		return who, fmt.Errorf("%w: %w", ErrNot, err)
	case err != nil:
		return who, fmt.Errorf("%w: %w", ErrDown, err)
	}
	raw, is := token.Extra("id_token").(string)
	if !is {
		return who, fmt.Errorf("%w: there is no id_token", ErrNot)
	}
	verified, err := p.VerifierContext(ctx, &oidc.Config{ClientID: s.settings.Client, Now: s.now}).Verify(ctx, raw)
	if err != nil {
		return who, fmt.Errorf("%w: %w", ErrNot, err)
	}
	if flow.Nonce == "" || subtle.ConstantTimeCompare([]byte(verified.Nonce), []byte(flow.Nonce)) != 1 {
		return who, fmt.Errorf("%w: the nonce is another sign-in's", ErrNot)
	}
	if verified.Subject == "" || len(verified.Subject) > subjectMost {
		return who, fmt.Errorf("%w: it names nobody", ErrNot)
	}
	return Who{Issuer: verified.Issuer, Subject: verified.Subject}, nil
}
