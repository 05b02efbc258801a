// Package carry is what every HTTP shell of the API's table does alike: a body read within
// the operation's bounds, an answer sent as it came, the words of the language that a
// request wants, the time that a long question may take. Who may ask, and how a no is
// told, is the shell's own.
//
//	raw, err := carry.Body(w, r, operation)
//	status, file, err := operation.Run(call)
//	err = carry.Send(w, status, file)
package carry
