package main

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// file is one that goes into an archive.
type file struct {
	name string // in the archive, with slashes
	from string
	runs bool // it is a program
}

// date stands for every file: when something was made changes no byte. It is the
// first that a zip can hold.
var date = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

func (f file) mode() fs.FileMode {
	if f.runs {
		return 0o755
	}
	return 0o644
}

func packTar(at string, files []file) error {
	return create(at, func(w io.Writer) error {
		packed := gzip.NewWriter(w)
		archive := tar.NewWriter(packed)
		for _, f := range files {
			text, err := os.ReadFile(f.from)
			if err != nil {
				return err
			}
			if err := archive.WriteHeader(&tar.Header{Name: f.name, Mode: int64(f.mode()), Size: int64(len(text)), ModTime: date, Format: tar.FormatUSTAR}); err != nil {
				return err
			}
			if _, err := archive.Write(text); err != nil {
				return err
			}
		}
		return errors.Join(archive.Close(), packed.Close())
	})
}

func packZip(at string, files []file) error {
	return create(at, func(w io.Writer) error {
		archive := zip.NewWriter(w)
		for _, f := range files {
			text, err := os.ReadFile(f.from)
			if err != nil {
				return err
			}
			header := &zip.FileHeader{Name: f.name, Method: zip.Deflate, Modified: date}
			header.SetMode(f.mode())
			into, err := archive.CreateHeader(header)
			if err != nil {
				return err
			}
			if _, err := into.Write(text); err != nil {
				return err
			}
		}
		return archive.Close()
	})
}

// packFolder packs a folder as it is, under another name.
func packFolder(at, folder, name string) error {
	list, err := filesBelow(folder)
	if err != nil {
		return err
	}
	var files []file
	for _, one := range list {
		files = append(files, file{name + "/" + filepath.ToSlash(one), filepath.Join(folder, one), false})
	}
	return packZip(at, files)
}

// filesBelow are the files in and below a folder, by name.
func filesBelow(folder string) ([]string, error) {
	var list []string
	err := filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		below, err := filepath.Rel(folder, path)
		list = append(list, below)
		return err
	})
	slices.Sort(list)
	return list, err
}

func create(at string, write func(io.Writer) error) error {
	out, err := os.Create(at)
	if err != nil {
		return err
	}
	return errors.Join(write(out), out.Close())
}
