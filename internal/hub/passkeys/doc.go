// Package passkeys has browsers add and show passkeys, by Web Authentication Level 3.
// What a browser is asked and what it answers is JSON; in between a ticket of package
// people remembers the question, so that each is answered once, at any process of a hub.
//
//	keys, err := passkeys.New("hub.example", "https://hub.example", desk)
//	ask, err := keys.Add(ctx, caller, "Harbour League")
//	// the browser makes a passkey of ask.Options
//	secret, err := keys.Added(ctx, caller, ask.Ticket, "My phone", answer)
//
// A passkey belongs to the domain for ever. The person must have shown the device that
// it is them (a code, a finger): a passkey alone is enough to sign in.
package passkeys
