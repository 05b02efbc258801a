// Package limits keeps strangers from holding up the bench: it counts connections,
// requests and streams, and says when there are too many. The bench's own computer
// has no limits, and every seat has its own, which no guest can use up. The numbers
// are ours; docs/network.md lists them.
//
//	leave, why := requests.Enter(ctx, limits.Caller{Address: address}, false, false)
//	defer leave()
//	if why != limits.None {
//		return // ask again later
//	}
//
// It reads the clock and knows nothing of HTTP.
package limits
