// Package site is the HTTP shell of a hub: ledgers from benches, games for followers,
// the pages of an admin, and the state of it all in words. It translates, counts and
// refuses, and decides nothing about hockey.
//
//	GET  /v1/ledgers/{game}            where the ledger ends
//	POST /v1/ledgers/{game}/entries    lines, answered when they are on the disk
//	GET  /v1/ledgers/{game}/hashes     to find where two ledgers part
//	GET  /follow/{token}               the page of a team
//	GET  /v1/follow/{token}            its games
//	GET  /v1/follow/{token}/games/{game}/stream
//	GET  /v1/room                      a paired bench hears the phones that come by the hub
//	GET  /v1/rooms/{room}/stream       a phone hears that bench
//	GET  /status                       in words
//	GET  /admin                        behind a link that works once
//
//	hub := site.New(site.Config{Store: store, Office: office, Live: games})
//	server := &http.Server{Handler: hub}
package site
