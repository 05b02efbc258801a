// Package demo is the invented game that shows Whistlestop: Kelp Bay at home
// against Lanternside at Saltworks Arena, Under 14 of the Harbour League. It can
// be had at named moments. A game at a moment is a real ledger: every entry is
// considered by the rules like one that somebody posts, and stands at the time
// of day at which it would have been posted.
//
//	ledger, err := demo.Ledger("power-play", now)
package demo
