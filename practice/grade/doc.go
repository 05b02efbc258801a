// Package grade says how well a learner did. It compares two ledgers through the
// fold, the learner's and the one of a bench without a slip, so that a late or
// amended entry counts as what it came to.
//
//	g, err := grade.Evaluate(s, ledger, acts)
//	for _, slip := range g.Findings {
//		fmt.Println(slip.Say.Key)
//	}
//
// A Grader does it again at each stoppage of a practice that goes on.
package grade
