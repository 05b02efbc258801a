// Package oidc lets people sign in by another service that says who they are (OpenID
// Connect Core 1.0: the code flow, with PKCE, RFC 7636, and a nonce). Somebody is the
// pair of issuer and subject and nothing else: a service gives an address of mail to
// whoever has it next, so none is asked for.
//
//	settings, err := oidc.Read(text, "oidc.toml")
//	service := oidc.New(settings, "https://hub.example/other/back", nil, time.Now)
//	flow := oidc.NewFlow()
//	at, err := service.At(ctx, state, flow) // the browser goes there and comes back with a code
//	who, err := service.Finish(ctx, flow, code)
package oidc
