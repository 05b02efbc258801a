package lanes

import (
	"fmt"
	"strconv"
	"unicode/utf8"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// The picture of a whole game, in units of its drawing.
const (
	wholeWide   = 1200
	wholeLeft   = 150 // where play begins
	wholeRight  = 1160
	wholeHead   = 110
	goalsHigh   = 112 // of the strip in which goals stand
	goalAcross  = 42
	barHigh     = 26
	barStep     = 36
	numberWide  = 34 // before a bar
	letterWider = 9  // a letter of a label
	goalRaised  = 36 // how much higher a goal stands that is close to another
)

// Whole draws both lanes over a whole game: goals with who scored, penalties with
// who sat and how long, and when a side had more skaters. Played is how much was
// played, on the axis of play.
func Whole(s rules.State, played entry.Millis, words Words) Drawing {
	w := &whole{state: s, end: max(played, 1), words: words, d: Drawing{Width: wholeWide}}
	for _, span := range s.Periods {
		if span.Begun && span.Abs <= played {
			w.spans = append(w.spans, span)
			if span.Stage.Kind == entry.Period { // a period that is going on has its whole width
				w.end = max(w.end, span.Abs+span.Length)
			}
		}
	}
	home, visitors := w.packed(entry.Home), w.packed(entry.Visitors)
	tops := [2]int{wholeHead, wholeHead + laneTall(home) + 14}
	bottom := tops[1] + laneTall(visitors)
	w.d.Height = bottom + 68
	w.box(0, 0, wholeWide, w.d.Height, white, Clear, 0)
	w.lane(entry.Home, tops[0], home)
	w.lane(entry.Visitors, tops[1], visitors)
	w.periods(bottom)
	w.above(entry.Home, tops[0], home)
	w.above(entry.Visitors, tops[1], visitors)
	w.head()
	w.key(bottom + 30)
	return w.d
}

type whole struct {
	state rules.State
	end   entry.Millis
	words Words
	spans []rules.PeriodSpan
	d     Drawing
}

// stretch is a bar of the box.
type stretch struct {
	term   rules.Term
	from   int
	to     int
	number string
}

func laneTall(rows [][]stretch) int { return goalsHigh + max(1, len(rows))*barStep + 10 }

func (w *whole) x(abs entry.Millis) int {
	return wholeLeft + int(min(max(abs, 0), w.end)*(wholeRight-wholeLeft)/w.end)
}

// packed puts the penalties of a side into as few rows as hold them.
func (w *whole) packed(side entry.Side) [][]stretch {
	var rows [][]stretch
	for _, t := range inOrder(w.state.Terms) {
		if t.Side != side || t.Ended == rules.Wiped || t.Ended == rules.NotServed || t.Length == 0 || t.Start.Abs >= w.end {
			continue
		}
		one := stretch{term: t, from: w.x(t.Start.Abs), to: max(w.x(t.End.Abs), w.x(t.Start.Abs)+3), number: string(t.Player)}
		switch {
		case t.Bench:
			one.number = w.words("player.bench")
		case t.Player == "":
			one.number = "?"
		}
		placed := false
		for i, row := range rows {
			if last := row[len(row)-1]; last.to+8 <= one.from-numberWide {
				rows[i], placed = append(row, one), true
				break
			}
		}
		if !placed {
			rows = append(rows, []stretch{one})
		}
	}
	return rows
}

func (w *whole) add(s Shape) { w.d.Shapes = append(w.d.Shapes, s) }

func (w *whole) box(x, y, width, height int, fill, line Tone, thick int) {
	w.add(Shape{Kind: Box, X: x, Y: y, Width: width, Height: height, Fill: fill, Line: line, Thick: thick})
}

func (w *whole) straight(x, y, width, height int, line Tone, thick int) {
	w.add(Shape{Kind: Straight, X: x, Y: y, Width: width, Height: height, Line: line, Thick: thick})
}

func (w *whole) label(x, y, size int, text string, bold bool, anchor Anchor, fill Tone) {
	w.add(Shape{Kind: Label, X: x, Y: y, Size: size, Text: text, Bold: bold, Anchor: anchor, Fill: fill})
}

func (w *whole) head() {
	h, v := w.state.Teams[0], w.state.Teams[1]
	score := fmt.Sprintf("%d–%d", h.Score, v.Score)
	title := h.Name + "  " + score + "  " + v.Name
	w.label(14, 44, max(14, min(36, 36*56/max(1, letters(title)))), title, true, Start, ink)
	w.label(wholeRight, 44, 20, w.state.Info.Date, false, End, soft)
	w.d.Title = w.words("lanes.whole", "home", h.Name, "visitors", v.Name, "score", score)
}

// periods draws where each begins and ends, above everything else, and every five
// minutes of play.
func (w *whole) periods(bottom int) {
	for _, span := range w.spans {
		from, to := w.x(span.Abs), w.x(span.Abs+span.Length)
		w.straight(from, wholeHead-4, 0, bottom-wholeHead+4, ink, 3)
		w.straight(to, wholeHead-4, 0, bottom-wholeHead+4, ink, 3)
		name := w.words("stage." + string(span.Stage.Kind) + "." + strconv.Itoa(span.Stage.Number))
		if to-from > letterWider*letters(name)+8 {
			w.label((from+to)/2, wholeHead-8, 20, name, false, Middle, soft)
		} else {
			w.label(to+8, wholeHead-28, 18, name, false, End, soft)
		}
	}
}

// lane draws one side: its name, the strip of goals, and its bars.
func (w *whole) lane(side entry.Side, top int, rows [][]stretch) {
	dark, pale := homeDark, homePale
	if side == entry.Visitors {
		dark, pale = awayDark, awayPale
	}
	high := laneTall(rows)
	w.box(wholeLeft, top, wholeRight-wholeLeft, high, Clear, hair, 1)
	name := w.state.Teams[side.Index()].Name
	w.label(14, top+34, max(8, min(22, 22*14/max(1, letters(name)))), name, true, Start, ink)
	w.advantages(side, top)
	w.straight(wholeLeft, top+goalsHigh, wholeRight-wholeLeft, 0, hair, 1)
	for _, span := range w.spans {
		for at := entry.Clock(5, 0); at < span.Length; at += entry.Clock(5, 0) {
			w.straight(w.x(span.Abs+at), top, 0, high, hair, 1)
		}
	}
	for i, row := range rows {
		for _, one := range row {
			w.bar(side, one, top+goalsHigh+6+i*barStep, dark, pale)
		}
	}
}

// above draws what stands above the ends of periods: goals, and whose bar it is.
func (w *whole) above(side entry.Side, top int, rows [][]stretch) {
	for i, row := range rows {
		for _, one := range row {
			y := top + goalsHigh + 6 + i*barStep
			w.box(one.from-4-11*len(one.number), y+3, 11*len(one.number)+1, barHigh-6, white, Clear, 0)
			w.label(one.from-4, y+barHigh-6, 20, one.number, true, End, ink)
		}
	}
	dark := homeDark
	if side == entry.Visitors {
		dark = awayDark
	}
	w.goals(side, top, dark)
}

// advantages marks when a side had more skaters than the other.
func (w *whole) advantages(side entry.Side, top int) {
	i := side.Index()
	for n, step := range w.state.Strength {
		until := w.end
		if n+1 < len(w.state.Strength) {
			until = min(until, w.state.Strength[n+1].From.Abs)
		}
		if step.Skaters[i] > step.Skaters[1-i] && until > step.From.Abs {
			from := w.x(step.From.Abs)
			w.box(from, top+goalsHigh-10, max(2, w.x(until)-from), 10, hair, Clear, 0)
		}
	}
}

func (w *whole) bar(side entry.Side, one stretch, y int, dark, pale Tone) {
	shape := Shape{Kind: Box, X: one.from, Y: y, Width: one.to - one.from, Height: barHigh, Fill: pale, Line: dark, Thick: 2}
	switch style(one.term, one.term.Start.Abs) {
	case Misconduct:
		shape.Y, shape.Height = y+barHigh/2-3, 6
	case Matched:
		shape.Fill, shape.Dashed = Clear, true
	case Running, Later, Waiting, Over:
	}
	w.add(shape)
	if side == entry.Visitors && shape.Fill == pale { // stripes, so that sides differ without colour
		for x := one.from + 5; x < one.to; x += 6 {
			w.straight(x, shape.Y, 0, shape.Height, dark, 1)
		}
	}
}

// placed is a goal with its place in the strip.
type placed struct {
	rules.Goal
	x      int
	raised bool
}

// goals draws the goals of a side, with the score after each where there is room
// for it. Goals that are close to one another stand higher by turns.
func (w *whole) goals(side entry.Side, top int, dark Tone) {
	var list []placed
	for _, g := range w.state.Goals {
		if g.Side != side {
			continue
		}
		one := placed{Goal: g, x: w.x(g.Moment.Abs)}
		if n := len(list); n > 0 && one.x-list[n-1].x < goalAcross+8+letterWider*letters(w.scoreText(list[n-1].Goal)) {
			one.raised = !list[n-1].raised
		}
		list = append(list, one)
	}
	for i, g := range list {
		y := top + 62
		if g.raised {
			y -= goalRaised
		}
		w.straight(g.x, y, 0, top+goalsHigh-y, dark, 2)
		disc := Shape{Kind: Disc, X: g.x, Y: y, Width: goalAcross, Fill: dark, Line: dark, Thick: 3}
		number := white
		if side == entry.Visitors {
			disc.Fill, number = white, ink
		}
		w.add(disc)
		w.label(g.x, y+8, 22, string(g.Scorer), true, Middle, number)
		w.after(list, i, y)
	}
}

// after writes the score after a goal beside it, unless another goal stands there.
func (w *whole) after(list []placed, i, y int) {
	g, text := list[i], w.scoreText(list[i].Goal)
	wide := letterWider * letters(text)
	free := wholeRight
	before := wholeLeft
	for j, other := range list {
		switch {
		case other.raised != g.raised || j == i:
		case j > i:
			free = min(free, other.x-goalAcross/2)
		default:
			before = max(before, other.x+goalAcross/2+wide) // its own text may stand there
		}
	}
	switch {
	case g.x+goalAcross/2+5+wide <= free:
		w.label(g.x+goalAcross/2+5, y+7, 19, text, false, Start, soft)
	case g.x-goalAcross/2-5-wide >= before:
		w.box(g.x-goalAcross/2-7-wide, y-9, wide+4, 20, white, Clear, 0)
		w.label(g.x-goalAcross/2-5, y+7, 19, text, false, End, soft)
	}
}

// scoreText is the score after a goal, and its class in short.
func (w *whole) scoreText(g rules.Goal) string {
	text := fmt.Sprintf("%d–%d", g.Score[0], g.Score[1])
	if mark := w.mark(g); mark != "" {
		text += " " + mark
	}
	return text
}

// mark is the class of a goal in short, where it is not even strength.
func (w *whole) mark(g rules.Goal) string {
	switch {
	case g.On != entry.OnPlay:
		return w.words("paper.class." + string(g.On))
	case g.Class != rules.EvenStrength:
		return w.words("paper.class." + string(g.Class))
	case g.EmptyNet:
		return w.words("paper.class.empty_net")
	default:
		return ""
	}
}

// key explains the drawing in two lines.
func (w *whole) key(y int) {
	w.label(14, y, 17, w.words("lanes.whole_goals"), false, Start, soft)
	w.label(14, y+24, 17, w.words("lanes.whole_bars"), false, Start, soft)
}

func letters(text string) int { return utf8.RuneCountInString(text) }
