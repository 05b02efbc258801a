// Package jetstream is the bus between the processes of a hub over NATS JetStream: one
// stream on three nodes, each of which brings a message to the disk before it says that
// it has it; one ordered consumer a process, never one a follower. The database is the
// truth: a stream that was lost is made anew and filled from there.
//
//	b, err := jetstream.Open(ctx, jetstream.Config{URL: "nats://a:4222,nats://b:4222,nats://c:4222", Refill: refill, Logger: logger})
//	if errors.As(err, new(*jetstream.WeakError)) {
//		// fewer than three copies, or a node that acknowledges before it is on the disk
//	}
//	err = b.Publish(ctx, messages)
//
// A node that is not ours does not say how it writes; Open then says so in the log and
// goes on.
package jetstream
