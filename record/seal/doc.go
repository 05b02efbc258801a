// Package seal closes a report and proves later that nothing was touched. A seal
// is an Ed25519 signature over the head of the ledger's chain of hashes; its
// short fingerprint stands on paper. It is pure: where the key is kept, and when
// a report may be closed, is not decided here.
//
//	body, err := key.Make(ledger, "")
//	sealed, err := key.Sign(entry.Entry{ID: id, Game: game, Seq: len(ledger) + 1, Prev: body.Head, Body: body})
//	fmt.Println(seal.Fingerprint(sealed)) // 7K3M Q9TR 2WCH VD4F
//
//	verdict := seal.Verify(file)
//	if verdict.First != nil { fmt.Println(verdict.First.Say.Key) }
package seal
