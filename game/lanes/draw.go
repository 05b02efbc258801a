package lanes

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Words gives the text of a key of the catalogue, with what fills its gaps as
// name and text by turns.
type Words func(key string, pairs ...string) string

// The picture in units of SVG. Everything is a whole number, so that the bytes
// are the same on every machine.
const (
	width     = 760
	nameAt    = 14
	scoreAt   = 156 // right edge
	skatersAt = 172
	numberAt  = 296 // right edge
	railAt    = 306
	railEnd   = 744
	head      = 54
	rowHigh   = 26
	rowGap    = 6
	lanePad   = 10
	laneLeast = 2*rowHigh + rowGap + 2*lanePad
)

// Draw writes the picture as one SVG document: home above, visitors below, now
// at the left edge of the rail.
func Draw(w io.Writer, p Picture, words Words) error {
	d := &drawing{picture: p, words: words, span: p.span()}
	high := head
	for i, lane := range p.Lanes {
		d.top[i] = high
		high += laneHigh(lane)
	}
	high += 6
	d.bottom = high - 6
	d.open(high)
	d.clock()
	d.rail()
	for i, lane := range p.Lanes {
		d.lane(lane, d.top[i])
	}
	d.ends()
	d.text.WriteString("</svg>\n")
	_, err := io.WriteString(w, d.text.String())
	return err
}

func laneHigh(lane Lane) int {
	return max(laneLeast, len(lane.Bars)*(rowHigh+rowGap)-rowGap+2*lanePad)
}

type drawing struct {
	text    strings.Builder
	picture Picture
	words   Words
	span    entry.Millis
	top     [2]int
	bottom  int
}

func (d *drawing) line(format string, args ...any) { fmt.Fprintf(&d.text, format+"\n", args...) }

// x is where a moment stands on the rail.
func (d *drawing) x(abs entry.Millis) int {
	at := max(0, abs-d.picture.Now.Abs)
	return railAt + int(min(at, d.span)*(railEnd-railAt)/d.span)
}

// escape makes text safe inside an element. Characters that no XML document may
// have are left out.
func escape(text string) string {
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, text)
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(text)
}

func (d *drawing) open(high int) {
	d.line(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" role="img">`, width, high, width, high)
	d.line(`<title>%s</title>`, escape(d.describe()))
	d.line(`<defs><pattern id="stripes" width="10" height="10" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">` +
		`<rect width="10" height="10" fill="#f6dfb4"/><rect width="4" height="10" fill="#e3bd72"/></pattern></defs>`)
	d.line(`<style>text{font-family:"Barlow Condensed","Helvetica Neue",Arial,sans-serif;font-size:17px;fill:#0b1c24}` +
		`.small{font-size:13px;fill:#3b505a}.big{font-size:34px;font-weight:700}.bold{font-weight:700}.end{text-anchor:end}` +
		`.halo{paint-order:stroke;stroke:#fff;stroke-width:5px;stroke-linejoin:round}</style>`)
	d.line(`<rect width="%d" height="%d" rx="10" fill="#fff" stroke="#c3d1d6"/>`, width, high)
}

// describe says the picture in one line, for those who do not see it.
func (d *drawing) describe() string {
	h, v := d.picture.Lanes[0], d.picture.Lanes[1]
	return d.words("lanes.title", "home", h.Name, "visitors", v.Name, "score", fmt.Sprintf("%d–%d", h.Score, v.Score),
		"skaters", fmt.Sprintf("%d–%d", h.Skaters, v.Skaters), "stage", d.stage(d.picture.Stage),
		"time", d.picture.Now.Left.Left())
}

func (d *drawing) stage(s entry.Stage) string {
	return d.words("stage." + string(s.Kind) + "." + strconv.Itoa(s.Number))
}

func (d *drawing) clock() {
	d.line(`<text class="big" x="%d" y="40">%s</text>`, nameAt, d.picture.Now.Left.Left())
	d.line(`<text class="small" x="%d" y="40">%s</text>`, nameAt+104, escape(d.stage(d.picture.Stage)))
}

// rail draws now and the whole minutes of the game clock.
func (d *drawing) rail() {
	for _, m := range d.picture.marks(d.span) {
		if m.ends.Kind != "" {
			continue
		}
		x := d.x(d.picture.Now.Abs + m.at)
		d.line(`<path d="M%d %dV%d" stroke="#c3d1d6"/>`, x, head, d.bottom)
		d.line(`<text class="small" x="%d" y="%d" text-anchor="middle">%s</text>`, x, head-6, m.text)
	}
	d.line(`<path d="M%d %dV%d" stroke="#0b1c24" stroke-width="2"/>`, railAt, head, d.bottom)
}

// ends draws the ends of periods across both lanes, above everything else.
func (d *drawing) ends() {
	for _, m := range d.picture.marks(d.span) {
		if m.ends.Kind == "" {
			continue
		}
		x := d.x(d.picture.Now.Abs + m.at)
		d.line(`<path d="M%d %dV%d" stroke="#0b1c24" stroke-width="4"/>`, x, head-16, d.bottom)
		d.line(`<text class="small halo" x="%d" y="%d" text-anchor="middle">%s</text>`, x, head-22,
			escape(d.words("lanes.end", "stage", d.stage(m.ends))))
	}
}

func (d *drawing) lane(lane Lane, top int) {
	high := laneHigh(lane)
	middle := top + high/2
	mark := "#075b56"
	if lane.Side == entry.Visitors {
		mark = "#8a5600"
	}
	d.line(`<path d="M%d %dH%d" stroke="#c3d1d6" stroke-width="2"/>`, nameAt, top, width-nameAt)
	d.line(`<text class="bold" x="%d" y="%d">%s</text>`, nameAt, middle+6, escape(lane.Name))
	d.line(`<text class="big end" x="%d" y="%d">%d</text>`, scoreAt, middle+12, lane.Score)
	for i := range max(lane.Full, lane.Skaters) {
		x, y := skatersAt+10+i%3*21, middle-10+i/3*21
		switch {
		case i >= lane.Skaters:
			d.line(`<circle cx="%d" cy="%d" r="7" fill="none" stroke="#6b828c" stroke-dasharray="3 3"/>`, x, y)
		case lane.Side == entry.Home:
			d.line(`<circle cx="%d" cy="%d" r="8" fill="%s"/>`, x, y, mark)
		default:
			d.line(`<circle cx="%d" cy="%d" r="6" fill="none" stroke="%s" stroke-width="4"/>`, x, y, mark)
		}
	}
	block := len(lane.Bars)*(rowHigh+rowGap) - rowGap
	for i, bar := range lane.Bars {
		d.bar(lane.Side, bar, top+(high-block)/2+i*(rowHigh+rowGap), mark)
	}
}

// bar draws one line: who, from now to the release, and when that is.
func (d *drawing) bar(side entry.Side, bar Bar, y int, mark string) {
	who := string(bar.Player)
	switch {
	case bar.Bench:
		who = d.words("player.bench")
	case who == "":
		who = "?"
	}
	d.line(`<text class="bold end" x="%d" y="%d">%s</text>`, numberAt, y+19, escape(who))
	fill := "#bde4df"
	if side == entry.Visitors {
		fill = "url(#stripes)"
	}
	end := railAt
	for i, piece := range bar.Pieces {
		from, to := d.x(piece.From), d.x(piece.To)
		d.piece(piece.Style, from, to, y, fill, mark)
		if i > 0 && piece.Style == Later {
			d.line(`<path d="M%d %dv%d" stroke="%s" stroke-width="3"/>`, from, y, rowHigh, mark)
		}
		end = max(end, to)
	}
	after := end
	if bar.Open() {
		after = d.tail(end, y, bar.Last().Style, mark)
	}
	d.label(d.out(bar), bar.Last().Style, end, after, y)
}

// letterWide is how wide a letter of a label is taken to be.
const letterWide = 7

// label writes when whoever sits leaves: behind the bar, or at its end inside it
// where there is no room. Over a thin bar it stands above the line.
func (d *drawing) label(text string, last Style, end, after, y int) {
	class := "small"
	switch {
	case after+8+letterWide*len(text) <= railEnd:
		d.line(`<text class="small halo" x="%d" y="%d">%s</text>`, after+8, y+18, escape(text))
		return
	case last == Misconduct:
		class, y = "small halo", y-10
	case last == Matched:
		class = "small halo"
	}
	d.line(`<text class="%s end" x="%d" y="%d">%s</text>`, class, end-8, y+18, escape(text))
}

// piece draws one piece of a bar by its style.
func (d *drawing) piece(s Style, from, to, y int, fill, mark string) {
	top, high, dash := y, rowHigh, ""
	switch s {
	case Over:
		return
	case Misconduct:
		top, high = y+9, rowHigh-18
	case Matched:
		top, high, fill, dash = y+4, rowHigh-8, "none", ` stroke-dasharray="2 4"`
	case Waiting:
		fill, dash = "none", ` stroke-dasharray="8 5"`
	case Running, Later:
	}
	d.line(`<rect x="%d" y="%d" width="%d" height="%d" fill="%s" stroke="%s" stroke-width="2"%s/>`,
		from, top, max(2, to-from), high, fill, mark, dash)
}

// tail draws an end that is open: out at a whistle. It returns where it ends.
func (d *drawing) tail(x, y int, s Style, mark string) int {
	top, high := y, rowHigh
	switch s {
	case Misconduct:
		top, high = y+8, rowHigh-16
	case Matched:
		top, high = y+3, rowHigh-6
	case Running, Later, Waiting, Over:
	}
	x = min(x, railEnd-30)
	for i, strength := range []string{"0.9", "0.6", "0.3"} {
		d.line(`<path d="M%d %dv%d" stroke="%s" stroke-width="4" opacity="%s"/>`, x+6+8*i, top, high, mark, strength)
	}
	return x + 26
}

// out says when whoever sits leaves.
func (d *drawing) out(bar Bar) string {
	last := bar.Last()
	end := last.Term.End
	switch {
	case last.Held():
		return d.words("lanes.held", "time", last.Term.Out.Left.Left())
	case last.Style == Over:
		return d.words("lanes.next_whistle")
	case end.Left == 0 && d.atTheEnd(end):
		return d.words("lanes.after_game")
	case bar.Open():
		return d.words("lanes.whistle_after", "time", end.Left.Left())
	default:
		return d.words("lanes.out", "time", end.Left.Left())
	}
}

// atTheEnd reports whether a moment lies in the last period, or beyond it.
func (d *drawing) atTheEnd(m rules.Moment) bool {
	return m.Period == d.picture.Periods[len(d.picture.Periods)-1].Period
}
