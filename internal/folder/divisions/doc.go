// Package divisions keeps a league's own divisions as files in a folder, one
// file a division, so that a coordinator can read, copy and send them like any
// other file. It writes the file of a division that was set in a form.
//
//	kept := divisions.New(filepath.Join(data, "divisions"))
//	err := kept.Keep(division)
package divisions
