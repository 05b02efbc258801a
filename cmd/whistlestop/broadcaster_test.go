package main

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing/fstest"
	"time"

	"whistlestop/internal/store/sqlite"
)

// runAsBroadcaster makes the test's own binary what a hub is held against: streams of
// server-sent events with nothing to work out. Its value has three parts with commas: how
// often each stream beats, as a Go duration, 0s: never; a folder in which a row is kept of
// what is posted, on the disk before it is answered, or nothing; the folder of a certificate,
// or nothing.
const runAsBroadcaster = "WHISTLESTOP_RUN_AS_BROADCASTER"

// broadcast hands what is posted for a game to all who follow it.
func broadcast(beat string) int {
	beat, rest, _ := strings.Cut(beat, ",")
	rows, keys, _ := strings.Cut(rest, ",")
	every, err := time.ParseDuration(beat)
	listener, failed := net.Listen("tcp", "127.0.0.1:0")
	keep, unkept := keeper(rows)
	if err != nil || failed != nil || unkept != nil {
		return 1
	}
	var mutex sync.Mutex
	followers := map[string]map[chan []byte]bool{}
	http.HandleFunc("POST /{game}", func(w http.ResponseWriter, r *http.Request) {
		message, _ := io.ReadAll(r.Body)
		if keep(message) != nil {
			w.WriteHeader(http.StatusInternalServerError)
			return
		}
		mutex.Lock()
		defer mutex.Unlock()
		for f := range followers[r.PathValue("game")] {
			select {
			case f <- message:
			default: // it reads too slowly
			}
		}
	})
	http.HandleFunc("GET /{game}", func(w http.ResponseWriter, r *http.Request) {
		game, news, control := r.PathValue("game"), make(chan []byte, 8), http.NewResponseController(w)
		mutex.Lock()
		if followers[game] == nil {
			followers[game] = map[chan []byte]bool{}
		}
		followers[game][news] = true
		mutex.Unlock()
		send := func(message []byte) bool {
			_ = control.SetWriteDeadline(time.Now().Add(10 * time.Second))
			_, err := w.Write(message)
			return err == nil && control.Flush() == nil
		}
		beats := make(<-chan time.Time)
		if every > 0 {
			beats = time.Tick(every)
		}
		for on := send([]byte("\nretry: 1000\n\n")); on; {
			select {
			case message := <-news:
				on = send(message)
			case <-beats:
				on = send(fmt.Appendf(nil, "event: beat\ndata: {\"now_ms\":%d}\n\n", time.Now().UnixMilli()))
			case <-r.Context().Done():
				on = false
			}
		}
		mutex.Lock()
		delete(followers[game], news)
		mutex.Unlock()
	})
	scheme := "http"
	if keys != "" {
		scheme = "https"
	}
	if _, err := fmt.Fprintf(os.Stdout, "hub %s://%s/\n", scheme, listener.Addr()); err != nil {
		return 1
	}
	if keys != "" {
		_ = http.ServeTLS(listener, nil, filepath.Join(keys, "certificate.pem"), filepath.Join(keys, "key.pem"))
		return 0
	}
	_ = http.Serve(listener, nil)
	return 0
}

// keeper returns how a message is kept: by a row of one table, on the disk when it returns;
// without a folder not at all.
func keeper(folder string) (func(message []byte) error, error) {
	if folder == "" {
		return func([]byte) error { return nil }, nil
	}
	made := fstest.MapFS{"00001_bare.sql": {Data: []byte("-- +goose Up\nCREATE TABLE bare (n INTEGER PRIMARY KEY, line BLOB NOT NULL) STRICT;\n")}}
	db, err := sqlite.OpenDatabase(context.Background(), folder, "bare.db", "bare.lock", made)
	return func(message []byte) error {
		return db.Change(context.Background(), func(tx *sqlite.Tx) error {
			_, err := tx.Exec("INSERT INTO bare (line) VALUES (?)", message)
			return err
		})
	}, err
}
