package cards

import (
	"whistlestop/game/card"
	"whistlestop/internal/folder"
)

// Folder is a folder of card files. It is safe for use by many goroutines.
type Folder struct {
	*folder.Folder[card.File]
	more []card.File
}

// New returns the cards of a folder, which need not be there yet, and more that
// come with the program.
func New(path string, more ...card.File) *Folder {
	return &Folder{folder.Of(path, folder.Kind[card.File]{
		Large: "card_file.too_large", Same: "card_file.same_id",
		Read: func(name string, text []byte, unread error) card.File {
			if unread != nil {
				return card.File{Name: name, Bad: unread}
			}
			return card.NewFile(name, text)
		},
		Spoil: func(file card.File, why error) card.File {
			file.Bad = why
			return file
		},
		ID: id,
	}), more}
}

func id(file card.File) string {
	if file.Bad != nil {
		return ""
	}
	return file.Card.ID
}

// All lists the cards by the names of their files, those of the program last. A
// card of the folder takes the place of one of the program with the same id. A
// file that cannot be read or used is in the list and says why.
func (f *Folder) All() ([]card.File, error) {
	files, err := f.Folder.All()
	if err != nil {
		return nil, err
	}
	own := map[string]bool{}
	for _, file := range files {
		own[id(file)] = true
	}
	for _, file := range f.more {
		if !own[file.Card.ID] {
			files = append(files, file)
		}
	}
	return files, nil
}
