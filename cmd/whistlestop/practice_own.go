package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"whistlestop/game/card"
	"whistlestop/game/message"
	"whistlestop/internal/folder"
	"whistlestop/internal/folder/cards"
	"whistlestop/internal/practice"
)

// The folders below the one that --with names, as a bench keeps them.
const (
	ownCards     = "cards"
	ownDivisions = "divisions"
	ownScripts   = "scripts"
	scriptEnding = ".practice"
)

// ownFiles reads what an association puts into its site, and checks it; nil where no
// folder is named.
func ownFiles(path string) (*practice.Own, error) {
	if path == "" {
		return nil, nil
	}
	own := &practice.Own{Cards: []practice.CardText{}, Divisions: []practice.CardText{}, Scripts: []practice.CardText{}}
	for _, part := range []struct {
		name, ending string
		most         int
		into         *[]practice.CardText
	}{
		{ownCards, folder.Ending, card.FileMost, &own.Cards},
		{ownDivisions, folder.Ending, folder.ReadMost, &own.Divisions},
		{ownScripts, scriptEnding, folder.ReadMost, &own.Scripts},
	} {
		files, err := filesOf(filepath.Join(path, part.name), part.ending, part.most)
		if err != nil {
			return nil, err
		}
		*part.into = files
	}
	if len(own.Cards)+len(own.Divisions)+len(own.Scripts) == 0 {
		return nil, message.New("command.site.own_empty", "folder", path)
	}
	for i, file := range own.Cards {
		whole, err := withPicture(filepath.Join(path, ownCards, file.Name), file.Text)
		if err != nil {
			return nil, message.Because(message.In(file.Name, err), "command.site.own_bad")
		}
		own.Cards[i].Text = whole
	}
	if err := own.Check(); err != nil {
		return nil, message.Because(err, "command.site.own_bad")
	}
	return own, nil
}

// filesOf reads the files of a folder with an ending, by their names. The folder need
// not be there.
func filesOf(path, ending string, most int) ([]practice.CardText, error) {
	list := []practice.CardText{}
	entries, err := os.ReadDir(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, cannotRead(path, err)
	}
	for _, e := range entries {
		if !e.Type().IsRegular() || !strings.HasSuffix(e.Name(), ending) {
			continue
		}
		text, err := readAtMost(filepath.Join(path, e.Name()), most)
		if err != nil {
			return nil, cannotRead(filepath.Join(path, e.Name()), err)
		}
		list = append(list, practice.CardText{Name: e.Name(), Text: string(text)})
	}
	return list, nil
}

// withPicture is a card's file with its picture in it, drawn anew, and without the people
// to call: a site on a web host is read by anybody.
func withPicture(path, text string) (string, error) {
	file := cards.Beside(card.NewFile(filepath.Base(path), []byte(text)), path)
	if file.Bad != nil {
		return "", file.Bad
	}
	if file.BadPicture != nil {
		return "", file.BadPicture
	}
	one := file.Card
	one.Contacts = nil
	if one.Picture != nil {
		anew, err := card.AnewPicture(one.Picture)
		if err != nil {
			return "", err
		}
		one.Picture = anew
	}
	return string(card.Write(one)), nil
}

// ownScript is the file of a site in which an association's own is; every site has it.
const ownScript = "own.js"

// workerScript keeps the site in a browser: its first line lists the files.
const workerScript = "sw.js"

// putOwn puts an association's own into the files of a site, with the lists by which a
// browser keeps it and the next writing replaces it.
func putOwn(site map[string][]byte, own practice.Own) error {
	raw, err := json.Marshal(own)
	if err != nil {
		return err
	}
	site[ownScript] = append(append([]byte("globalThis.whistlestopOwn = "), raw...), '\n')

	first, rest, _ := bytes.Cut(site[workerScript], []byte("\n"))
	list, begins := bytes.CutPrefix(first, []byte("const site = "))
	list, ends := bytes.CutSuffix(list, []byte(";"))
	var kept struct {
		Version string            `json:"version"`
		Files   map[string]string `json:"files"`
		Asked   map[string]string `json:"asked"`
	}
	if !begins || !ends || json.Unmarshal(list, &kept) != nil || kept.Files[ownScript] == "" {
		return message.New("command.site.not_built")
	}
	kept.Files[ownScript] = sha256Hex(site[ownScript])
	kept.Version = sha256Hex([]byte(kept.Version + kept.Files[ownScript]))[:16]
	if list, err = json.Marshal(kept); err != nil {
		return err
	}
	site[workerScript] = append([]byte("const site = "+string(list)+";\n"), rest...)

	var files siteFiles
	if err := json.Unmarshal(site[siteList], &files); err != nil {
		return err
	}
	files.Version = kept.Version
	for _, name := range []string{ownScript, workerScript} {
		files.Files[name] = sha256Hex(site[name])
	}
	if raw, err = json.MarshalIndent(files, "", " "); err != nil {
		return err
	}
	site[siteList] = append(raw, '\n')
	return nil
}
