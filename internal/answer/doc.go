// Package answer is what a bench says to the screens: the shapes of the API's
// answers and problems, and how drafts are read. The web server and the bench of
// a practice game answer alike, because both answer from here.
//
//	err := answer.Read(body, &entries)
//	drafts, wrong := entries.Drafts()
//	problem, known := answer.Why(words, err)
//
// It knows no network: a status is a number.
package answer
