// Package queue is letters that somebody waits for, such as one with a link to sign in: on
// the disk before whoever asked is answered, sent soon, and dropped when they are good for
// nothing any more. Nobody looks over it: what cannot be sent is asked for again.
//
//	q, err := queue.Open(file, sender, now, logger)
//	err = q.Add(letter, ends)
//	go q.Run(ctx, cut)
package queue
