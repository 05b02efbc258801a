// Package locale holds what the program says to people, as one flat catalogue of
// keys and texts for each language, with {gaps} for what goes in between. A
// language is a folder of files; the screens use the same ones.
//
//	words, known := locale.Shipped().Best("fi", "en")
//	text := words.Text("bench.too_many", message.Pairs("most", "50"))
//	why := words.Error(message.At("mine.toml", 3, message.New("division.no_id")))
package locale
