package onpaper_test

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/card"
	"whistlestop/game/card/onpaper"
	"whistlestop/game/rules"
)

// english are texts as short as those of the program.
type english struct{}

func (english) Text(key string, args rules.Args) string {
	parts := strings.Split(key, ".")
	text := parts[len(parts)-1]
	for _, arg := range args {
		text += " " + arg.Text
	}
	return text
}

// prose is a sentence of so many letters, in words as people write them.
func prose(letters int) string {
	const words = "Slide the upper drawer open until its wheel stands still, then hold the latch down and read what the display says before you let it go again. "
	return strings.TrimSpace(strings.Repeat(words, letters/len(words)+1)[:letters])
}

// crowded is a card with so many steps a happening, of so many letters each, each with keys,
// and a photo on which every key is marked.
func crowded(tb interface{ Fatal(...any) }, each, letters int) card.Card {
	c := card.Card{ID: "crowded", Rink: "Northmole Ice House", Board: card.Board{PenaltyLines: 2, NumberDigits: 1, MostMinutes: 10}}
	c.Words = card.Words{Home: "home", Visitors: "guest", Officials: "officials"}
	names := []string{"tall dial", "latch", "sponge key", "home bell", "guest bell", "home drawer", "guest drawer"}
	for d := range 10 {
		names = append(names, strconv.Itoa(d))
	}
	k := &card.Console{Rows: []string{strings.Join(names[:7], ", "), strings.Join(names[7:], ", ")}}
	for i, name := range names {
		k.Marks = append(k.Marks, card.Mark{Key: name, X: 20 + 110*(i%8), Y: 200 + 240*(i/8), Width: 90, Height: 180})
	}
	c.Console = k
	for _, when := range card.Whens {
		t := card.Template{When: when}
		for range each {
			t.Do, t.Press = append(t.Do, prose(letters)), append(t.Press, `tall dial, latch, "Time", sponge key`)
		}
		c.Steps = append(c.Steps, t)
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, image.NewGray(image.Rect(0, 0, 1600, 900)), nil); err != nil {
		tb.Fatal(err)
	}
	c.Picture = out.Bytes()
	return c
}

// TestTheLargestCardOfTheReader: sixty steps of a hundred and twenty letters, each with its
// keys. It is said that they do not fit and what to shorten; shorter by what was said they
// stand on one page with the photo, in letters that can be read.
func TestTheLargestCardOfTheReader(t *testing.T) {
	c := crowded(t, 4, 120)
	for _, paper := range []onpaper.Paper{onpaper.A4, onpaper.Letter} {
		p := onpaper.Make(c, paper, english{}, onpaper.Width)
		if !p.Crowded() || !p.Printable() || p.Over <= 0 || len(p.Longest) != 3 || p.Pages() != 2 {
			t.Fatalf("%+v: over %.2f, %v, %d pages", paper, p.Over, p.Longest, p.Pages())
		}
		t.Logf("%+v: over by %.0f%%", paper, 100*p.Over)
	}
	told := onpaper.Told(c, english{})
	if len(told) != 1 || !strings.HasPrefix(told[0], "photo ") {
		t.Fatalf("%q", told)
	}
	worst := max(onpaper.Make(c, onpaper.A4, english{}, onpaper.Width).Over, onpaper.Make(c, onpaper.Letter, english{}, onpaper.Width).Over)
	shorter := crowded(t, 4, int(120/(1+1.6*worst)))
	if told := onpaper.Told(shorter, english{}); len(told) > 0 {
		t.Errorf("%q, with %d letters a step", told, len(shorter.Steps[0].Do[0]))
	}
}

// TestCrowdedCardsStandOnOnePage: what people write, and a good deal more, stands on one page
// with the photo; each layout is used for some card, and nothing lies beyond the edge or
// over something else.
func TestCrowdedCardsStandOnOnePage(t *testing.T) {
	for _, one := range []struct{ each, letters int }{{1, 60}, {1, 120}, {2, 60}, {2, 90}, {3, 50}, {4, 85}} {
		c := crowded(t, one.each, one.letters)
		for _, paper := range []onpaper.Paper{onpaper.A4, onpaper.Letter} {
			p := onpaper.Make(c, paper, english{}, onpaper.Width)
			if p.Crowded() || p.Points < 7 || p.Photo == nil {
				t.Errorf("%+v, %+v: over %.2f, %.2f points", one, paper, p.Over, p.Points)
			}
			sound(t, p)
		}
	}
}

// sound holds that every piece is on its page and that no two texts lie over each other.
func sound(t interface{ Errorf(string, ...any) }, p onpaper.Plan) {
	type line struct{ x, y, to float64 }
	for _, list := range [][]onpaper.Piece{p.First, p.Second} {
		lines := map[string][]line{}
		for _, one := range list {
			to := one.X + one.Width
			if one.Text != "" {
				to = one.X + onpaper.Width(one.Style, strings.TrimRight(one.Text, " "))*one.Points
			}
			if one.X < onpaper.Margin-0.01 || to > p.Paper.Width-onpaper.Margin+0.01 || one.Y < onpaper.Margin-0.01 || one.Y+one.Height > p.Paper.Height-onpaper.Margin+0.01 {
				t.Errorf("%q is beyond the page: %.1f to %.1f, at %.1f", one.Text, one.X, to, one.Y)
			}
			if strings.TrimSpace(one.Text) == "" {
				continue
			}
			key := fmt.Sprintf("%.2f", one.Y)
			for _, other := range lines[key] {
				if one.X < other.to-0.01 && other.x < to-0.01 {
					t.Errorf("%q lies over another text at %.1f,%.1f", one.Text, one.X, one.Y)
				}
			}
			lines[key] = append(lines[key], line{one.X, one.Y, to})
		}
	}
}

// TestAnyCardIsPlacedSoundly: whatever is on a card, what is placed lies on its page and not
// over something else, and all of it is there.
func TestAnyCardIsPlacedSoundly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := crowded(t, rapid.IntRange(1, 4).Draw(t, "steps"), rapid.IntRange(5, 120).Draw(t, "letters"))
		if rapid.Bool().Draw(t, "no photo") {
			c.Picture = nil
		}
		for range rapid.IntRange(0, 20).Draw(t, "troubles") {
			c.Trouble = append(c.Trouble, card.Trouble{Shows: prose(rapid.IntRange(1, 120).Draw(t, "shows")), Do: prose(rapid.IntRange(1, 120).Draw(t, "do"))})
		}
		p := onpaper.Make(c, rapid.SampledFrom([]onpaper.Paper{onpaper.A4, onpaper.Letter}).Draw(t, "paper"), english{}, onpaper.Width)
		sound(t, p)
		if p.Points == 0 {
			return
		}
		said := ""
		for _, one := range p.First {
			if one.Role == onpaper.Part {
				said += one.Text
			}
		}
		for _, step := range c.Steps {
			if want := strings.Join(strings.Fields(step.Do[0]), " "); !strings.Contains(said, want) {
				t.Fatalf("%q is not on the page", want)
			}
		}
	})
}

// TestWhatIsWrongStandsOnItsPage: the most that the reader takes of what is plugged in, the
// troubles and the contacts, as people write, is one page.
func TestWhatIsWrongStandsOnItsPage(t *testing.T) {
	c := crowded(t, 1, 40)
	for range 20 {
		c.Plugged = append(c.Plugged, prose(120))
		c.Trouble = append(c.Trouble, card.Trouble{Shows: prose(120), Do: prose(120)})
		c.Contacts = append(c.Contacts, card.Contact{Who: prose(60), Call: prose(60)})
	}
	for _, paper := range []onpaper.Paper{onpaper.A4, onpaper.Letter} {
		p := onpaper.Make(c, paper, english{}, onpaper.Width)
		if p.NoSecond || p.Pages() != 2 {
			t.Fatalf("%+v: %d pages", paper, p.Pages())
		}
		sound(t, p)
	}
	c.Plugged = slices.Repeat([]string{strings.Repeat("冰", 119)}, 20) // of a face whose letters are as wide as high
	for i := range c.Trouble {
		c.Trouble[i] = card.Trouble{Shows: c.Plugged[0], Do: c.Plugged[0]}
	}
	if told := onpaper.Told(c, english{}); len(told) != 1 || told[0] != "second" {
		t.Errorf("%q", told)
	}
}
