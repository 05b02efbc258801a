// Package copied is the form in which a copy of a hub's database lies in folders: a file
// for each table, gzip around the text that PostgreSQL's COPY writes, and a manifest
// with the columns, the rows and the SHA-256 of each file, so that no tool and no version
// of one is needed to know whether a copy is whole.
//
// A copy has two parts, each a folder of its own: "games" has ledgers, tokens' hashes and
// the log, "people" has whoever signs in, so that this part can be kept elsewhere and
// for a shorter time. Both were taken at one moment and say which.
//
//	part, err := copied.Create("/backups/monday/games")
//	err = part.Table("entry", columns, func(to io.Writer) (rows int64, err error) { ... })
//	err = part.Finish(copied.Manifest{Part: copied.Games, Taken: id})
//	manifest, err := copied.Check("/backups/monday/games") // reads every byte
//
// A part is there under its name once Finish returns, on the disk and whole, or not at
// all.
package copied
