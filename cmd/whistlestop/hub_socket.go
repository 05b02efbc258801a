package main

import (
	"context"
	"net"

	"github.com/coreos/go-systemd/v22/activation"

	"whistlestop/game/message"
)

// heldOpen is where a hub listens at the socket that it was started with
// (sd_listen_fds(3)): whoever connects while the hub is started anew waits there for the
// next one, and is not refused.
const heldOpen = "systemd"

// hubListener listens at an address, or at the socket that is held open.
func hubListener(ctx context.Context, address string) (net.Listener, error) {
	if address != heldOpen {
		listener, _, err := listenAt(ctx, address)
		return listener, err
	}
	given, err := activation.Listeners()
	if err != nil || len(given) != 1 || given[0] == nil {
		return nil, message.New("hub.command.socket", "sockets", len(given))
	}
	return given[0], nil
}
