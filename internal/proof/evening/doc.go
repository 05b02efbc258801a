// Package evening plays an evening at a rink: several games at once on the whole
// program, asked over its HTTP handler, with the ledgers in SQLite over files that
// fail, copies on this computer and on a stick that fails, is pulled and comes back
// older, a computer whose power goes and whose time of day is set, and files of
// strangers offered at every entrance while games are on. All chance comes from one
// seed and all time is simulated; every move has a budget of simulated time, so that
// one that never ends is a finding of its own. Phones become seats, post through
// their sessions and lose them in the middle; screens follow by their streams; names
// are taken out; reports are downloaded.
//
// What is held against it shares no code with the program: lines of ledgers are read
// as plain JSON, the score and the clock are added up anew from them, and what the
// bench, a guest and the list of games are shown is compared with that. What was
// acknowledged is there once and unchanged, what was refused is not, a line that was
// once shown never changes, nobody else's file adds anything without a person's
// word, and no name leaves the bench that may not. Every state that a stream ever
// sent agrees with the lines up to its number, a file of the report has the figures
// that follow from the lines, and a name that was taken out stands nowhere.
//
// The package knows the program only as a handler that can be started over a place:
//
//	outcome := evening.Play(t.Context(), evening.Setup{Seed: 7, Folder: t.TempDir(), Hostile: files, Start: start})
//	for _, fault := range outcome.Faults {
//		t.Error(fault)
//	}
package evening
