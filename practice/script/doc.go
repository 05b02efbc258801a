// Package script is a practice game as it is played: every cue at its instant, with
// what the learner sees and hears, and the ledger that a bench without a slip would
// have. It also has the few words about a game that whoever makes, runs, grades or
// draws one needs.
//
//	for _, cue := range s.Cues {
//		fmt.Println(cue.Real, cue.Kind)
//	}
//	state, err := s.State() // when all is entered
package script
