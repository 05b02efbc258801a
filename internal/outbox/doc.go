// Package outbox sends the ledgers of a bench to its association's hub. The bench's own
// disk comes first: nothing here is ever waited for, and a bench goes on for weeks
// without a hub. What was not sent is not kept anywhere else: the ledger itself is the
// outbox, and the hub says where its own ends.
//
//	link, err := outbox.ParseLink("https://hub.example/pair#uV3...")
//	box := outbox.New(outbox.Config{Ledgers: store, Client: overhttp.New(), Link: link, Now: clock.Now, Logger: logger})
//	box.Moved(game, entries) // after they are on the disk here
//	state := box.State()
//	box.Close()
//
// Names of people stay here: a line that has some inside goes as one that takes its
// place and carries its hash, so that the chain holds. Two benches that went on from one
// entry are both sent; the hub keeps both, and a person decides there.
package outbox
