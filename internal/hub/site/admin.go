package site

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// textMost is how long a name may be that somebody types.
const textMost = 60

// typed is what was typed into a field; it says no to what is empty or too long.
func typed(r *http.Request, field string) (string, error) {
	text := oneLine(r.FormValue(field))
	if text == "" || len([]rune(text)) > textMost {
		return "", api.Refuse("hub.page.name_needed", "most", strconv.Itoa(textMost))
	}
	return text, nil
}

// oneLine is a text with one blank where it has several, or ends of lines.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// done goes back to the page after a change, or says why there was none.
func (s *Site) done(w http.ResponseWriter, r *http.Request, err error) {
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	http.Redirect(w, r, "/admin", http.StatusSeeOther)
}

func (s *Site) rename(w http.ResponseWriter, r *http.Request, c people.Caller) {
	name, err := typed(r, "name")
	if err == nil {
		a := office.Association{ID: s.Association, Name: name, Made: s.Now()}
		err = s.Store.Found(r.Context(), a, s.note(c, "renamed", s.Association))
	}
	s.done(w, r, err)
}

// pairBench makes a bench's token and shows it, once. It is for a season, or where a day is
// named for the games of that day, or for one of them.
func (s *Site) pairBench(w http.ResponseWriter, r *http.Request, c people.Caller) {
	label, err := typed(r, "label")
	var secret string
	var token office.Token
	if err == nil {
		lasts := office.BenchLasts
		if day := r.FormValue("day"); day != "" {
			if lasts, err = office.LastsForDay(day, s.Now()); err != nil {
				err = api.Refuse("hub.page.bench_day_bad", "day", oneLine(day))
			}
		}
		switch oneGame := r.FormValue("games") == "one"; {
		case err != nil:
		case oneGame && r.FormValue("day") == "":
			err = api.Refuse("hub.page.bench_one_day")
		case oneGame:
			secret, token, err = s.Office.IssueOneGame(r.Context(), label, lasts, c.By())
		default:
			secret, token, err = s.Office.Issue(r.Context(), office.Bench, label, lasts, c.By())
		}
	}
	s.issued(w, r, token, "/pair#"+secret, err)
}

// linkTeam makes a team's link and shows it, once. What a link of the same team and
// division was before leads nowhere from now on.
func (s *Site) linkTeam(w http.ResponseWriter, r *http.Request, c people.Caller) {
	label, err := typed(r, "label")
	division := ""
	if err == nil && r.FormValue("division") != "" {
		division, err = typed(r, "division")
	}
	if err == nil {
		var list []office.Token
		list, err = s.Office.List(r.Context(), office.Team)
		for _, t := range list {
			if err == nil && t.Label == label && t.Division == division {
				err = s.Office.Revoke(r.Context(), t.ID, c.By())
			}
		}
	}
	var secret string
	var token office.Token
	if err == nil {
		secret, token, err = s.Office.IssueTeam(r.Context(), label, division, c.By())
	}
	s.issued(w, r, token, "/follow/"+secret, err)
}

// issued shows what was made.
func (s *Site) issued(w http.ResponseWriter, r *http.Request, token office.Token, path string, err error) {
	var picture string
	if err == nil {
		picture, err = s.QR(s.Address + path)
	}
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	s.page(w, r, http.StatusOK, "issued", map[string]any{
		"Name": s.name(r), "Bench": token.Kind == office.Bench, "Token": token, "Link": s.Address + path, "Picture": dataImage(picture),
	})
}

// revoke takes a bench, a link or a session back.
func (s *Site) revoke(w http.ResponseWriter, r *http.Request, c people.Caller) {
	err := s.Office.Revoke(r.Context(), r.FormValue("id"), c.By())
	if errors.Is(err, office.ErrUnknown) {
		err = nil // somebody was faster
	}
	s.done(w, r, err)
}

func (s *Site) gameOf(r *http.Request) ledgers.Where {
	return ledgers.Where{Association: s.Association, Game: r.FormValue("game")}
}

// choose decides between the two that went on from one entry.
func (s *Site) choose(w http.ResponseWriter, r *http.Request, c people.Caller) {
	at := s.gameOf(r)
	branch, err := strconv.Atoi(r.FormValue("branch"))
	if err == nil {
		_, err = s.Store.Choose(r.Context(), at, branch, s.note(c, "chose", at.Game+" "+strconv.Itoa(branch)))
	}
	s.Live.Moved(at.Game)
	s.done(w, r, err)
}

// handOver fences off the bench that writes a game now.
func (s *Site) handOver(w http.ResponseWriter, r *http.Request, c people.Caller) {
	at := s.gameOf(r)
	_, err := s.Store.Raise(r.Context(), at, s.note(c, "handed_over", at.Game))
	s.Live.Moved(at.Game)
	s.done(w, r, err)
}
