// Package folder is what the program keeps on disk beside its ledgers: files that
// are there after a power cut. It is itself a folder of data files that people may
// read, copy and send, one file a thing; what such files hold is the matter of the
// packages below it.
//
//	kept := folder.Of(path, folder.Kind[card.File]{Large: "card_file.too_large", Same: "card_file.same_id", ...})
//	files, err := kept.All()
//	err = kept.Keep("north", text)
package folder
