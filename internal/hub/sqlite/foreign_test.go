package sqlite_test

import (
	"context"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"whistlestop/internal/hub/hubtest"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/sqlite"
)

// What our rows have in their keys, which whoever asks as somebody else knows too, and in
// all else, which nobody else may be told.
const (
	key          = "1"
	secret       = "ours alone"
	secretNumber = 424242
)

// ofNobody are questions that are about no association.
var ofNobody = []string{"Associations", "Forks", "Close", "BackUp", "Check"}

// Every question that a store has, whoever added it, is asked as another association with
// all that is in the keys of our rows, over every table that there is, whoever added it:
// it tells nothing of ours and changes nothing of ours.
func TestEveryQuestionOfAnotherAssociation(t *testing.T) {
	full := filled(t, secret)
	folder := filepath.Dir(full.file)
	asked := 0
	for method := range reflect.TypeFor[*sqlite.Store]().Methods() {
		if slices.Contains(ofNobody, method.Name) {
			continue
		}
		asked++
		t.Run(method.Name, func(t *testing.T) {
			said := full.ask(t, method)
			for _, mine := range []string{secret, fmt.Sprint(secretNumber), strings.Trim(fmt.Sprint([]byte(secret)), "[]")} {
				if strings.Contains(said, mine) {
					t.Errorf("it tells what is ours: %s", said)
				}
			}
		})
	}
	if asked < 60 {
		t.Errorf("only %d questions", asked)
	}
	// Once more where also what is in no key is as whoever asks guesses it.
	guessed := filled(t, key)
	for method := range reflect.TypeFor[*sqlite.Store]().Methods() {
		if !slices.Contains(ofNobody, method.Name) {
			t.Run(method.Name+" guessing", func(t *testing.T) { guessed.ask(t, method) })
		}
	}
	// What the test looks for is found when we ask ourselves.
	mine := open(t, folder)
	defer func() {
		if err := mine.Close(); err != nil {
			t.Error(err)
		}
	}()
	if names, err := mine.Names(t.Context(), ledgers.Where{Association: hubtest.Ours, Game: key}); err != nil || len(names) != 1 || names[0].Text != secret {
		t.Errorf("our own rows are not as the test means them: %v, %v", names, err)
	}
}

// ours is a file in which every table has a row of ours.
type ours struct {
	file   string
	tables []string
	rows   map[string][]string // of ours, by table
	raw    []byte
}

func filled(t *testing.T, rest string) ours {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "full")
	s := open(t, folder)
	for _, id := range []string{hubtest.Ours, hubtest.Theirs} {
		if err := s.Found(t.Context(), office.Association{ID: id, Name: id, Made: 1}, ledgers.Note{At: 1, What: "founded"}); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	d := ours{file: filepath.Join(folder, sqlite.File)}
	if d.tables = fillAll(t, d.file, rest); len(d.tables) < 15 {
		t.Fatalf("only %v", d.tables)
	}
	d.rows = rowsOfOurs(t, d.file, d.tables)
	for table, rows := range d.rows {
		if len(rows) == 0 {
			t.Fatalf("%s has no row of ours", table)
		}
	}
	var err error
	if d.raw, err = os.ReadFile(d.file); err != nil {
		t.Fatal(err)
	}
	return d
}

// ask asks a copy of the file as another association, and holds all that is ours in it
// against what it was.
func (d ours) ask(t *testing.T, method reflect.Method) string {
	t.Helper()
	folder := t.TempDir()
	file := filepath.Join(folder, sqlite.File)
	if err := os.WriteFile(file, d.raw, 0o600); err != nil {
		t.Fatal(err)
	}
	s := open(t, folder)
	said := askAsOthers(t, s, method)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	after := rowsOfOurs(t, file, d.tables)
	for table, rows := range d.rows {
		if !slices.Equal(rows, after[table]) {
			t.Errorf("%s was\n%s\nand is\n%s", table, rows, after[table])
		}
	}
	return said
}

// askAsOthers calls a method as another association, and returns all that it said.
func askAsOthers(t *testing.T, s *sqlite.Store, method reflect.Method) string {
	t.Helper()
	args := []reflect.Value{reflect.ValueOf(s), reflect.ValueOf(t.Context())}
	if method.Type.NumIn() < 3 || method.Type.In(1) != reflect.TypeFor[context.Context]() {
		t.Fatalf("%s names no association: say in this test that it is about none", method.Type)
	}
	for i := 2; i < method.Type.NumIn(); i++ {
		args = append(args, guessed(method.Type.In(i), 0))
	}
	switch third := method.Type.In(2); third {
	case reflect.TypeFor[string](): // by the custom of all questions
		args[2] = reflect.ValueOf(hubtest.Theirs)
	case reflect.TypeFor[ledgers.Where]():
		args[2] = reflect.ValueOf(ledgers.Where{Association: hubtest.Theirs, Game: key})
	case reflect.TypeFor[office.Association]():
		args[2] = reflect.ValueOf(office.Association{ID: hubtest.Theirs, Name: "x", Made: 1})
	default:
		t.Fatalf("%s names no association: say in this test that it is about none", method.Type)
	}
	var said []string
	for _, result := range method.Func.Call(args) {
		said = append(said, fmt.Sprintf("%+v", result.Interface()))
	}
	return strings.Join(said, " ")
}

// guessed is a value of a type as somebody gives it who knows what is in our keys.
func guessed(of reflect.Type, deep int) reflect.Value {
	v := reflect.New(of).Elem()
	switch of.Kind() {
	case reflect.String:
		v.SetString(key)
	case reflect.Int, reflect.Int64, reflect.Int32:
		v.SetInt(1)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Slice:
		if of.Elem().Kind() == reflect.Uint8 {
			v.SetBytes([]byte(key))
		} else if deep < 4 {
			v = reflect.Append(v, guessed(of.Elem(), deep+1))
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(of))
		v.SetMapIndex(guessed(of.Key(), deep+1), guessed(of.Elem(), deep+1))
	case reflect.Struct:
		for i := range of.NumField() {
			if v.Field(i).CanSet() && deep < 4 {
				v.Field(i).Set(guessed(of.Field(i).Type, deep+1))
			}
		}
	default:
	}
	return v
}

// fillAll gives every table of a file a row of ours, with a text in all that is in no key,
// and returns their names.
func fillAll(t *testing.T, file, rest string) (tables []string) {
	t.Helper()
	db := raw(t, file)
	for _, table := range texts(t, db, "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name NOT LIKE 'goose_%' ORDER BY name") {
		columns := texts(t, db, "SELECT name FROM pragma_table_info('"+table+"')")
		if !slices.Contains(columns, "association") {
			if table != "association" {
				t.Errorf("%s has no association", table)
			}
			continue
		}
		tables = append(tables, table)
		keys := map[string]bool{}
		for _, one := range texts(t, db, "SELECT name FROM pragma_table_info('"+table+"') WHERE pk > 0") {
			keys[one] = true
		}
		for _, index := range texts(t, db, "SELECT name FROM pragma_index_list('"+table+"')") {
			for _, one := range texts(t, db, "SELECT name FROM pragma_index_info('"+index+"')") {
				keys[one] = true
			}
		}
		var values []string
		for _, one := range columns {
			kind := texts(t, db, "SELECT type FROM pragma_table_info('"+table+"') WHERE name = '"+one+"'")[0]
			value := "'" + rest + "'"
			switch {
			case one == "association":
				value = "'" + hubtest.Ours + "'"
			case kind == "INTEGER" && (keys[one] || one == "forked" || one == "ended" || one == "revoked" || one == "used" || one == "decided" || one == "older"):
				value = map[bool]string{true: "1", false: "0"}[keys[one]]
			case kind == "INTEGER":
				value = fmt.Sprint(secretNumber)
			case keys[one]:
				value = "'" + key + "'"
			}
			if kind == "BLOB" {
				value = "CAST(" + value + " AS BLOB)"
			}
			values = append(values, value)
		}
		if _, err := db.ExecContext(t.Context(), "DELETE FROM "+table+" WHERE association = '"+hubtest.Ours+"'"); err != nil {
			t.Fatal(table, err)
		}
		if _, err := db.ExecContext(t.Context(), "INSERT INTO "+table+" ("+strings.Join(columns, ", ")+") VALUES ("+strings.Join(values, ", ")+")"); err != nil {
			t.Fatal(table, err)
		}
	}
	if _, err := db.ExecContext(t.Context(), "PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		t.Fatal(err)
	}
	return tables
}

// rowsOfOurs is all that is ours, by table.
func rowsOfOurs(t *testing.T, file string, tables []string) map[string][]string {
	t.Helper()
	db := raw(t, file)
	rows := map[string][]string{}
	for _, table := range tables {
		columns := texts(t, db, "SELECT name FROM pragma_table_info('"+table+"')")
		rows[table] = texts(t, db, "SELECT quote("+strings.Join(columns, ") || ' ' || quote(")+") FROM "+table+" WHERE association = '"+hubtest.Ours+"' ORDER BY 1")
	}
	return rows
}

func raw(t *testing.T, file string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+file+"?_pragma=foreign_keys(0)")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	return db
}

func texts(t *testing.T, db *sql.DB, query string) (list []string) {
	t.Helper()
	rows, err := db.QueryContext(t.Context(), query)
	if err != nil {
		t.Fatal(query, err)
	}
	for rows.Next() {
		var one string
		if err := rows.Scan(&one); err != nil {
			t.Fatal(query, err)
		}
		list = append(list, one)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(query, err)
	}
	return list
}
