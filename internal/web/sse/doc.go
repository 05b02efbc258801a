// Package sse writes server-sent events, plain or packed with gzip. What many clients
// get is packed once for all of them: pieces that were packed can be put behind one
// another in any stream.
//
//	out, streams := sse.New(response, takesGzip, 5*time.Second)
//	if !streams {
//		return // answer in another way
//	}
//	err := out.Begin()
//	err = out.Send(state, sse.Stored([]byte("}\n\n")))
//	err = out.JSON("beat", beat)
//
// A stream that outlives its handler takes the connection with Take, and ends it with Close.
//
// What is in the events is for whoever sends them.
package sse
