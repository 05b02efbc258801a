package changes_test

import (
	"encoding/json"
	"fmt"

	"whistlestop/internal/changes"
)

// A list that grew by one element is sent as that element.
func Example() {
	type game struct {
		Score [2]int   `json:"score"`
		Lines []string `json:"lines"`
	}
	before, err := changes.Of(nil, 1, game{Lines: []string{"Opened."}}, nil)
	if err != nil {
		panic(err)
	}
	after, err := changes.Of(before, 2, game{Lines: []string{"Opened.", "A note."}}, nil)
	if err != nil {
		panic(err)
	}
	raw, err := json.Marshal(after.Since(1))
	fmt.Println(string(raw), err)
	// Output: {"from":1,"seq":2,"set":{},"gone":[],"lists":{"lines":{"length":2,"at":{"1":"A note."}}}} <nil>
}
