// Package turns lets browsers that come to an encrypted address at one moment in one after the
// other. What a beginning costs the hub is the answer to a browser's first words (keys, and
// the signature of its certificate); ten thousand that are begun at once are all done
// slowly, each is cut off by its limit before it ends, and its work is lost. Here as many as
// there are processors are worked on at once, the others wait, and a limit counts what a
// browser takes, not what it waits for its turn.
//
//	server.ServeTLS(turns.Listen(listener), certificate, key)
package turns
