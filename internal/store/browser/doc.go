// Package browser keeps ledgers in a browser: in files of the origin that only the
// page's worker can reach, each behind a Handle. It passes the same suite as the
// other stores, with handles in memory and, in a real browser, with real ones.
//
//	ledgers, err := browser.Open(first, second)
//	err = ledgers.Append(ctx, game, entries)
//
// All games lie in one file, as records that are only ever added: each has its length
// and its checksum before it, and is flushed before an append returns. A record that a
// kill cut off is the last one, and is taken away at the next start. Where texts are
// taken out, everything else is written into the second file, which then counts.
package browser
