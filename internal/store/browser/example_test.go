//go:build !js

package browser_test

import (
	"context"
	"fmt"

	"whistlestop/internal/store/browser"
	"whistlestop/internal/store/storetest"
)

func Example() {
	first, second := &held{}, &held{}
	ledgers, err := browser.Open(first, second)
	if err != nil {
		fmt.Println(err)
		return
	}
	game := storetest.Game(1)
	fmt.Println(ledgers.Append(context.Background(), game, storetest.Chain(game, nil, 2)))
	again, _ := browser.Open(first, second) // after the page was closed
	ledger, err := again.Load(context.Background(), game)
	fmt.Println(len(ledger), err)
	// Output:
	// <nil>
	// 2 <nil>
}
