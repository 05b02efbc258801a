package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"mime/quotedprintable"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"whistlestop/internal/api/crew"
	"whistlestop/internal/folder/leaguefiles"
	"whistlestop/internal/hub/crews"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/mail/mailtest"
)

// mailFile is settings that lead to a test's server; the password lies beside them.
func mailFile(t *testing.T, server *mailtest.Server) string {
	t.Helper()
	folder := t.TempDir()
	for name, text := range map[string]string{
		"mail.toml": fmt.Sprintf("server = %q\nport = %d\nsecurity = \"none\"\nuser = %q\nfrom = \"Harbour League crew <crew@harbour.example>\"\npassword_file = \"password.txt\"\n",
			server.Host, server.Port, mailtest.User),
		"password.txt": mailtest.Password + "\n",
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(folder, "mail.toml")
}

// until waits for what another goroutine brings about.
func until(t *testing.T, what string, is func() bool) {
	t.Helper()
	for deadline := time.Now().Add(2 * time.Minute); !is(); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatal("it never came about: ", what)
		}
	}
}

// A desk on a coordinator's computer and one at a hub send letters by a real server of
// mail; the password is in nothing that is printed or logged.
func TestLettersLeaveByTheProgram(t *testing.T) {
	t.Parallel() // it waits most of its time
	for _, at := range []string{"desk", "hub", "hub over PostgreSQL"} {
		t.Run(at, func(t *testing.T) {
			server := mailtest.New(t, mailtest.Plain)
			log, out := &printed{}, &printed{}
			p := &Program{Out: out, Log: log}
			t.Cleanup(func() {
				if err := p.Close(); err != nil {
					t.Error(err)
				}
				for _, said := range []*printed{log, out} {
					if strings.Contains(said.text.String(), mailtest.Password) || strings.Contains(said.text.String(), "someone@example.org") {
						t.Error(said.text.String())
					}
				}
			})
			var a asker
			root := ""
			if at == "desk" {
				if err := p.Run(t.Context(), []string{"desk", "--demo", "--listen", "127.0.0.1:0", "--mail", mailFile(t, server)}); err != nil {
					t.Fatal(p.explain(err))
				}
				noon(t, p.seasonFiles())
				a = asker{t, newClient(t), strings.TrimSuffix(out.find(t, "desk"), "/desk")}
			} else {
				where := []string{"--data", t.TempDir()}
				if at != "hub" {
					c := ownPostgres(t)
					must(t, "hub", "prepare", "--postgres", c.Super("hub"))
					where = []string{"--postgres", c.URL(hubApp, "hub")}
				}
				if err := p.Run(t.Context(), append([]string{"hub", "--listen", "127.0.0.1:0", "--mail", mailFile(t, server)}, where...)); err != nil {
					t.Fatal(p.explain(err))
				}
				if err := p.hub.inventCrew(t.Context()); err != nil {
					t.Fatal(err)
				}
				noon(t, p.hub.seasonOf(t))
				a, root = signedIn(t, p, out), "/crew/"+p.hub.id
			}
			var box struct {
				Due  []struct{ Person, Name string }
				Mail struct{ Mark string }
			}
			read := func(text string) {
				t.Helper()
				if err := json.Unmarshal([]byte(text), &box); err != nil {
					t.Fatal(err)
				}
			}
			read(a.must("GET", root+"/api/crew/messages", ""))
			var person map[string]any
			var people struct{ People []map[string]any }
			if err := json.Unmarshal([]byte(a.must("GET", root+"/api/crew/people", "")), &people); err != nil {
				t.Fatal(err)
			}
			for _, one := range people.People {
				if one["id"] == box.Due[0].Person {
					person = one
				}
			}
			person["reach"] = "someone@example.org"
			delete(person, "stays")
			raw, err := json.Marshal(person)
			if err != nil {
				t.Fatal(err)
			}
			a.must("PUT", root+"/api/crew/people/"+box.Due[0].Person, string(raw))
			read(a.must("GET", root+"/api/crew/messages", ""))
			a.must("POST", root+"/api/crew/messages", fmt.Sprintf(`{"people":[%q],"act":"mail","saw":%q}`, box.Due[0].Person, box.Mail.Mark))
			until(t, "a letter", func() bool { return len(server.Letters()) > 0 })
			if got := server.Letters()[0]; got.To != "someone@example.org" || got.Header.Get("List-Unsubscribe") == "" {
				t.Errorf("%+v", got)
			}
			until(t, "that it is kept", func() bool {
				return strings.Contains(a.must("GET", root+"/api/crew/messages", ""), `"state":"sent"`)
			})
		})
	}
}

// seasonOf is the season beside the desk of the hub's own association.
func (a *association) seasonOf(t *testing.T) crew.Season {
	t.Helper()
	if a.nation != nil {
		return crews.NewShelf(a.nation.store, a.id, office.Now)
	}
	return leaguefiles.New(filepath.Join(a.folder, crewFolder, a.id, leagueFolder))
}

// noon moves the rinks to where it is about noon now: nobody is written to at night, and
// the program has the computer's clock.
func noon(t *testing.T, files crew.Season) {
	t.Helper()
	text, err := files.League()
	if err != nil {
		t.Fatal(err)
	}
	zone := fmt.Sprintf("zone = \"Etc/GMT%+d\"", time.Now().UTC().Hour()-12) // the signs of these names are turned round
	moved := regexp.MustCompile(`(?m)^zone = .*$`).ReplaceAll(text, []byte(zone))
	if bytes.Equal(moved, text) {
		t.Fatal("the league has no zone")
	}
	if err := files.KeepLeague(moved); err != nil {
		t.Fatal(err)
	}
}

func TestWhatIsWrongWithTheSettingsOfMail(t *testing.T) {
	server := mailtest.New(t, mailtest.Plain)
	file := mailFile(t, server)
	if err := os.Remove(filepath.Join(filepath.Dir(file), "password.txt")); err != nil {
		t.Fatal(err)
	}
	run := func(environment string) string {
		p := &Program{Out: io.Discard, Log: io.Discard, Getenv: func(name string) string {
			if name == passwordOfMail {
				return environment
			}
			return ""
		}}
		defer func() {
			if err := p.Close(); err != nil {
				t.Error(err)
			}
		}()
		if err := p.Run(t.Context(), []string{"desk", "--data", t.TempDir(), "--listen", "127.0.0.1:0", "--mail", file}); err != nil {
			return p.explain(err)
		}
		return ""
	}
	if said := run(""); !strings.Contains(said, "password.txt") {
		t.Error(said)
	}
	if said := run(mailtest.Password); said != "" {
		t.Error(said)
	}
}

// Whoever was invited signs in by a letter later, and runs the desk as far as a coordinator
// may: the season is to read.
func TestSigningInByALetter(t *testing.T) {
	server := mailtest.New(t, mailtest.Plain)
	p, out := running(t, "hub", "--data", t.TempDir(), "--listen", "127.0.0.1:0", "--mail", mailFile(t, server))
	boss := signedIn(t, p, out)
	found := regexp.MustCompile(`/invited/[\w.-]+`).FindString(boss.form("/people/invite", "role=coordinator"))
	if found == "" {
		t.Fatal("the page shows no invitation")
	}
	asker{t, newClient(t), p.hub.address}.form(found, "name=Alex+Marlowe&address=alex%40example.org")
	later := asker{t, newClient(t), p.hub.address}
	for _, address := range []string{"nobody%40example.org", "alex%40example.org"} {
		later.form("/sign-in", "address="+address)
	}
	until(t, "a letter", func() bool { return len(server.Letters()) > 0 })
	letter := server.Letters()[0]
	text, err := io.ReadAll(quotedprintable.NewReader(strings.NewReader(letter.Body())))
	if err != nil {
		t.Fatal(err)
	}
	link := regexp.MustCompile(`/in/[\w.-]+`).FindString(string(text))
	if letter.To != "alex@example.org" || link == "" || letter.Header.Get("List-Unsubscribe") != "" || !strings.HasPrefix(string(text), "Hello Alex Marlowe") {
		t.Fatalf("%s: %s", letter.To, text)
	}
	later.form(link, "")
	desk := "/crew/" + p.hub.id
	later.must("GET", desk+"/api/crew", "")
	later.must("PUT", desk+"/api/crew/people", `{"text":"name,family\nMaren Holt,Holt\n","check":false,"replace":false}`)
	later.must("GET", desk+"/api/season", "")
	if status, said := later.ask("PUT", desk+"/api/season/league", `{"text":"","check":false}`); status != 403 {
		t.Errorf("a coordinator changes the season: %d %s", status, said)
	}
	if len(server.Letters()) != 1 {
		t.Errorf("%d letters", len(server.Letters()))
	}
}
