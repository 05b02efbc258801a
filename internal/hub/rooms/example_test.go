package rooms_test

import (
	"context"
	"crypto/rand"
	"fmt"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/rooms"
)

func Example() {
	ctx := context.Background()
	all := rooms.New(rooms.Config{Asker: bus.NewMemory(), Now: func() entry.Millis { return 1 }, Random: rand.Reader})
	bench, err := all.Open(ctx, rooms.Bench{Association: "harbour", ID: "b1"}, "abcdefghijklmnopqrstuvwx")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer bench.Close()
	phone, err := all.Enter(ctx, bench.Room())
	if err != nil {
		fmt.Println(err)
		return
	}
	defer phone.Close()
	err = all.Say(ctx, bench.Room(), phone.ID(), []string{"what no hub can read"})
	for _, event := range bench.Take() {
		fmt.Println(event.Kind, event.Texts, err)
	}
	// Output:
	// here [] <nil>
	// texts [what no hub can read] <nil>
}
