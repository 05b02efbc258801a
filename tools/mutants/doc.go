// Mutants changes the program in small ways and sees whether a test notices: a
// condition turned round, a limit moved, a call or an assignment left out. What
// no test notices is either no change of behaviour, or a gap.
//
//	go run -mod=mod ./mutants -root .. -sample 150 -seed 7
//	go run -mod=mod ./mutants -root .. -named
//
// No file of the repository is written: a mutant is an overlay of the compiler.
// The mutants that once survived and must not again are written by hand in
// named.txt; what survives and changes nothing that anybody could see, or is left
// for a reason, is in survivors.txt.
package main
