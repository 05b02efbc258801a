package pocket_test

import (
	"fmt"
	"io"

	"whistlestop/internal/pocket"
	"whistlestop/internal/store/memory"
)

func Example() {
	b, err := pocket.Open(pocket.Config{Ledgers: memory.New(), Papers: &file{}, Instant: &file{}, Log: io.Discard})
	if err != nil {
		fmt.Println(err)
		return
	}
	defer b.Close()
	answer := b.Ask("GET", "/games", nil)
	fmt.Println(answer.Status, string(answer.Body))
	// Output:
	// 200 {"games":[]}
}
