// Package cards keeps rink cards as files in a folder, one file a card, so
// that a coordinator can read, copy and send them like any other file.
//
//	kept := cards.New(filepath.Join(data, "cards"), demo.Card())
//	files, err := kept.All()
package cards
