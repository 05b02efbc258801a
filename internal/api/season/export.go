package season

import (
	"bytes"
	"cmp"
	"io"
	"slices"
	"strings"

	"whistlestop/internal/api"
	"whistlestop/record/tables"
	"whistlestop/season/book"
	"whistlestop/season/results"
)

// Format is one form of the season as a file.
type Format struct {
	Name  string // and the ending of its files
	Media string // type of the media, with its parameters
	Page  bool   // a browser shows it as a page of its own
}

// WriteTables writes a document in a format of the list.
type WriteTables func(out io.Writer, d tables.Document, format, paper string, words api.Words) error

// writtenMost is how many files for guests are kept until the season is another.
const writtenMost = 40

// exports are the season as files, an operation for each format.
func (s *Service) exports(division api.Parameter) (list []api.Operation) {
	for _, f := range s.Formats {
		list = append(list, api.Operation{
			Method: "GET", Path: "/api/season/export." + f.Name, Handler: api.Hand(strings.Split(f.Media, ";")[0], s.export(f)),
			About: "The season as a file: tables with the reasons, results, leaders, players, goalkeepers, suspensions. Guests get numbers and no names.",
			Query: []api.Parameter{
				{Name: "what", About: "one kind of table; left out: all of them, the season's book", Values: book.Kinds}, division,
				{Name: "names", About: "for the bench, whose names stand in it: nobody's, of adults, everybody's; the others have numbers", Values: []string{"no", "adults", "yes"}},
				{Name: "paper", About: "of a PDF", Values: []string{"a4", "letter"}},
				{Name: "language", About: "the language of it"},
			},
		})
	}
	return list
}

// export answers with the season in a format.
func (s *Service) export(f Format) func(*api.Call) (api.File, error) {
	return func(c *api.Call) (file api.File, err error) {
		o := book.Options{Names: book.Names(c.Query("names")), Division: c.Query("division"), What: c.Query("what")}
		paper := cmp.Or(c.Query("paper"), "a4")
		if o.What != "" && !slices.Contains(book.Kinds, o.What) || !slices.Contains([]string{"a4", "letter"}, paper) {
			return file, api.Unread("season.no_export", "what", api.Clip(o.What), "known", strings.Join(book.Kinds, ", "))
		}
		if s.Write == nil {
			return file, api.NotThere("season.none_kept")
		}
		if !c.Here {
			o.Names = book.NoNames // as on the season's page
		}
		file = api.File{Media: f.Media, Name: cmp.Or(o.What, "season") + "." + f.Name, Page: f.Page}
		key := strings.Join([]string{f.Name, paper, c.Words.Language(), o.Division, o.What}, "/")
		err = s.counted(c, func(b booked) error {
			if raw, written := s.sum.written[key]; written && !c.Here {
				file.Raw = raw
				return nil
			}
			d := book.Of(*b.league, b.Season, b.people(), o)
			var out bytes.Buffer
			if err := s.Write(&out, d, f.Name, paper, c.Words); err != nil {
				return refuse(err)
			}
			file.Raw = out.Bytes()
			if !c.Here && len(s.sum.written) < writtenMost {
				s.sum.written[key] = file.Raw
			}
			return nil
		})
		return file, err
	}
}

// people are the numbers by which everybody may know the people of the season.
func (b booked) people() book.People {
	return book.PeopleOf(b.Season, func(ledger string) (results.Facts, bool) {
		one, known := b.known[ledger]
		return one.facts, known
	})
}
