// Package sender hands short messages to the push service of a device's browser
// (RFC 8030): encrypted for that device alone (RFC 8291), signed with the sender's own key
// (RFC 8292). A push service learns that something was sent and how long it is, never what.
//
//	post := sender.New("crew@harbour.example")
//	answer := post.Push(ctx, keys, device, []byte(`{"title":"Clock, Saturday 10:00"}`))
//
// Addresses of push services come from browsers of people, so they are held at arm's
// length: https at the usual port of a name only, never an address of this network, no
// redirects, short answers, little time.
package sender
