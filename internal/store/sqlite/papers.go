package sqlite

import (
	"context"
	"database/sql"

	"whistlestop/game/entry"
)

// The files of the papers in the folder.
const (
	papersName     = "crew" + ".db" // no keys of messages
	papersLockName = "crew" + ".lock"
)

// papersKept is how many versions of a paper stay, so that a mistake can be found.
// Ours.
const papersKept = 20

// Papers is what the crew's desk keeps: texts by their names, each change a row of
// its own, in a database as safe as that of the ledgers. It is safe for use by many
// goroutines.
type Papers struct{ store *Store }

// OpenPapers opens the papers in the folder, which is made if it is not there. Its
// errors are those of Open.
func OpenPapers(ctx context.Context, folder string) (*Papers, error) {
	s, err := openOwn(ctx, folder, papersName, papersLockName, paperSteps)
	if err != nil {
		return nil, err
	}
	return &Papers{s}, nil
}

// OpenPapersBeside opens the papers of a folder that another program may have open, to
// read them. A file that is not there is an error.
func OpenPapersBeside(ctx context.Context, folder string) (*Papers, error) {
	d, err := OpenDatabaseBeside(ctx, folder, papersName)
	if err != nil {
		return nil, err
	}
	return &Papers{d.store}, nil
}

// All returns the newest text of every paper.
func (p *Papers) All(ctx context.Context) (map[string][]byte, error) {
	type paper struct {
		name string
		body []byte
	}
	p.store.mutex.Lock()
	defer p.store.mutex.Unlock()
	list, err := query(ctx, p.store, "SELECT name, body FROM papers WHERE seq IN (SELECT max(seq) FROM papers GROUP BY name)",
		func(rows *sql.Rows) (one paper, err error) {
			err = rows.Scan(&one.name, &one.body)
			return one, err
		})
	all := map[string][]byte{}
	for _, one := range list {
		all[one.name] = one.body
	}
	return all, err
}

// Keep puts texts in place of those that are there, all or none, and says why. They
// survive a power cut once it returns. At is milliseconds of Unix time.
func (p *Papers) Keep(ctx context.Context, at entry.Millis, why string, texts map[string][]byte) error {
	return p.store.change(ctx, inTransaction(func(tx *sql.Tx) error {
		for name, body := range texts {
			if _, err := tx.ExecContext(ctx, "INSERT INTO papers (at, why, name, body) VALUES (?, ?, ?, ?)", int64(at), why, name, body); err != nil {
				return err
			}
			const old = `DELETE FROM papers WHERE name = ? AND seq NOT IN (SELECT seq FROM papers WHERE name = ? ORDER BY seq DESC LIMIT ?)`
			if _, err := tx.ExecContext(ctx, old, name, name, papersKept); err != nil {
				return err
			}
		}
		return nil
	}))
}

// Forget does the same, and leaves no earlier version of any paper in any file.
func (p *Papers) Forget(ctx context.Context, at entry.Millis, why string, texts map[string][]byte) error {
	if err := p.Keep(ctx, at, why, texts); err != nil {
		return err
	}
	err := p.store.change(ctx, inTransaction(func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "DELETE FROM papers WHERE seq NOT IN (SELECT max(seq) FROM papers GROUP BY name)")
		return err
	}))
	if err != nil {
		return err
	}
	return p.store.Scrub(ctx)
}

// Close closes the database and lets another program open it.
func (p *Papers) Close() error { return p.store.Close() }
