package jetstream

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/nats-io/nats.go"
)

// Settings is what a node of ours says of itself to hubs.
type Settings struct {
	Name       string `json:"name"`
	SyncAlways bool   `json:"sync_always"` // a message is on the disk before it is acknowledged
}

// askSettings is the subject on which nodes say how they write.
const askSettings = "whistlestop.node.settings"

// Tell lets a node answer hubs that ask for its settings.
func Tell(conn *nats.Conn, s Settings) error {
	raw, err := json.Marshal(s)
	if err != nil {
		return err
	}
	_, err = conn.Subscribe(askSettings, func(m *nats.Msg) {
		_ = m.Respond(raw) // whoever asked asks again at the next start
	})
	if err == nil {
		err = conn.Flush()
	}
	return err
}

// WeakError says that the bus could lose what it acknowledged.
type WeakError struct{ Setting, Found, Needed string }

// Error names the setting, what was found and what is needed.
func (e *WeakError) Error() string {
	return fmt.Sprintf("the bus runs with %s %s, and %s is needed", e.Setting, e.Found, e.Needed)
}

// PlainError says that a hub would talk to a node at another computer without encryption.
type PlainError struct{ Host string }

// Error names the host.
func (e *PlainError) Error() string {
	return fmt.Sprintf("node %s is another computer, and without keys everybody on the way could read and change what is said", e.Host)
}

// settingsWithin is how long nodes may take to say how they write; replicas is how many
// have to keep a message.
const (
	settingsWithin = 2 * time.Second
	replicas       = 3
)

// nodes asks the nodes how they write, and returns how many said so.
func nodes(ctx context.Context, conn *nats.Conn) (said int, err error) {
	inbox := conn.NewRespInbox()
	answers, err := conn.SubscribeSync(inbox)
	if err != nil {
		return 0, err
	}
	defer func() { _ = answers.Unsubscribe() }()
	if err := conn.PublishRequest(askSettings, inbox, nil); err != nil {
		return 0, err
	}
	ctx, cancel := context.WithTimeout(ctx, settingsWithin)
	defer cancel()
	for said < replicas {
		m, err := answers.NextMsgWithContext(ctx)
		if err != nil || len(m.Data) == 0 {
			return said, nil // nobody more says anything
		}
		var s Settings
		if err := json.Unmarshal(m.Data, &s); err != nil {
			return said, err
		}
		if !s.SyncAlways {
			return said, &WeakError{Setting: "sync_interval of node " + s.Name, Found: "not always", Needed: "always"}
		}
		said++
	}
	return said, nil
}
