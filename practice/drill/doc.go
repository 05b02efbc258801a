// Package drill is practice: games that nobody plays, for people who learn the
// bench. It makes scripts, plays them out with their full answer, and grades
// what a learner entered.
//
//	script, err := drill.Generate(7, 2, []drill.Skill{drill.CarryOver}, division)
//	grade, err := drill.Evaluate(script, ledger, acts)
//
// A Plot is what happens in a practice game: whistles, goals, calls, by the time
// of the game. It is made from a seed, read from a coordinator's file, or taken
// from the ledger of a game that was played. Direct turns a plot into a Script:
// every cue at its instant, with what the learner sees and hears, and the ledger
// that a bench without a slip would have. Grading compares two ledgers through
// the fold, so that a late or amended entry counts as what it came to. A Grader
// does it again at each stoppage of a practice that goes on.
package drill
