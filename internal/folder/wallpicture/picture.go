package wallpicture

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"image"
	"image/jpeg"
	"image/png"
	"io/fs"
	"path/filepath"
	"sync"

	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
)

const (
	// Most is the most bytes of a picture, as it is sent and as it is kept.
	Most = 4 << 20
	// pointsMost is the most points of a picture, as many as a large screen has: a
	// small file that unpacks to a huge one must not fill the memory.
	pointsMost = 3840 * 2160
	quality    = 88 // of a JPEG that is written anew
)

// picture is the picture that is kept.
type picture struct {
	raw   []byte
	media string
	id    string // another one with every other picture
}

// File is where the picture is kept. It is safe for use by many goroutines.
type File struct {
	path string
	disk durable.Disk

	mutex sync.Mutex
	read  bool
	kept  picture
}

// At returns the picture of a file, which need not be there.
func At(path string) *File { return &File{path: path, disk: durable.Lenient(durable.System())} }

// Get returns the picture, its media type and an id that changes with it. No bytes:
// none is kept. A file that is no picture counts as none.
func (f *File) Get() (raw []byte, media, id string, err error) {
	one, err := f.get()
	return one.raw, one.media, one.id, err
}

func (f *File) get() (picture, error) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if f.read {
		return f.kept, nil
	}
	raw, err := f.disk.Read(f.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		raw = nil
	case err != nil:
		return picture{}, err
	}
	f.read, f.kept = true, picture{}
	if media, why := check(raw); why == nil {
		f.kept = named(raw, media)
	}
	return f.kept, nil
}

// Keep puts a file in the place of the picture, if it is one that can be shown.
func (f *File) Keep(file []byte) error {
	raw, media, err := anew(file)
	if err != nil {
		return err
	}
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if err := durable.MakeFolder(filepath.Dir(f.path)); err != nil {
		return err
	}
	if err := durable.Write(f.disk, f.path, raw); err != nil {
		return err
	}
	f.read, f.kept = true, named(raw, media)
	return nil
}

// Remove takes the picture away.
func (f *File) Remove() error {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if err := f.disk.Remove(f.path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	f.read, f.kept = true, picture{}
	return f.disk.SyncFolder(filepath.Dir(f.path))
}

func named(raw []byte, media string) picture {
	sum := sha256.Sum256(raw)
	return picture{raw: raw, media: media, id: hex.EncodeToString(sum[:8])}
}

// check says which kind of picture a file is by what is in it, or why it is none
// that can be shown. It reads no more than the head of the file.
func check(file []byte) (media string, err error) {
	if len(file) > Most {
		return "", message.New("wall_picture.large", "most", Most>>20)
	}
	size, kind, err := image.DecodeConfig(bytes.NewReader(file))
	if err != nil || kind != "png" && kind != "jpeg" { // other packages may have brought other kinds
		return "", message.New("wall_picture.unread")
	}
	if size.Width*size.Height > pointsMost {
		return "", message.New("wall_picture.points")
	}
	return "image/" + kind, nil
}

// anew reads a picture and writes it again.
func anew(file []byte) (raw []byte, media string, err error) {
	if media, err = check(file); err != nil {
		return nil, "", err
	}
	points, _, err := image.Decode(bytes.NewReader(file))
	if err != nil {
		return nil, "", message.New("wall_picture.unread")
	}
	var out bytes.Buffer
	if media == "image/jpeg" {
		err = jpeg.Encode(&out, points, &jpeg.Options{Quality: quality})
	} else {
		err = png.Encode(&out, points)
	}
	if err == nil && out.Len() > Most {
		err = message.New("wall_picture.large", "most", Most>>20)
	}
	return out.Bytes(), media, err
}
