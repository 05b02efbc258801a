// Package readiness says who is ready for which seat, from what people practised and
// from the seats that they really held. What nobody knows anything of stays as the
// coordinator wrote it.
//
//	results, bad := readiness.Codes(text)
//	for _, c := range readiness.Work(list, kinds, readiness.Known{Results: results, Held: held, Today: today}) {
//		fmt.Println(c.Person, c.Seat, c.Was, c.Is, c.Why)
//	}
package readiness
