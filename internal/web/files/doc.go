// Package files serves a built front end: files that never change while the program
// runs, packed once, with a tag by which a client knows that it has them.
//
//	front := files.New(ui.Files())
//	page, err := front.Get("index.html")
//	err = page.Send(response, request)
package files
