// Package pocket is the shell of the API around a bench that lies in a browser: real
// games, with a real clock, kept where the browser keeps files. A page asks it as it
// asks a server, and hears each game's state as over a stream.
//
//	b := pocket.Open(pocket.Config{Ledgers: ledgers, Papers: papers, Instant: instant})
//	answer := b.Ask("POST", "/games", body)
//	stop, err := b.Listen(game, "", func(event pocket.Event) { ... })
//
// Its own page is the bench. What other devices ask comes through that page, over a link
// that it keeps to each: AskFrom and ListenFrom hold them to what a seat may, as the
// server holds a phone.
package pocket
