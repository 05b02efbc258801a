package site

import (
	"bytes"
	"embed"
	"encoding/base64"
	"errors"
	"html/template"
	"io/fs"
	"net/http"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
)

//go:embed pages
var ownPages embed.FS

// templates are the pages, with the texts of English until a request says otherwise.
var templates = template.Must(template.New("").Funcs(functions(nil, time.UTC)).ParseFS(ownPages, "pages/*.html"))

// functions are what a page may call: a sentence by its key, and an instant.
func functions(words api.Words, zone *time.Location) template.FuncMap {
	return template.FuncMap{
		"t": func(key string, pairs ...any) string {
			texts := make([]string, len(pairs))
			for i, one := range pairs {
				texts[i] = text(one)
			}
			return words.Text(key, message.Pairs(texts...))
		},
		"done": func(what string) string { return words.Text("hub.log."+what, nil) },
		"at": func(m entry.Millis) string {
			if m == 0 {
				return "–"
			}
			return time.UnixMilli(int64(m)).In(zone).Format("2006-01-02 15:04")
		},
	}
}

func text(value any) string {
	switch value := value.(type) {
	case string:
		return value
	case int:
		return strconv.Itoa(value)
	}
	return ""
}

// page answers with a page.
func (s *Site) page(w http.ResponseWriter, r *http.Request, status int, name string, data map[string]any) {
	words := s.words(r)
	data["Language"], data["Body"] = words.Language(), name
	var out bytes.Buffer
	pages, err := templates.Clone()
	if err == nil {
		err = pages.Funcs(functions(words, time.Local)).ExecuteTemplate(&out, name+".html", data)
	}
	if err != nil {
		s.Logger.Error("a page cannot be written", "page", name, "error", err)
		http.Error(w, words.Text("hub.faulty", nil), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	s.write(w, out.Bytes())
}

// message answers with a page of one sentence.
func (s *Site) message(w http.ResponseWriter, r *http.Request, status int, key string, pairs ...string) {
	s.page(w, r, status, "message", map[string]any{"Text": s.words(r).Text(key, message.Pairs(pairs...)), "Name": s.name(r)})
}

// failPage is fail for a person who looks at pages.
func (s *Site) failPage(w http.ResponseWriter, r *http.Request, err error) {
	var no *api.No
	if errors.As(err, &no) {
		s.page(w, r, no.Status, "message", map[string]any{"Text": s.words(r).Text(no.Say.Key, no.Say.Args), "Name": s.name(r)})
		return
	}
	s.Logger.Error("a page failed", "pattern", r.Pattern, "error", err)
	s.message(w, r, http.StatusServiceUnavailable, "hub.unavailable")
}

// style sends the look of the pages.
func (s *Site) style(w http.ResponseWriter, r *http.Request) {
	raw, err := ownPages.ReadFile("pages/hub.css")
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/css; charset=utf-8")
	w.Header().Set("Cache-Control", "public, max-age=3600")
	s.write(w, raw)
}

// asset sends a file of the front end.
func (s *Site) asset(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimPrefix(r.URL.Path, "/")
	f, err := s.front.Get(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		s.message(w, r, http.StatusNotFound, "web.no_page")
		return
	case err != nil:
		s.failPage(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-cache")
	if strings.HasPrefix(name, "assets/") { // the bundler writes a hash of the content into these names
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	if err := f.Send(w, r); err != nil {
		s.Logger.Debug("a file was not taken", "error", err)
	}
}

func dataImage(svg string) template.URL {
	//nolint:gosec // our own drawing
	return template.URL("data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString([]byte(svg)))
}

func (s *Site) home(w http.ResponseWriter, r *http.Request) {
	s.page(w, r, http.StatusOK, "home", map[string]any{"Name": s.name(r)})
}

func (s *Site) pairPage(w http.ResponseWriter, r *http.Request) {
	s.page(w, r, http.StatusOK, "pair", map[string]any{"Name": s.name(r)})
}

// row is a game as an admin sees it.
type row struct {
	live.Listed
	Branches []ledgers.Branch
}

// logShown is how many lines of the log stand on the page.
const logShown = 20

func (s *Site) adminPage(w http.ResponseWriter, r *http.Request, by office.By) {
	data := map[string]any{"Name": s.name(r), "Own": by.Who}
	var err error
	for name, kind := range map[string]office.Kind{"Benches": office.Bench, "Teams": office.Team, "Sessions": office.Session} {
		list, failed := s.Office.List(r.Context(), kind)
		err = errors.Join(err, failed)
		data[name] = list
	}
	games, failed := s.Live.List(r.Context())
	err = errors.Join(err, failed)
	var rows []row
	names := map[string]bool{}
	for _, one := range games {
		next := row{Listed: one}
		if one.Forked {
			next.Branches, failed = s.Store.Branches(r.Context(), ledgers.Where{Association: s.Association, Game: one.Game.ID})
			err = errors.Join(err, failed)
		}
		rows = append(rows, next)
		names[one.Home], names[one.Visitors] = true, true
	}
	delete(names, "")
	data["Games"], data["Names"] = rows, names
	log, failed := s.wholeLog(r)
	err = errors.Join(err, failed)
	data["Log"] = log
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	s.page(w, r, http.StatusOK, "admin", data)
}

// wholeLog is the newest lines of the log, the newest first.
func (s *Site) wholeLog(r *http.Request) (newest []office.Logged, err error) {
	const atOnce = 500
	after := 0
	for {
		list, err := s.Store.Log(r.Context(), s.Association, after, atOnce)
		if err != nil {
			return nil, err
		}
		newest = append(newest, list...)
		if len(newest) > logShown {
			newest = newest[len(newest)-logShown:]
		}
		if len(list) < atOnce {
			break
		}
		after = list[len(list)-1].Seq
	}
	for i, j := 0, len(newest)-1; i < j; i, j = i+1, j-1 {
		newest[i], newest[j] = newest[j], newest[i]
	}
	return newest, nil
}

// BackedUp is what stands in the log when a copy of the hub was written.
const BackedUp = "backed_up"

// backUpLate is after how long without a copy the page asks for one (ours).
const backUpLate = 26 * 3600_000

// status says how the hub is, in words, to anybody: numbers of things and no names.
func (s *Site) status(w http.ResponseWriter, r *http.Request) {
	games, err := s.Store.Games(r.Context(), s.Association)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	benches, err := s.Office.List(r.Context(), office.Bench)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	entries, forks := 0, 0
	var heard entry.Millis
	for _, g := range games {
		entries += g.Seq
		heard = max(heard, g.Heard)
		if g.Forked {
			forks++
		}
	}
	saved, err := s.savedAt(r)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	s.page(w, r, http.StatusOK, "status", map[string]any{
		"Name": s.name(r), "Games": len(games), "Entries": entries, "Forks": forks, "Heard": heard, "Benches": len(benches),
		"Followers": s.Live.Followers(), "Began": s.began, "Saved": saved, "Late": s.Now()-max(saved, s.began) > backUpLate,
	})
}

// savedAt is when a copy of the hub was written last; 0: never.
func (s *Site) savedAt(r *http.Request) (at entry.Millis, err error) {
	const atOnce = 500
	for after := 0; ; {
		list, err := s.Store.Log(r.Context(), s.Association, after, atOnce)
		if err != nil {
			return 0, err
		}
		for _, line := range list {
			if after = line.Seq; line.What == BackedUp {
				at = line.At
			}
		}
		if len(list) < atOnce {
			return at, nil
		}
	}
}
