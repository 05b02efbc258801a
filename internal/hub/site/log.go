package site

import (
	"archive/zip"
	"encoding/json"
	"io"
	"net/http"
	"slices"
	"strconv"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// logRoutes are those of the log, of copies for people, and of deletion.
func (s *Site) logRoutes() []route {
	return []route{
		s.need("GET /log", people.ReadPeople, people.All, s.logPage),
		s.fresh("POST /log", people.ReadPeople, people.All, s.logFile),
		s.fresh("POST /export", people.ChangePeople, people.All, s.export),
		s.signedIn("POST /me/export", s.exportMe),
		s.signedIn("POST /me/forget", s.forgetMe),
		s.fresh("POST /people/forget", people.ChangePeople, people.Own, s.forget),
	}
}

// Lines of the log: on the first page, on a page of the log, in one question for a file.
const (
	logShown  = 20
	logPage   = 100
	logAtOnce = 500
)

// logged is a line of the log with the name of who did it, where there is one.
type logged struct {
	office.Logged
	By string
}

// logBefore is lines of the log before a place, the newest first; before 0: the newest.
func (s *Site) logBefore(r *http.Request, before, most int) (lines []logged, more bool, err error) {
	names, err := s.namesOfAll(r)
	if err != nil {
		return nil, false, err
	}
	first, newest, err := s.Store.LogEnds(r.Context(), s.Association)
	if err != nil {
		return nil, false, err
	}
	if before <= 0 || before > newest {
		before = newest + 1
	}
	after := max(first-1, before-1-most)
	list, err := s.Store.Log(r.Context(), s.Association, after, before-1-after)
	for _, line := range slices.Backward(list) {
		lines = append(lines, logged{line, names[line.Who]})
	}
	return lines, after >= first && first > 0, err
}

// namesOfAll are the names of the association's people by their ids.
func (s *Site) namesOfAll(r *http.Request) (map[string]string, error) {
	all, err := s.People.Everybody(r.Context())
	names := map[string]string{}
	for _, p := range all {
		names[p.ID] = p.Name
	}
	return names, err
}

func (s *Site) logPage(w http.ResponseWriter, r *http.Request, c people.Caller) {
	before, err := strconv.Atoi(r.URL.Query().Get("before"))
	if err != nil {
		before = 0
	}
	lines, more, err := s.logBefore(r, before, logPage)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	data := map[string]any{"Name": s.name(r), "Caller": c, "Log": lines, "Export": c.May(people.ChangePeople, people.On{})}
	if more {
		data["Before"] = lines[len(lines)-1].Seq
	}
	s.page(w, r, http.StatusOK, "log", data)
}

// lineJSON is a line of the log in a file: all that is hashed, so that anybody can follow
// the chain.
type lineJSON struct {
	Seq    int          `json:"seq"`
	At     entry.Millis `json:"at_ms"`
	Who    string       `json:"who"`
	What   string       `json:"what"`
	Object string       `json:"object,omitempty"`
	From   string       `json:"from,omitempty"`
	Prev   string       `json:"prev,omitempty"`
	Hash   string       `json:"hash"`
}

// writeLog writes the whole log, a line each.
func (s *Site) writeLog(r *http.Request, out io.Writer) error {
	write := json.NewEncoder(out)
	for after := 0; ; {
		list, err := s.Store.Log(r.Context(), s.Association, after, logAtOnce)
		if err != nil || len(list) == 0 {
			return err
		}
		for _, l := range list {
			after = l.Seq
			if err := write.Encode(lineJSON{l.Seq, l.At, l.Who, l.What, l.Object, l.From, l.Prev, l.Hash}); err != nil {
				return err
			}
		}
	}
}

// exportWithin is how long a file may take on its way (ours): a season of a large
// association over a slow line.
const exportWithin = 15 * time.Minute

// attach sends a file that is written while it is sent. What fails then cannot be said
// any more: the connection ends, so that nobody takes half of it for the whole.
func (s *Site) attach(w http.ResponseWriter, r *http.Request, name, media string, write func(io.Writer) error) {
	if err := http.NewResponseController(w).SetWriteDeadline(time.Now().Add(exportWithin)); err != nil {
		s.Logger.Debug("a file has the usual time", "error", err)
	}
	w.Header().Set("Content-Type", media)
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	if err := write(w); err != nil {
		s.Logger.Error("a file was not sent whole", "file", name, "error", err)
		panic(http.ErrAbortHandler)
	}
}

// logFile hands out the log.
func (s *Site) logFile(w http.ResponseWriter, r *http.Request, c people.Caller) {
	if err := s.People.Did(r.Context(), c, "log_exported"); err != nil {
		s.failPage(w, r, err)
		return
	}
	s.attach(w, r, "log.jsonl", "application/jsonl", func(out io.Writer) error { return s.writeLog(r, out) })
}

// export hands out everything of the association.
func (s *Site) export(w http.ResponseWriter, r *http.Request, c people.Caller) {
	if err := s.People.Did(r.Context(), c, "exported"); err != nil {
		s.failPage(w, r, err)
		return
	}
	s.attach(w, r, "association.zip", "application/zip", func(out io.Writer) error {
		archive := zip.NewWriter(out)
		if err := s.writeAll(r, c, archive); err != nil {
			return err
		}
		return archive.Close()
	})
}

// writeAll writes what there is of an association into an archive. Secrets are not in
// it: the hub has only their hashes, and those stay here.
func (s *Site) writeAll(r *http.Request, c people.Caller, archive *zip.Writer) error {
	ctx := r.Context()
	all, err := s.People.Everybody(ctx)
	if err != nil {
		return err
	}
	invitations, err := s.People.Invitations(ctx, c)
	if err != nil {
		return err
	}
	sessions, err := s.People.Sessions(ctx, c, "")
	if err != nil {
		return err
	}
	deleted, err := s.People.Deletions(ctx)
	if err != nil {
		return err
	}
	benches, err := s.Office.List(ctx, office.Bench)
	if err != nil {
		return err
	}
	teams, err := s.Office.List(ctx, office.Team)
	if err != nil {
		return err
	}
	on, err := s.Store.Switches(ctx, s.Association)
	if err != nil {
		return err
	}
	value := map[string]any{
		"association": map[string]string{"id": s.Association, "name": s.name(r)}, "people": all, "invitations": invitations,
		"sessions": sessions, "deleted": deleted, "benches": benches, "team_links": teams, "turned_on": on, "made_ms": s.Now(),
	}
	file, err := archive.Create("association.json")
	if err == nil {
		err = json.NewEncoder(file).Encode(value)
	}
	if err == nil {
		file, err = archive.Create("log.jsonl")
	}
	if err == nil {
		err = s.writeLog(r, file)
	}
	if err != nil {
		return err
	}
	return s.writeGames(r, archive)
}

// writeGames writes each ledger, and what stands beside it, as its bench's file has it.
func (s *Site) writeGames(r *http.Request, archive *zip.Writer) error {
	games, err := s.Store.Games(r.Context(), s.Association)
	if err != nil {
		return err
	}
	for _, g := range games {
		at := ledgers.Where{Association: s.Association, Game: g.ID}
		lines, err := s.Store.Lines(r.Context(), at, 0, g.Seq)
		if err == nil {
			err = writeLines(archive, "games/"+g.ID+".jsonl", lines)
		}
		if err != nil {
			return err
		}
		branches, err := s.Store.Branches(r.Context(), at)
		for _, b := range branches {
			if err == nil {
				lines, err = s.Store.BranchLines(r.Context(), at, b.Number)
			}
			if err == nil {
				err = writeLines(archive, "games/"+g.ID+"-branch-"+strconv.Itoa(b.Number)+".jsonl", lines)
			}
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func writeLines(archive *zip.Writer, name string, lines []ledgers.Line) error {
	file, err := archive.Create(name)
	for _, line := range lines {
		if err == nil {
			_, err = file.Write(append(line.Bytes[:len(line.Bytes):len(line.Bytes)], '\n'))
		}
	}
	return err
}

// exportMe hands somebody all that is kept of them.
func (s *Site) exportMe(w http.ResponseWriter, r *http.Request, c people.Caller) {
	if !c.Fresh {
		s.again(w, r, c)
		return
	}
	kept, err := s.People.Kept(r.Context(), c)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	s.attach(w, r, "about-me.json", "application/json", func(out io.Writer) error {
		return json.NewEncoder(out).Encode(map[string]any{"association": s.name(r), "kept": kept, "made_ms": s.Now()})
	})
}

// forgetMe deletes whoever is signed in.
func (s *Site) forgetMe(w http.ResponseWriter, r *http.Request, c people.Caller) {
	if !c.Fresh {
		s.again(w, r, c)
		return
	}
	if err := s.People.Forget(r.Context(), c, c.Person); err != nil {
		s.failPage(w, r, peopleProblem(err))
		return
	}
	s.forgot()
	s.setCookie(w, "", -1)
	s.message(w, r, http.StatusOK, "hub.people.forgot_me")
}

// forget deletes somebody.
func (s *Site) forget(w http.ResponseWriter, r *http.Request, c people.Caller) {
	err := s.People.Forget(r.Context(), c, r.FormValue("id"))
	if err == nil {
		s.forgot()
	}
	s.doneAt(w, r, "/people", err)
}

// forgot says that somebody was deleted.
func (s *Site) forgot() {
	if s.Forgot != nil {
		s.Forgot()
	}
}
