// Package push has the words about short messages to devices that asked for them: who
// sends, where to, and what can come of it. It knows no network; push/sender sends them.
//
//	keys, err := push.NewKeys() // once, and never again
//	answer := pusher.Push(ctx, keys, device, []byte(`{"title":"Clock, Saturday 10:00"}`))
//	if answer.Outcome == push.Gone {
//		// the device is forgotten
//	}
package push
