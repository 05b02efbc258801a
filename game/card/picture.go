package card

import (
	"bytes"
	"encoding/base64"
	"image"
	"image/jpeg"
	"strings"

	"whistlestop/game/message"
)

// Mark is where something is on the picture of the console: a rectangle in
// thousandths of the picture's width and height, from its upper left corner.
type Mark struct {
	Key    string `json:"key,omitempty" toml:"key"` // its name; "": the display
	X      int    `json:"x" toml:"x"`
	Y      int    `json:"y" toml:"y"`
	Width  int    `json:"width" toml:"width"`
	Height int    `json:"height" toml:"height"`
}

const (
	// PictureMost is the most bytes of a picture.
	PictureMost = 200 << 10
	// FileMost is the most bytes of a card file with its picture in it.
	FileMost = bytesMost + PictureMost*3/2

	sideMost  = 2400 // points of a picture's longer side: a small file must not unpack to a huge one
	markWhole = 1000
	markLeast = 5
	textWidth = 96 // letters of a line of the picture in a file
)

// pictureLine begins the picture in a card file. It and the lines after it are comments
// of the file, so that the picture travels with the text and the text stays what it was.
const pictureLine = "#picture: jpeg base64"

const pictureMark = "#picture:"

// Cut divides a card file into its text and the picture that it carries at its end;
// nil: it carries none. Raw is the picture as it is, to be checked.
func Cut(file []byte) (text, raw []byte, err error) {
	at := bytes.Index(file, []byte("\n"+pictureMark))
	if at < 0 {
		return file, nil, nil
	}
	text = file[:at+1]
	_, lines, _ := bytes.Cut(file[at+1:], []byte("\n"))
	var letters strings.Builder
	for line := range strings.SplitSeq(string(lines), "\n") {
		line = strings.TrimSpace(line)
		if rest, is := strings.CutPrefix(line, "#"); is {
			letters.WriteString(strings.TrimSpace(rest))
		} else if line != "" {
			return text, nil, message.New("card_file.picture_lines")
		}
	}
	raw, err = base64.StdEncoding.DecodeString(letters.String())
	if err != nil || len(raw) == 0 {
		return text, nil, message.New("card_file.picture_lines")
	}
	return text, raw, nil
}

// Join is a card's text and its picture in one file; without a picture it is the text.
func Join(text, picture []byte) []byte {
	if len(picture) == 0 {
		return text
	}
	out := bytes.Clone(text)
	if len(out) > 0 && out[len(out)-1] != '\n' {
		out = append(out, '\n')
	}
	out = append(append(out, pictureLine...), '\n')
	for letters := base64.StdEncoding.EncodeToString(picture); letters != ""; {
		n := min(textWidth, len(letters))
		out = append(append(append(out, "# "...), letters[:n]...), '\n')
		letters = letters[n:]
	}
	return out
}

// CheckPicture says what is wrong with a picture. It reads no more than its head.
func CheckPicture(raw []byte) error {
	if len(raw) > PictureMost {
		return message.New("card_file.picture_large", "most", PictureMost>>10)
	}
	size, err := jpeg.DecodeConfig(bytes.NewReader(raw))
	if err != nil {
		return message.New("card_file.picture_unread")
	}
	if max(size.Width, size.Height) > sideMost || min(size.Width, size.Height) < 16 {
		return message.New("card_file.picture_size", "least", 16, "most", sideMost)
	}
	return nil
}

// AnewPicture reads a picture and writes it again, so that nothing of the file goes on
// but its points: not where a photo was taken, and nothing that hides in a file.
func AnewPicture(raw []byte) ([]byte, error) {
	if err := CheckPicture(raw); err != nil {
		return nil, err
	}
	points, err := jpeg.Decode(bytes.NewReader(raw))
	if err != nil {
		return nil, message.New("card_file.picture_unread")
	}
	return writePicture(points)
}

// writePicture writes points as a picture of a card, as well as its size allows.
func writePicture(points image.Image) ([]byte, error) {
	for quality := 85; quality >= 25; quality -= 15 {
		var out bytes.Buffer
		if err := jpeg.Encode(&out, points, &jpeg.Options{Quality: quality}); err != nil {
			return nil, message.New("card_file.picture_unread")
		}
		if out.Len() <= PictureMost {
			return out.Bytes(), nil
		}
	}
	return nil, message.New("card_file.picture_large", "most", PictureMost>>10)
}

// checkMarks returns the first fault of what the card says of the picture.
func (c Card) checkMarks() (place, error) {
	at := place{key: "marks", field: "marks"}
	seen := map[string]bool{}
	for _, m := range c.Console.Marks {
		switch {
		case !c.Console.Has(m.Key):
			return at, c.noKey(m.Key)
		case seen[m.Key]:
			return at, message.New("card_file.mark_twice", "key", message.Plain(m.Key))
		case !m.inside():
			return at, message.New("card_file.mark", "key", message.Plain(m.Key), "most", markWhole, "least", markLeast)
		}
		seen[m.Key] = true
	}
	if d := c.Console.Display; d != nil && (d.Key != "" || !d.inside()) {
		return place{key: "display", field: "marks"}, message.New("card_file.mark_display", "most", markWhole, "least", markLeast)
	}
	return place{}, nil
}

func (m Mark) inside() bool {
	return m.X >= 0 && m.Y >= 0 && m.Width >= markLeast && m.Height >= markLeast &&
		m.X <= markWhole-m.Width && m.Y <= markWhole-m.Height && m.Width <= markWhole && m.Height <= markWhole
}
