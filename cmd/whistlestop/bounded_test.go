package main

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"os/exec"
	"runtime"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"
	"time"

	"whistlestop/game/card"
	"whistlestop/game/datafile"
	"whistlestop/game/rulebook"
	"whistlestop/internal/bench"
	"whistlestop/internal/mirror"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/record/seal"
	"whistlestop/record/typed"
)

// readAs names a reader that the test's own binary runs alone, to measure it.
const readAs = "WHISTLESTOP_READ_AS"

// boundedMost is how much memory a reader may take for any input of its limit, in
// bytes, beside the input itself.
const boundedMost = 64 << 20

// bounded are the readers of files from outside, each with inputs of the size of
// its limit that are made to take much memory.
func bounded(t *testing.T) map[string]struct {
	read   func(raw []byte)
	inputs func() []string
} {
	type reader = struct {
		read   func(raw []byte)
		inputs func() []string
	}
	fill := func(text string, size int) string { return strings.Repeat(text, size/len(text)) }
	const mb = 1 << 20
	list := func(all ...string) func() []string { return func() []string { return all } }
	settings := list(
		"a = "+fill("[", datafile.Most-4), "a"+fill(".a", datafile.Most-8)+" = 1", fill("[a]\n", datafile.Most),
		"["+fill("a.", datafile.Most-8)+"a]", fill("a={", datafile.Most), "a = \""+fill("\\u0041", datafile.Most-10)+"\"",
		fill("[[a]]\n", datafile.Most), "a = ["+fill("1,", datafile.Most-10)+"]", "a = "+fill("{a=", datafile.Most-8),
	)
	return map[string]reader{
		"workbook": {func(raw []byte) { readRoster(raw) }, func() []string {
			return append(hostileBooks(t),
				fill("PK\x01\x02aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa", 10*mb), "PK\x03\x04"+fill("\x00", 10*mb-4))
		}},
		"roster": {func(raw []byte) { readRoster(raw) }, list(
			fill(",", mb), fill("\n", mb), fill("\"", mb), fill("\t", mb), fill("a,", mb), fill("\xff", 10*mb), fill("\"\n", mb),
			"\xff\xfe"+fill(",\x00", 2*mb-2), fill("12 A B\n", mb), fill("a;b\n", mb), fill("\xe9", mb), fill("Coach: A\n", mb),
		)},
		"sheet": {func(raw []byte) { _, _ = typed.Read(raw, typed.Options{}) }, list(
			fill(",", typed.MostBytes), fill("\n", typed.MostBytes), fill("\"", typed.MostBytes), fill("\xff", typed.MostBytes),
			"what\n"+fill("goal\n", typed.MostBytes-5), "what\n"+fill(",", typed.MostBytes-5), "what\n\""+fill("a", typed.MostBytes-6),
		)},
		"card":     {func(raw []byte) { _, _ = card.Parse(raw, "a.toml") }, settings},
		"division": {func(raw []byte) { _, _ = rulebook.ParseDivision(raw, "a.toml") }, settings},
		"script": {func(raw []byte) { _, _ = maker.Parse(raw, "a.txt", plot.Known{Divisions: rulebook.Divisions()}) }, list(
			fill("practice 1\n", 64<<10), "practice 1\n"+fill("whistle 1 0:01 goal home 9\n", 64<<10-20), fill("a ", 64<<10), fill("\n", 64<<10),
		)},
		"copy": {func(raw []byte) {
			games, _, _ := mirror.Read(raw)
			for _, g := range games {
				_, _ = bench.Admit(g.Ledger)
			}
		}, func() []string { return ledgersOfTheLimit(t) }},
		"verify": {func(raw []byte) { seal.Verify(raw) }, func() []string { return ledgersOfTheLimit(t) }},
	}
}

// hostileBooks are workbooks that unpack to much.
func hostileBooks(t *testing.T) (books []string) {
	packed := func(name, begin, text string, size int) {
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		const rel = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/"
		for part, content := range map[string]io.Reader{
			"_rels/.rels":                strings.NewReader(`<Relationships><Relationship Id="a" Type="` + rel + `officeDocument" Target="xl/workbook.xml"/></Relationships>`),
			"xl/workbook.xml":            strings.NewReader(`<workbook><sheets><sheet name="A" r:id="b"/></sheets></workbook>`),
			"xl/_rels/workbook.xml.rels": strings.NewReader(`<Relationships><Relationship Id="b" Type="` + rel + `worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="c" Type="` + rel + `sharedStrings" Target="sharedStrings.xml"/><Relationship Id="d" Type="` + rel + `styles" Target="styles.xml"/></Relationships>`),
			name:                         io.MultiReader(strings.NewReader(begin), strings.NewReader(strings.Repeat(text, size/len(text)))),
			"noise":                      io.LimitReader(noise{}, 200<<10), // the limit of the ratio is not what is tried here
		} {
			part, err := w.Create(part)
			if err == nil {
				_, err = io.Copy(part, content)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		books = append(books, out.String())
	}
	const size = 8<<20 - 200
	packed("xl/sharedStrings.xml", "<sst>", "<si><t>a</t></si>", size)
	packed("xl/sharedStrings.xml", "<sst>", "<si/>", size)
	packed("xl/sharedStrings.xml", "<sst><si><t>", "a", size)
	packed("xl/sharedStrings.xml", "", "<a>", size)
	packed("xl/sharedStrings.xml", "<a ", `b="" `, size)
	packed("xl/worksheets/sheet1.xml", "<worksheet><sheetData><row>", `<c><v>1</v></c>`, size)
	packed("xl/worksheets/sheet1.xml", "<worksheet><sheetData>", `<row/>`, size)
	packed("xl/worksheets/sheet1.xml", "<worksheet><sheetData>", `<row><c r="GR1"><v>1</v></c></row>`, size)
	packed("xl/styles.xml", "<styleSheet><cellXfs>", `<xf numFmtId="1"/>`, size)
	packed("xl/styles.xml", "<styleSheet>", `<numFmt numFmtId="1" formatCode="00"/>`, size)
	return books
}

// noise is a stream that does not pack.
type noise struct{}

var noiseState uint32 = 1

func (noise) Read(p []byte) (int, error) {
	for i := range p {
		noiseState = noiseState*1664525 + 1013904223
		p[i] = byte(noiseState >> 24)
	}
	return len(p), nil
}

// ledgersOfTheLimit are ledgers as long as one may be.
func ledgersOfTheLimit(t *testing.T) []string {
	line := strings.Join(lineList(t, hostileLedger(t, hostileGame, 1)), "\n") + "\n"
	fill := func(text string) string { return strings.Repeat(text, ledgerMost/len(text)) }
	deep := strings.Replace(line, `"skaters":5`, `"skaters":`+strings.Repeat("[", 500<<10)+strings.Repeat("]", 500<<10), 1)
	return []string{fill("\n"), fill("{}\n"), fill("["), fill(line), fill(deep), fill("{\"a\":")}
}

// F1: no reader of a file from outside takes more than 64 MB beside the file, for
// what is made to take much at the size of its limit. Each runs alone in a
// program of its own, with a collector that keeps little, and the most that it
// ever had is read from the system. Its work is bounded to what takes two seconds,
// counted in steps of a plain loop.
func TestReadersAreBounded(t *testing.T) {
	if name := os.Getenv(readAs); name != "" {
		measure(t, name)
		return
	}
	if testing.Short() || raced {
		t.Skip("it reads some hundred megabytes; the race detector's own memory would count too")
	}
	for name := range bounded(t) {
		t.Run(name, func(t *testing.T) {
			cmd := exec.Command(os.Args[0], "-test.run=^TestReadersAreBounded$", "-test.timeout=5m")
			cmd.Env = append(os.Environ(), readAs+"="+name)
			out, err := cmd.CombinedOutput()
			if err != nil {
				t.Fatalf("%v: %s", err, out)
			}
			for line := range strings.SplitSeq(string(out), "\n") {
				number, found := strings.CutPrefix(line, "took ")
				if work, is := strings.CutPrefix(line, "work "); is {
					if steps, err := strconv.ParseInt(work, 10, 64); err != nil || steps > workMost {
						t.Errorf("%s took the work of %s steps for an input, more than %d", name, work, workMost)
					}
				}
				if taken, err := strconv.Atoi(number); found && (err != nil || taken > boundedMost) {
					t.Errorf("%s took %d MB for an input", name, taken>>20)
				} else if found {
					t.Logf("%d kB", taken>>10)
				}
			}
			if !strings.Contains(string(out), "took ") {
				t.Errorf("nothing was measured: %s", out)
			}
		})
	}
}

// measure prints how much memory a reader takes for each of its inputs: what the
// heap has of the system, beyond what it had.
func measure(t *testing.T, name string) {
	debug.SetGCPercent(25)
	one := bounded(t)[name]
	inputs := one.inputs()
	for _, input := range inputs {
		raw := []byte(input)
		// A collector that has to wait for a processor lets the heap grow: on a busy
		// machine the least of some tries is what the reader takes.
		took := leastOf(boundedMost, func() int64 {
			debug.FreeOSMemory()
			var before runtime.MemStats
			runtime.ReadMemStats(&before)
			return max(0, int64(watchHeap(func() { one.read(raw) }))-int64(before.HeapInuse))
		})
		_, _ = os.Stdout.WriteString("took " + strconv.FormatInt(took, 10) + "\n")
	}
	if _, can := processorTime(); !can {
		return
	}
	for _, input := range inputs {
		raw := []byte(input)
		// What shares the processor's memory counts too, so here as well.
		work := leastOf(workMost, func() int64 { return workOf(func() { one.read(raw) }) })
		_, _ = os.Stdout.WriteString("work " + strconv.FormatInt(work, 10) + "\n")
	}
}

// leastOf is what was measured, or the least of three where the first were more
// than may be.
func leastOf(most int64, measure func() int64) int64 {
	least := measure()
	for tries := 1; least > most && tries < 3; tries++ {
		least = min(least, measure())
	}
	return least
}

// workMost is the work that a reader may do for any input of its limit: so many
// steps of a plain loop, which take two seconds on the machine of the measurements,
// and as much again: how reading and counting compare differs from one processor to
// the next, and the slowest reader needs nine tenths of two seconds there.
const workMost = 2 * 950_000_000

// workOf is the work of something in steps of a plain loop: both are measured in
// processor time of this process, so neither the machine's speed nor what else it
// does counts.
func workOf(do func()) (steps int64) {
	const loop = 100_000_000
	began, _ := processorTime()
	defer debug.SetGCPercent(debug.SetGCPercent(100)) // as the program has it
	x := uint32(1)
	for range loop {
		x = x*1664525 + 1013904223
		x ^= x >> 7
	}
	noiseState = x // so that the loop is not left out
	plain, _ := processorTime()
	do()
	after, _ := processorTime()
	return int64(float64(after-plain) / float64(max(1, plain-began)) * loop)
}

// watchHeap returns the most that the heap had in use while something was done.
func watchHeap(do func()) (peak uint64) {
	done, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		for {
			var now runtime.MemStats
			runtime.ReadMemStats(&now)
			peak = max(peak, now.HeapInuse)
			select {
			case <-done:
				return
			case <-time.After(time.Millisecond):
			}
		}
	}()
	do()
	close(done)
	<-ended
	return peak
}
