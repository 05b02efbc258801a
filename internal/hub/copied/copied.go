package copied

import (
	"bufio"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"

	"whistlestop/internal/folder/durable"
)

// The parts of a copy.
const (
	Games  = "games"
	People = "people"
)

// manifestName is the file that says what a part consists of; formNow is the number of
// the form that is written here.
const (
	manifestName = "MANIFEST.json"
	formNow      = 1
)

// Manifest is what a part of a copy says of itself.
type Manifest struct {
	Form   int     `json:"form"`
	Part   string  `json:"part"`
	Taken  string  `json:"taken"`   // the moment; the same in both parts of a copy
	At     int64   `json:"at_ms"`   // when, in milliseconds of Unix time
	Steps  int64   `json:"steps"`   // the newest step of the tables
	Heads  Heads   `json:"heads"`   // of all ledgers
	Tables []Table `json:"tables"`  // in the order in which they can be put back
	Sum    string  `json:"sum_hex"` // SHA-256 of the manifest without it
}

// Heads is where all ledgers end: how many, with how many entries, and one hash over all
// their hashes.
type Heads struct {
	Games   int    `json:"games"`
	Entries int    `json:"entries"`
	Hash    string `json:"hash_hex"`
}

// Table is a file of a part.
type Table struct {
	Name    string   `json:"name"`
	Columns []string `json:"columns"`
	Rows    int64    `json:"rows"`
	Sum     string   `json:"sum_hex"` // SHA-256 of the file
}

// What is wrong with a copy.
var (
	ErrNone    = errors.New("there is no copy")
	ErrDamaged = errors.New("the copy is not as it was written")
	ErrNewer   = errors.New("the copy was written by a newer program")
)

// names are those that tables and columns may have: they become names of files and parts
// of questions.
var names = regexp.MustCompile(`^[a-z][a-z0-9_]{0,62}$`)

func (m Manifest) sum() (string, error) {
	m.Sum = ""
	raw, err := json.Marshal(m)
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:]), err
}

func fileOf(table string) string { return table + ".copy.gz" }

// Part is a part that is being written.
type Part struct {
	folder, name string
	tables       []Table
}

// Create begins a part, in a folder that is not there yet: fs.ErrExist.
func Create(folder string) (*Part, error) {
	if _, err := os.Lstat(folder); !errors.Is(err, fs.ErrNotExist) {
		return nil, errors.Join(&fs.PathError{Op: "create", Path: folder, Err: fs.ErrExist}, err)
	}
	part := folder + ".part"
	if err := os.RemoveAll(part); err != nil { // of a copy that was not finished
		return nil, err
	}
	if err := durable.MakeFolder(part); err != nil {
		return nil, err
	}
	return &Part{folder: part, name: folder}, nil
}

// Table writes a table. What writes returns how many rows there were.
func (p *Part) Table(name string, columns []string, write func(to io.Writer) (rows int64, err error)) (err error) {
	file, err := os.OpenFile(filepath.Join(p.folder, fileOf(name)), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	sum := sha256.New()
	out := bufio.NewWriterSize(io.MultiWriter(file, sum), 256<<10)
	packed, err := gzip.NewWriterLevel(out, gzip.BestSpeed)
	if err != nil {
		return err
	}
	rows, err := write(packed)
	if err = errors.Join(err, packed.Close(), out.Flush()); err == nil {
		err = file.Sync()
	}
	p.tables = append(p.tables, Table{Name: name, Columns: columns, Rows: rows, Sum: hex.EncodeToString(sum.Sum(nil))})
	return err
}

// Finish writes the manifest and gives the part its name.
func (p *Part) Finish(m Manifest) error {
	m.Form, m.Tables = formNow, p.tables
	var err error
	if m.Sum, err = m.sum(); err != nil {
		return err
	}
	raw, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return err
	}
	disk := durable.Lenient(durable.System())
	if err := durable.Write(disk, filepath.Join(p.folder, manifestName), append(raw, '\n')); err != nil {
		return err
	}
	if err := disk.SyncFolder(p.folder); err != nil {
		return err
	}
	if err := os.Rename(p.folder, p.name); err != nil {
		return err
	}
	return disk.SyncFolder(filepath.Dir(p.name))
}

// Drop takes a part away that will not be finished.
func (p *Part) Drop() error { return os.RemoveAll(p.folder) }

// Read reads what a part says of itself, without its files.
func Read(folder string) (m Manifest, err error) {
	file, err := os.Open(filepath.Join(folder, manifestName))
	if errors.Is(err, fs.ErrNotExist) {
		return m, fmt.Errorf("%w in %s", ErrNone, folder)
	}
	if err != nil {
		return m, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	const most = 1 << 20
	raw, err := io.ReadAll(io.LimitReader(file, most))
	if err != nil {
		return m, err
	}
	if err := json.Unmarshal(raw, &m); err != nil {
		return m, fmt.Errorf("%w: %s cannot be read", ErrDamaged, manifestName)
	}
	if m.Form > formNow {
		return m, ErrNewer
	}
	if sum, err := m.sum(); err != nil || sum != m.Sum {
		return m, errors.Join(fmt.Errorf("%w: %s", ErrDamaged, manifestName), err)
	}
	for _, t := range m.Tables {
		for _, name := range append([]string{t.Name}, t.Columns...) {
			if !names.MatchString(name) {
				return m, fmt.Errorf("%w: %s", ErrDamaged, manifestName)
			}
		}
	}
	return m, nil
}

// Check reads every byte of a part. It returns ErrNone, ErrDamaged with the name of the
// file, or ErrNewer.
func Check(folder string) (Manifest, error) {
	m, err := Read(folder)
	if err != nil {
		return m, err
	}
	for _, t := range m.Tables {
		err := Open(folder, t, func(from io.Reader) error {
			_, err := io.Copy(io.Discard, from)
			return err
		})
		if err != nil {
			return m, err
		}
	}
	return m, nil
}

// Open reads the rows of a table. Where its file is not the one that was written it
// returns ErrDamaged, which may be after all of it was read.
func Open(folder string, t Table, read func(from io.Reader) error) (err error) {
	damaged := func(why error) error { return fmt.Errorf("%w: %s: %w", ErrDamaged, fileOf(t.Name), why) }
	file, err := os.Open(filepath.Join(folder, fileOf(t.Name)))
	if errors.Is(err, fs.ErrNotExist) {
		return damaged(err)
	}
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	summed := &summed{from: bufio.NewReaderSize(file, 256<<10), sum: sha256.New()}
	unpacked, err := gzip.NewReader(summed)
	if err != nil {
		return damaged(err)
	}
	noted := &noted{from: unpacked}
	if err := read(noted); noted.err != nil {
		return damaged(noted.err)
	} else if err != nil {
		return err
	}
	if _, err := io.Copy(io.Discard, summed); err != nil {
		return err
	}
	if hex.EncodeToString(summed.sum.Sum(nil)) != t.Sum {
		return damaged(errors.New("its SHA-256 is another one"))
	}
	return nil
}

// noted remembers that what is read cannot be unpacked, whatever its reader makes of it.
type noted struct {
	from io.Reader
	err  error
}

// Read reads.
func (n *noted) Read(into []byte) (int, error) {
	count, err := n.from.Read(into)
	if err != nil && !errors.Is(err, io.EOF) {
		n.err = err
	}
	return count, err
}

// summed adds up what is read.
type summed struct {
	from *bufio.Reader
	sum  hash.Hash
}

// Read reads.
func (s *summed) Read(into []byte) (int, error) {
	n, err := s.from.Read(into)
	s.sum.Write(into[:n])
	return n, err
}

// ReadByte reads one byte: a reader of gzip then takes no more than it needs.
func (s *summed) ReadByte() (byte, error) {
	b, err := s.from.ReadByte()
	if err == nil {
		s.sum.Write([]byte{b})
	}
	return b, err
}
