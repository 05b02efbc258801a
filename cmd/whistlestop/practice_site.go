package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/practice"
	"whistlestop/ui"
)

type practiceSiteCommand struct {
	Out  string `required:"" type:"path"`
	With string `type:"path"`
}

// siteList is the file in which a site lists what belongs to it.
const siteList = "files.json"

// siteFiles is that file: each name, with slashes, and the SHA-256 of its content.
type siteFiles struct {
	Site string `json:"site"`
	// Version is another one with every other content.
	Version string            `json:"version,omitempty"`
	Files   map[string]string `json:"files"`
}

// practiceSite writes the practice site into a folder.
func (p *Program) practiceSite(c practiceSiteCommand) error {
	own, err := ownFiles(c.With)
	if err != nil {
		return err
	}
	if err := writeSite(ui.Files(), c.Out, own); err != nil {
		return err
	}
	_, err = fmt.Fprintln(p.Out, p.words.say("command.site.written", "folder", c.Out))
	return err
}

// writeSite writes the site of a built front end into a folder. It looks before
// it writes: what is in the way, and is no unchanged file of an older site, stops
// it, and then nothing was written. Own is what an association puts into it; nil: nothing.
func writeSite(built fs.FS, folder string, own *practice.Own) error {
	site, err := readSite(built)
	if err != nil {
		return err
	}
	if own != nil {
		if err := putOwn(site, *own); err != nil {
			return err
		}
	}
	old, err := olderSite(folder)
	if err != nil {
		return err
	}
	inWay := func(name string) (bool, error) {
		content, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(name)))
		if errors.Is(err, fs.ErrNotExist) {
			return false, nil
		}
		if err != nil {
			return true, message.Because(err, "command.site.unreadable", "folder", folder)
		}
		ours := bytes.Equal(content, site[name]) || old[name] == sha256Hex(content) || name == siteList && len(old) > 0
		return !ours, nil
	}
	names := slices.Sorted(maps.Keys(site))
	for _, name := range names {
		foreign, err := inWay(name)
		if err != nil {
			return err
		}
		if foreign {
			return message.New("command.site.foreign", "folder", folder, "file", name)
		}
	}
	for _, name := range names {
		if err := replaceFile(filepath.Join(folder, filepath.FromSlash(name)), site[name]); err != nil {
			return message.Because(err, "command.site.unwritable", "folder", folder, "file", name)
		}
	}
	// What only the older site had goes, unless somebody changed it.
	for _, name := range slices.Sorted(maps.Keys(old)) {
		if _, stays := site[name]; stays || !filepath.IsLocal(filepath.FromSlash(name)) {
			continue
		}
		path := filepath.Join(folder, filepath.FromSlash(name))
		content, err := os.ReadFile(path)
		if err == nil && sha256Hex(content) == old[name] {
			err = os.Remove(path)
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return message.Because(err, "command.site.unwritable", "folder", folder, "file", name)
		}
	}
	return nil
}

// readSite reads the site of a built front end: names to contents.
func readSite(built fs.FS) (map[string][]byte, error) {
	list, err := fs.ReadFile(built, "practice/"+siteList)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, message.New("command.site.not_built")
	}
	if err != nil {
		return nil, err
	}
	var files siteFiles
	if err := json.Unmarshal(list, &files); err != nil {
		return nil, err
	}
	site := map[string][]byte{siteList: list}
	for name := range files.Files {
		if site[name], err = fs.ReadFile(built, "practice/"+name); err != nil {
			return nil, err
		}
	}
	return site, nil
}

// olderSite returns the list of the site that a folder has: none if it has none.
func olderSite(folder string) (map[string]string, error) {
	text, err := os.ReadFile(filepath.Join(folder, siteList))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, message.Because(err, "command.site.unreadable", "folder", folder)
	}
	var files siteFiles
	if json.Unmarshal(text, &files) != nil || !strings.HasPrefix(files.Site, "whistlestop-") {
		return nil, nil // a file of somebody else, which will be found in the way
	}
	return files.Files, nil
}

// replaceFile writes a file so that whoever reads it meanwhile gets the old or
// the new one, and so that a stick may be pulled out afterwards. A web host has to
// be able to read it, so everybody may.
func replaceFile(path string, content []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return durable.Write(durable.Public(), path, content)
}

func sha256Hex(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:])
}
