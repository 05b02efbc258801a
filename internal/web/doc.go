// Package web serves the bench over HTTP: the pages, the questions and posts as
// JSON, and the newest state of a game as a stream of server-sent events. It
// translates and guards; it decides nothing about hockey.
//
// Until seats are paired, only the computer that the bench runs on may post;
// others on the network may look. A request is refused when it reaches the
// program by a name that is not this machine's, or when another web page asked
// the browser to send it.
//
//	server := web.New(web.Config{Bench: live, Pages: ui.Files(), Words: words, Own: own.Has, Logger: logger})
//	err := http.Serve(listener, server)
package web
