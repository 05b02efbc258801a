// Package mail is letters that go out by mail, without a way to send them: what a letter
// is, what can come of sending one, and when to try again. Package submit sends them.
//
//	err := sender.Send(ctx, mail.Letter{ID: "01J…", To: address, Subject: "…", Text: "…"})
//	switch mail.Came(err) {
//	case mail.Later: // try again after mail.Again(tries)
//	case mail.Perhaps: // nobody knows: a person decides
//	}
package mail
