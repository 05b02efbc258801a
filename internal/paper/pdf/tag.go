package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
)

// The structure of a document (ISO 32000-1, 14.7 and 14.8): a tree of headings,
// paragraphs and tables beside the pages, so that a reader who hears the document
// gets its tables cell by cell. The library that draws the pages knows nothing of
// it. What is drawn is marked on the page, and the tree is added to the finished
// file as further objects.

// element is a node of the tree.
type element struct {
	role  string
	extra string // further entries of its dictionary
	up    *element
	kids  []any // *element or mark
	id    int   // number of its object
}

// mark is a stretch of a page that belongs to an element.
type mark struct{ page, id int }

// tree is the structure of a document under way.
type tree struct {
	root   element
	owners [][]*element // by page, then by the number of the mark
	open   bool         // a stretch is under way ...
	now    *element     // ... of this element, or of none
}

// The roles of elements that are used.
const (
	roleTitle   = "H1"
	roleHeading = "H2"
	rolePart    = "P"
	roleTable   = "Table"
	roleCaption = "Caption"
	roleRow     = "TR"
	roleHead    = "TH"
	roleCell    = "TD"
	roleFigure  = "Figure"
)

// add adds an element below another one; nil is the document itself.
func (p *page) add(up *element, role string) *element {
	if up == nil {
		up = &p.tags.root
	}
	e := &element{role: role, up: up}
	if role == roleHead {
		e.extra = "/A<</O/Table/Scope/Column>>"
	}
	up.kids = append(up.kids, e)
	return e
}

// figure adds an element that is seen and not read, with what it shows in words.
func (p *page) figure(up *element, words string) *element {
	e := p.add(up, roleFigure)
	e.extra = "/Alt" + hexText(words)
	return e
}

// draw draws what belongs to an element. Without one it is decoration: lines, and
// what every page repeats. What is drawn for one element without a break is one
// stretch.
func (p *page) draw(e *element, do func()) {
	if !p.tags.open || p.tags.now != e {
		p.close()
		p.begin(e)
	}
	do()
}

func (p *page) begin(e *element) {
	p.tags.open, p.tags.now = true, e
	if e == nil {
		p.RawWriteStr("/Artifact BMC")
		return
	}
	for len(p.tags.owners) < p.PageNo() {
		p.tags.owners = append(p.tags.owners, nil)
	}
	owners := &p.tags.owners[p.PageNo()-1]
	e.kids = append(e.kids, mark{p.PageNo(), len(*owners)})
	p.RawWriteStr(fmt.Sprintf("/%s <</MCID %d>> BDC", e.role, len(*owners)))
	*owners = append(*owners, e)
}

// close ends the stretch under way. It has to end on the page on which it began.
func (p *page) close() {
	if p.tags.open {
		p.RawWriteStr("EMC")
	}
	p.tags.open = false
}

// AddPage begins another page.
func (p *page) AddPage() {
	p.close()
	p.Fpdf.AddPage()
}

// SetPage goes back to a page.
func (p *page) SetPage(number int) {
	p.close()
	p.Fpdf.SetPage(number)
}

// errForm is returned when the library writes files of another form than the one
// that the tree is added to.
var errForm = errors.New("the form of the page's file is not the one that was expected")

// join adds the tree to a finished file.
func (t *tree) join(raw []byte) ([]byte, error) {
	objects, err := objectsOf(raw)
	if err != nil {
		return nil, err
	}
	t.root.role = "Document"
	catalog := len(objects) - 1 // index; the number of an object is one more
	first := len(objects) + 1   // number of the root of the tree
	pages := t.pages(objects)
	next := first + 1
	t.root.number(&next)
	objects = append(objects, fmt.Appendf(nil, "<</Type/StructTreeRoot/K %d 0 R/ParentTree %d 0 R/ParentTreeNextKey %d>>",
		t.root.id, next, len(pages)))
	objects = t.root.write(objects, first, pages)
	nums := "<</Nums["
	for page := range pages {
		nums += strconv.Itoa(page) + "["
		if page < len(t.owners) {
			for _, e := range t.owners[page] {
				nums += strconv.Itoa(e.id) + " 0 R "
			}
		}
		nums += "]"
	}
	objects = append(objects, []byte(nums+"]>>"))
	for n, number := range pages {
		objects[number-1] = put(objects[number-1], "<</Type /Page\n", fmt.Sprintf("/StructParents %d\n/Tabs /S\n", n))
	}
	objects[catalog] = put(objects[catalog], "/Type /Catalog\n", fmt.Sprintf(
		"/MarkInfo <</Marked true>>\n/StructTreeRoot %d 0 R\n/ViewerPreferences <</DisplayDocTitle true>>\n", first))
	return file(objects, catalog+1), nil
}

// put puts a text behind another one.
func put(object []byte, behind, text string) []byte {
	before, after, _ := bytes.Cut(object, []byte(behind))
	return bytes.Join([][]byte{before, []byte(behind + text), after}, nil)
}

// pages are the numbers of the objects of the pages, in their order.
func (t *tree) pages(objects [][]byte) (numbers []int) {
	for i, object := range objects {
		if bytes.HasPrefix(object, []byte("<</Type /Page\n")) {
			numbers = append(numbers, i+1)
		}
	}
	return numbers
}

// number gives every element of the tree the number of its object.
func (e *element) number(next *int) {
	e.id = *next
	*next++
	for _, kid := range e.kids {
		if below, ok := kid.(*element); ok {
			below.number(next)
		}
	}
}

// write appends the objects of an element and of all below it.
func (e *element) write(objects [][]byte, root int, pages []int) [][]byte {
	up, page := root, 0
	if e.up != nil {
		up = e.up.id
	}
	var kids strings.Builder
	for _, kid := range e.kids {
		switch k := kid.(type) {
		case *element:
			fmt.Fprintf(&kids, "%d 0 R ", k.id)
		case mark:
			if page == 0 {
				page = k.page
			}
			if k.page == page {
				fmt.Fprintf(&kids, "%d ", k.id)
			} else { // it goes on over the page
				fmt.Fprintf(&kids, "<</Type/MCR/Pg %d 0 R/MCID %d>>", pages[k.page-1], k.id)
			}
		}
	}
	on := ""
	if page > 0 {
		on = fmt.Sprintf("/Pg %d 0 R", pages[page-1])
	}
	objects = append(objects, fmt.Appendf(nil, "<</S/%s/P %d 0 R%s/K[%s]%s>>", e.role, up, on, strings.TrimSpace(kids.String()), e.extra))
	for _, kid := range e.kids {
		if below, ok := kid.(*element); ok {
			objects = below.write(objects, root, pages)
		}
	}
	return objects
}

// objectsOf cuts a file into its objects by its own table of where they are, in
// the order of their numbers from 1.
func objectsOf(raw []byte) ([][]byte, error) {
	at := bytes.LastIndex(raw, []byte("\nstartxref\n"))
	if at < 0 {
		return nil, errForm
	}
	start, err := strconv.Atoi(string(bytes.Fields(raw[at:])[1]))
	if err != nil || start >= at {
		return nil, errForm
	}
	var count int
	if _, err := fmt.Sscanf(string(raw[start:min(start+40, at)]), "xref\n0 %d\n", &count); err != nil || count < 2 {
		return nil, errForm
	}
	const entryLong = 20
	table := raw[start+len("xref\n0 \n")+len(strconv.Itoa(count)):]
	if len(table) < count*entryLong {
		return nil, errForm
	}
	from := make([]int, count-1)
	for n := range from {
		at, err := strconv.Atoi(string(table[(n+1)*entryLong : (n+1)*entryLong+10]))
		if err != nil || at > start || !bytes.HasPrefix(raw[at:], fmt.Appendf(nil, "%d 0 obj\n", n+1)) {
			return nil, errForm
		}
		from[n] = at
	}
	// An object ends where the next one begins: its stream may hold anything, so
	// no mark within is looked for.
	order := append(slices.Sorted(slices.Values(from)), start)
	objects := make([][]byte, len(from))
	for n, at := range from {
		next, _ := slices.BinarySearch(order, at)
		object := raw[at+len(strconv.Itoa(n+1))+len(" 0 obj\n") : order[next+1]]
		objects[n] = bytes.TrimSuffix(object, []byte("endobj\n"))
	}
	return objects, nil
}

// file writes objects as a file. The information about the document is the object
// before the catalog.
func file(objects [][]byte, catalog int) []byte {
	var out bytes.Buffer
	out.WriteString("%PDF-1.7\n%\xc2\xb5\xc2\xb6\n")
	at := make([]int, len(objects))
	for i, object := range objects {
		at[i] = out.Len()
		fmt.Fprintf(&out, "%d 0 obj\n%s\nendobj\n", i+1, bytes.TrimSuffix(object, []byte("\n")))
	}
	start := out.Len()
	fmt.Fprintf(&out, "xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for _, offset := range at {
		fmt.Fprintf(&out, "%010d 00000 n \n", offset)
	}
	fmt.Fprintf(&out, "trailer\n<</Size %d/Root %d 0 R/Info %d 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, catalog, catalog-1, start)
	return out.Bytes()
}

// hexText writes a text as a string of the file.
func hexText(text string) string {
	var out strings.Builder
	out.WriteString("<FEFF")
	for _, unit := range utf16.Encode([]rune(text)) {
		fmt.Fprintf(&out, "%04X", unit)
	}
	return out.String() + ">"
}
