package divisions

import (
	"whistlestop/game/rulebook"
	"whistlestop/internal/folder"
)

// filesMost is how many files are read: far more than any league has.
const filesMost = 200

// Folder is a folder of division files. It is safe for use by many goroutines.
type Folder struct {
	files *folder.Folder[rulebook.OwnDivision]
}

// New returns the divisions of a folder, which need not be there yet.
func New(path string) *Folder {
	return &Folder{folder.Of(path, folder.Kind[rulebook.OwnDivision]{
		Large: "division_file.too_large", Same: "division_file.same_id", FilesMost: filesMost,
		Read: func(name string, text []byte, unread error) rulebook.OwnDivision {
			if unread != nil {
				return rulebook.OwnDivision{Name: name, Bad: unread}
			}
			d, err := rulebook.ParseDivision(text, name)
			return rulebook.OwnDivision{Name: name, Division: d, Bad: err}
		},
		Spoil: func(file rulebook.OwnDivision, why error) rulebook.OwnDivision {
			file.Bad = why
			return file
		},
		ID: func(file rulebook.OwnDivision) string {
			if file.Bad != nil {
				return ""
			}
			return file.Division.ID
		},
	})}
}

// All lists the files by their names. Of two with one id the second is bad.
func (f *Folder) All() ([]rulebook.OwnDivision, error) { return f.files.All() }

// Keep writes the file of a division, in place of the one with the same id. The
// old file is there until the new one is whole.
func (f *Folder) Keep(d rulebook.Division) error {
	text, err := Text(d)
	if err != nil {
		return err
	}
	return f.files.Keep(d.ID, text)
}
