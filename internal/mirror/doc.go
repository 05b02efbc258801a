// Package mirror keeps further copies of the ledgers: one beside the database,
// and one in each folder that the crew names, such as a USB stick. A copy is a
// file a game, one entry a line, the same as the export, so that it can be read
// without this program.
//
// A Mirror stands before the ledgers of a bench. It copies what was appended and
// never makes the bench wait: a stick that is slow, full or pulled out is behind
// and catches up by itself.
//
//	copies := mirror.New(ledgers, durable.System(), logger, now, mirror.NewMarks(key), "/media/stick")
//	defer copies.Close()
//	live := bench.New(copies, bench.SteadyClock(), bench.ULIDs(), logger)
//	for _, c := range copies.State() {
//		fmt.Println(c.Folder, c.State, c.Behind)
//	}
package mirror
