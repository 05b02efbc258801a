// Package why says in words why a game stands as it does at a moment: the score,
// who plays with how many, who sits in the box until when, and by which rule. It
// folds the ledger as it was then; every sentence is one of the catalogue.
//
//	text, err := why.Explain(words, ledger, why.Question{Period: 2, Time: "4:05"})
//
// What cannot be explained is refused with an api.No.
package why
