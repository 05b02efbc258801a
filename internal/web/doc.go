// Package web serves the bench over HTTP: the pages, the questions and posts as
// JSON, and the newest state of a game as a stream of server-sent events. It
// translates and guards; it decides nothing about hockey.
//
// The computer that the bench runs on may do everything, the seats that it let in
// what is their work at their game, everybody else may look at the public view. A request is refused when it reaches the
// program by a name that is not this machine's, or when another web page asked
// the browser to send it.
//
//	server := web.New(web.Config{Service: service, Pages: ui.Files(), Own: own.Has})
//	err := http.Serve(listener, server)
package web
