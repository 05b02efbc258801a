// Package bus carries what came into one process of a hub to the others, so that a
// follower there sees what a bench sent here. The database is the truth: a message says
// that lines are there, with the lines, and whoever is told looks at the database. A
// bench is answered from the database and never waits for a bus.
//
// A Relay takes what the database's outbox has, publishes it and deletes it there: so
// every change is published at least once, also after a crash.
//
//	relay := bus.Relay{Outbox: store, Bus: there, Logger: logger}
//	go relay.Run(ctx)
//	stop, err := there.Follow(func(m bus.Message) { games.MovedElsewhere(m.Game) }, games.MovedAll)
//
// An Asker carries questions from one process to another beside that, for what is kept
// nowhere, such as the rooms in which phones speak with a bench.
//
// Memory is the bus inside one process; package jetstream is one between processes. Both
// pass package bustest.
package bus
