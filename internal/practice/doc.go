// Package practice is a bench for one practice game: it answers what the screens
// ask, as the server does, and what only practice asks, without a network. The
// same code runs inside a browser and in tests.
//
//	room := practice.NewRoom()
//	status, answer := room.Call("POST", "/practice/begin", body, now)
//
// It has no clock of its own: whoever calls says what time the practice's clock
// shows, in milliseconds of Unix time. So a practice can be held, and can be cut
// to what is worth watching, and the screens need not know.
package practice
