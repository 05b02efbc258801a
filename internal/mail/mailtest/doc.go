// Package mailtest is a server for letters in tests, with a login and encryption, that
// fails on demand. It is another library than the one that sends, so the two agree on the
// standard and not on a mistake.
//
//	server := mailtest.New(t, mailtest.StartTLS)
//	server.Fail(mailtest.CutAfterLetter)
//	letters := server.Letters()
package mailtest
