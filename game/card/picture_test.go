package card_test

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/card"
	"whistlestop/internal/locale"
)

// drawn is a picture made for a test: a rectangle of another colour for each key.
func drawn(t interface{ Fatal(...any) }, width, height, keys int) []byte {
	picture := image.NewRGBA(image.Rect(0, 0, width, height))
	for x := range width {
		for y := range height {
			picture.Set(x, y, color.RGBA{R: uint8(40 + 20*(x*keys/width)), G: uint8(y), B: 160, A: 255})
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, picture, nil); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

const pictured = `id = "north"
rink = "North Rink"
[console]
rows = ["bell, door"]
[[steps]]
when = "horn"
do = ["Ring the bell."]
press = ["bell"]
`

const marked = `marks = [
  { key = "bell", x = 100, y = 200, width = 150, height = 300 },
  { key = "door", x = 600, y = 200, width = 400, height = 800 },
]
display = { x = 0, y = 0, width = 1000, height = 120 }
`

func withMarks(marks string) string {
	return strings.Replace(pictured, "[[steps]]", marks+"[[steps]]", 1)
}

func TestAPictureTravelsWithItsCard(t *testing.T) {
	picture := drawn(t, 320, 200, 4)
	file := card.Join([]byte(withMarks(marked)), picture)
	c, err := card.Parse(file, "north.toml")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(c.Picture, picture) || len(c.Console.Marks) != 2 || c.Console.Marks[1].Width != 400 || c.Console.Display == nil {
		t.Fatalf("%+v", c.Console)
	}
	text, raw, err := card.Cut(file)
	if err != nil || string(text) != withMarks(marked) || !bytes.Equal(raw, picture) {
		t.Errorf("cut into %q and %d bytes, %v", text, len(raw), err)
	}
	again, err := card.Parse(card.Write(c), "again.toml")
	if err != nil || !bytes.Equal(again.Picture, picture) || *again.Console.Display != *c.Console.Display {
		t.Errorf("%+v, %v", again.Console, err)
	}
	form := card.FormOf(c)
	if saved, err := form.File(); err != nil || !bytes.Contains(saved, []byte("\n#picture:")) {
		t.Errorf("the form's file has no picture: %v", err)
	}
}

// Without a picture a file is what it always was.
func TestACardWithoutAPictureIsItsText(t *testing.T) {
	if got := card.Join([]byte(pictured), nil); string(got) != pictured {
		t.Errorf("%s", got)
	}
	text, raw, err := card.Cut([]byte(pictured))
	if string(text) != pictured || raw != nil || err != nil {
		t.Errorf("%s, %d, %v", text, len(raw), err)
	}
}

func TestWhatIsNoPictureIsSaid(t *testing.T) {
	good := drawn(t, 320, 200, 4)
	huge := bytes.Clone(good)
	// The head of a JPEG says its height and width two bytes each, five after the marker
	// of the frame (ITU-T T.81, B.2.2).
	at := bytes.Index(huge, []byte{0xff, 0xc0})
	huge[at+5], huge[at+6], huge[at+7], huge[at+8] = 0xea, 0x60, 0xea, 0x60
	for name, one := range map[string]struct {
		raw  []byte
		says string
	}{
		"a page":   {[]byte("<html>"), "no picture"},
		"too long": {append(bytes.Clone(good), make([]byte, card.PictureMost)...), "200 kB"},
		"huge":     {huge, "2400 points"},
		"tiny":     {drawn(t, 8, 8, 1), "2400 points"},
		"archive":  {append([]byte("PK\x03\x04"), make([]byte, 400)...), "no picture"},
	} {
		_, err := card.Parse(card.Join([]byte(pictured), one.raw), "north.toml")
		if err == nil || !strings.Contains(locale.English().Error(err), one.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, file := range map[string]string{
		"no base64": pictured + "#picture: a JPEG\n# ???\n",
		"cut short": pictured + "#picture: a JPEG\n# /9j\n",
		"a setting": pictured + "#picture: a JPEG\n# AAAA\nid = \"x\"\n",
		"nothing":   pictured + "#picture: a JPEG\n",
	} {
		if _, err := card.Parse([]byte(file), "north.toml"); err == nil || !strings.Contains(locale.English().Error(err), "not whole") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestMarksAreOnThePicture(t *testing.T) {
	for from, says := range map[string]string{
		`key = "bell"|key = "belt"`:       `no key "belt"`,
		`key = "door"|key = "bell"`:       "marked twice",
		"x = 100, y|x = -1, y":            "not on the picture",
		"width = 400, h|width = 401, h":   "not on the picture",
		"width = 150, h|width = 2, h":     "not on the picture",
		"height = 120|height = 1200":      "the display",
		"height = 300 }|colour = \"r\" }": "colour",
	} {
		old, now, _ := strings.Cut(from, "|")
		text := strings.Replace(withMarks(marked), old, now, 1)
		if text == withMarks(marked) {
			t.Fatalf("%s changes nothing", from)
		}
		_, err := card.Parse([]byte(text), "north.toml")
		if err == nil || !strings.Contains(locale.English().Error(err), says) {
			t.Errorf("%s: %v", from, err)
		}
	}
}

// Nothing of a photo goes on but its points: it says where it was taken.
func TestWhatHidesInAPictureIsLeftOut(t *testing.T) {
	file := drawn(t, 320, 200, 4)
	where := []byte("Exif\x00\x00 taken at home, 12 Pier Lane")
	segment := append([]byte{0xff, 0xe1, 0, byte(len(where) + 2)}, where...)
	file = append(append(append([]byte{}, file[:2]...), segment...), file[2:]...)
	file = append(file, "<script>"...)
	anew, err := card.AnewPicture(file)
	if err != nil || bytes.Contains(anew, []byte("Pier Lane")) || bytes.Contains(anew, []byte("<script>")) {
		t.Errorf("it went along, %v", err)
	}
	if err := card.CheckPicture(anew); err != nil {
		t.Error(err)
	}
	if _, err := card.AnewPicture(drawn(t, 320, 200, 4)[:200]); err == nil {
		t.Error("half a picture was taken")
	}
}

// Whatever bytes follow the line of the picture: they are refused, or come back.
func TestCutAndJoin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		raw := rapid.SliceOfN(rapid.Byte(), 1, 400).Draw(t, "raw")
		text := rapid.SampledFrom([]string{pictured, strings.TrimSuffix(pictured, "\n"), "# nothing\n"}).Draw(t, "text")
		cut, got, err := card.Cut(card.Join([]byte(text), raw))
		if err != nil || !bytes.Equal(got, raw) || strings.TrimSuffix(string(cut), "\n") != strings.TrimSuffix(text, "\n") {
			t.Fatalf("%q, %x, %v", cut, got, err)
		}
	})
}
