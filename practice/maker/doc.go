// Package maker makes scripts: from a seed, from a coordinator's file, from the
// ledger of a game that was played, and those that come with the program.
//
//	s, err := maker.Generate(7, 2, []plot.Skill{plot.CarryOver}, division)
//	again, err := maker.Direct(s.Plot) // the same script
//
// Direct turns a plot into a script: it plays the bench without a slip, and asks
// the fold at every stoppage what is due. What a script asks for is read from the
// fold of its answer, and who made it is not asked. The package is not called make,
// which would hide the language's own.
package maker
