package cards

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"whistlestop/game/card"
	"whistlestop/internal/folder"
	"whistlestop/internal/folder/durable"
)

// Folder is a folder of card files. It is safe for use by many goroutines.
type Folder struct {
	*folder.Folder[card.File]
	path string
	more []card.File
}

// pictureEnding is that of the picture that lies beside a card's text.
const pictureEnding = ".jpg"

// New returns the cards of a folder, which need not be there yet, and more that
// come with the program.
func New(path string, more ...card.File) *Folder {
	return &Folder{folder.Of(path, folder.Kind[card.File]{
		Large: "card_file.too_large", Same: "card_file.same_id", Most: card.FileMost,
		Read: func(name string, text []byte, unread error) card.File {
			if unread != nil {
				return card.File{Name: name, Bad: unread}
			}
			return Beside(card.NewFile(name, text), filepath.Join(path, name))
		},
		Spoil: func(file card.File, why error) card.File {
			file.Bad = why
			return file
		},
		ID: id,
	}), path, more}
}

// Beside is a card file with the picture that lies beside it, if there is one.
func Beside(file card.File, path string) card.File {
	picture, err := readPicture(beside(path))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return file
	case err != nil:
		file.BadPicture = err
		return file
	default:
		return file.WithPicture(picture)
	}
}

// readPicture reads one byte more than a picture has at most, so that a larger one is
// found too large and does not fill the memory.
func readPicture(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if info.Size() > card.PictureMost {
		return nil, card.CheckPicture(make([]byte, card.PictureMost+1))
	}
	return os.ReadFile(path)
}

// beside is where the picture of a card's file is.
func beside(path string) string { return strings.TrimSuffix(path, folder.Ending) + pictureEnding }

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

// Keep keeps a card file that was checked: its text as it is, and the picture that it
// carries beside it. A text that still says where keys are on a picture, and brings
// none, leaves the older picture where it is; otherwise that goes.
func (f *Folder) Keep(id string, file []byte) error {
	text, picture, err := card.Cut(file)
	if err != nil {
		return err
	}
	if err := durable.MakeFolder(f.path); err != nil {
		return err
	}
	name, err := f.NameOf(id)
	if err != nil {
		return err
	}
	at := beside(filepath.Join(f.path, name))
	if picture != nil {
		if err := durable.Write(durable.System(), at, picture); err != nil {
			return err
		}
	} else if one, err := card.Parse(text, name); err == nil && (one.Console == nil || one.Console.Marks == nil) {
		if err := os.Remove(at); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return f.Folder.Keep(id, text)
}
