package main

import (
	"bytes"
	"errors"
	"io/fs"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/BurntSushi/toml"

	"whistlestop/game/datafile"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/folder/durable"
	"whistlestop/record/seal"
)

// keysFile is where the keys of other benches are kept, as text that people may
// also write themselves.
const keysFile = "keys.toml"

type keysCommand struct {
	List keysListCommand `cmd:""`
	Pin  keysPinCommand  `cmd:""`
}

type keysListCommand struct {
	Data string `type:"path"`
}

type keysPinCommand struct {
	Name string `arg:""`
	Key  string `arg:""`
	Data string `type:"path"`
}

// keyList is the file of keys.
type keyList struct {
	Keys []keyLine `toml:"key"`
}

type keyLine struct {
	Name string `toml:"name"`
	Key  string `toml:"key"`
}

// pins returns the keys that the folder of the games knows: the bench's own, and
// those that were kept. Nothing is made if it is not there.
func (p *Program) pins(words api.Words) ([]seal.Pin, error) {
	var pins []seal.Pin
	if raw, err := p.private("bench-key.pem").Read(); err == nil && raw != nil {
		if key, err := p.benchKey().Key(); err == nil {
			pins = append(pins, seal.Pin{Name: words.Text("command.keys.this", nil), Key: seal.Key(key).Public()})
		}
	}
	list, err := p.keyList()
	for _, one := range list.Keys {
		pins = append(pins, seal.Pin{Name: one.Name, Key: one.Key})
	}
	return pins, err
}

func (p *Program) keyList() (list keyList, err error) {
	path := filepath.Join(p.folder, keysFile)
	text, err := readAtMost(path, datafile.Most)
	if errors.Is(err, fs.ErrNotExist) {
		return list, nil
	}
	if err == nil {
		err = datafile.Decode(text, keysFile, &list)
	}
	for _, one := range list.Keys {
		if err == nil {
			err = checkPin(one)
		}
	}
	if err != nil {
		return keyList{}, cannotRead(path, err)
	}
	return list, nil
}

func checkPin(one keyLine) error {
	_, short := seal.ReadFingerprint(one.Key)
	switch {
	case short != nil && seal.KeyName(one.Key) == "":
		return message.New("command.keys.no_key", "text", one.Key)
	case strings.TrimSpace(one.Name) == "" || utf8.RuneCountInString(one.Name) > 60 ||
		strings.ContainsFunc(one.Name, func(r rune) bool { return !unicode.IsPrint(r) }):
		return message.New("command.keys.no_name")
	}
	return nil
}

// listKeys prints the keys that are known.
func (p *Program) listKeys(c keysListCommand) error {
	if err := p.inFolder(c.Data); err != nil {
		return err
	}
	if raw, err := p.private("bench-key.pem").Read(); err == nil && raw == nil {
		p.print("command.keys.none")
	} else {
		key, err := p.benchKey().Key()
		if err != nil {
			return cannotRead(filepath.Join(p.folder, "bench-key.pem"), err)
		}
		public := seal.Key(key).Public()
		p.print("command.keys.own", "key", seal.KeyName(public), "public", public)
	}
	list, err := p.keyList()
	for _, one := range list.Keys {
		p.print("command.keys.pin", "name", one.Name, "key", one.Key)
	}
	return err
}

// pinKey keeps a key.
func (p *Program) pinKey(c keysPinCommand) error {
	if err := p.inFolder(c.Data); err != nil {
		return err
	}
	one := keyLine{Name: strings.TrimSpace(c.Name), Key: strings.TrimSpace(c.Key)}
	if err := checkPin(one); err != nil {
		return err
	}
	list, err := p.keyList()
	if err != nil {
		return err
	}
	list.Keys = append(list.Keys, one)
	var text bytes.Buffer
	if err := toml.NewEncoder(&text).Encode(list); err != nil {
		return err
	}
	if err := durable.MakeFolder(p.folder); err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	path := filepath.Join(p.folder, keysFile)
	if err := durable.Write(durable.System(), path, text.Bytes()); err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	p.print("command.keys.pinned", "key", one.Key, "name", one.Name, "file", path)
	return nil
}
