package memory_test

import (
	"testing"

	"whistlestop/internal/store/memory"
	"whistlestop/internal/store/storetest"
)

func TestStore(t *testing.T) {
	storetest.Run(t, func(*testing.T) storetest.Store { return memory.New() })
}
