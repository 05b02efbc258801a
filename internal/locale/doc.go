// Package locale holds what the program says to people, as one flat catalogue of
// keys and texts for each language, with {gaps} for what goes in between. The
// same files are used by the screens.
//
//	words := locale.English()
//	text := words.Text("bench.too_many", map[string]string{"most": "50"})
package locale
