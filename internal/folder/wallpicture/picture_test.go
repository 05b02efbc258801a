package wallpicture

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/internal/locale"
)

func points(width, height int) image.Image {
	picture := image.NewRGBA(image.Rect(0, 0, width, height))
	for x := range width {
		picture.Set(x, 0, color.RGBA{R: uint8(x), G: 90, B: 160, A: 255})
	}
	return picture
}

func aPNG(t *testing.T, width, height int) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := png.Encode(&out, points(width, height)); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// saysItIs changes what the head of a PNG says of its size: more than that of a picture
// that is too large is not to be read.
func saysItIs(file []byte, width, height uint32) []byte {
	file = bytes.Clone(file)
	head := file[12:29] // the chunk IHDR, of which a checksum follows
	binary.BigEndian.PutUint32(head[4:], width)
	binary.BigEndian.PutUint32(head[8:], height)
	binary.BigEndian.PutUint32(file[29:], crc32.ChecksumIEEE(head))
	return file
}

func aJPEG(t *testing.T) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, points(40, 30), nil); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestAPictureIsKeptAndTakenAway(t *testing.T) {
	path := filepath.Join(t.TempDir(), "there/picture")
	f := At(path)
	if got, err := f.get(); err != nil || got.raw != nil {
		t.Fatalf("%+v, %v", got, err)
	}
	seen := map[string]bool{"": true}
	for media, file := range map[string][]byte{"image/png": aPNG(t, 30, 20), "image/jpeg": aJPEG(t)} {
		if err := f.Keep(file); err != nil {
			t.Fatal(err)
		}
		got, err := At(path).get() // as after a start
		if err != nil || got.media != media || seen[got.id] {
			t.Errorf("%s: kept as %s with %q, %v", media, got.media, got.id, err)
		}
		seen[got.id] = true
		if same, err := f.get(); err != nil || same.id != got.id {
			t.Errorf("%s: %+v, %v", media, same, err)
		}
	}
	for range 2 {
		if err := f.Remove(); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := At(path).get(); err != nil || got.raw != nil {
		t.Errorf("%+v, %v", got, err)
	}
}

// Nothing of the file but its points goes on: a photo says where it was taken.
func TestWhatHidesInAPictureIsLeftOut(t *testing.T) {
	file := aJPEG(t)
	where := []byte("Exif\x00\x00 taken at home, 12 Pier Lane")
	segment := append([]byte{0xff, 0xe1, 0, byte(len(where) + 2)}, where...)
	file = append(append(append([]byte{}, file[:2]...), segment...), file[2:]...)
	file = append(file, "<script>"...)
	f := At(filepath.Join(t.TempDir(), "picture"))
	if err := f.Keep(file); err != nil {
		t.Fatal(err)
	}
	if got, err := f.get(); err != nil || bytes.Contains(got.raw, []byte("Pier Lane")) || bytes.Contains(got.raw, []byte("<script>")) {
		t.Errorf("it went along, %v", err)
	}
}

func TestWhatIsNoPictureIsRefused(t *testing.T) {
	var film bytes.Buffer
	if err := gif.Encode(&film, points(4, 4), nil); err != nil {
		t.Fatal(err)
	}
	good := aPNG(t, 30, 20)
	f := At(filepath.Join(t.TempDir(), "picture"))
	if err := f.Keep(good); err != nil {
		t.Fatal(err)
	}
	before, _ := f.get()
	for name, one := range map[string]struct {
		file []byte
		says string
	}{
		"nothing":      {nil, "neither a PNG nor a JPEG"},
		"a drawing":    {[]byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`), "neither a PNG nor a JPEG"},
		"a film":       {film.Bytes(), "neither a PNG nor a JPEG"},
		"a page":       {append([]byte("<html>"), good...), "neither a PNG nor a JPEG"},
		"half of one":  {good[:len(good)/2], "neither a PNG nor a JPEG"},
		"a huge one":   {saysItIs(good, 3841, 2160), "3840"},
		"a large file": {append(append([]byte{}, good...), make([]byte, Most)...), "4 MB"},
	} {
		err := f.Keep(one.file)
		if err == nil || !strings.Contains(locale.English().Error(err), one.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if after, err := f.get(); err != nil || after.id != before.id {
		t.Errorf("the picture that was there is gone, %v", err)
	}
}

// Somebody put something else in the place of the picture: there is none.
func TestAFileThatIsNoPictureIsNotGivenOut(t *testing.T) {
	path := filepath.Join(t.TempDir(), "picture")
	if err := os.WriteFile(path, []byte("<html>"), 0o600); err != nil {
		t.Fatal(err)
	}
	if got, err := At(path).get(); err != nil || got.raw != nil {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestAFolderThatCannotBe(t *testing.T) {
	path := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := At(filepath.Join(path, "picture")).Keep(aPNG(t, 3, 3)); err == nil {
		t.Error("a picture was kept in a file")
	}
}
