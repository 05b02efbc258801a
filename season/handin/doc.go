// Package handin packs what a league gets of its games: for each the report, the
// ledger, the incidents and the suspensions earned, with a manifest of SHA-256 sums.
// The same games make the same bytes on every machine. A receipt says what was handed
// in, and whether in time.
//
//	pack, receipt, err := handin.Pack(games, rules, nowMillis)
//	write("u14-007.zip", pack)
package handin
