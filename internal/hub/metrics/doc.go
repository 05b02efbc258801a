// Package metrics is what a graph of a hub needs, in the form of Prometheus: how fast
// benches are answered, what waits to be told to other hubs, who follows. Nothing in it
// names a game, a person, a team, an association or an address.
//
//	m := metrics.New(metrics.Sources{Followers: count, Outbox: store.Waiting})
//	server := &http.Server{Handler: m.Measured(site)}
//	own := &http.Server{Handler: m, Addr: "127.0.0.1:9490"}
package metrics
