package sqlite_test

import (
	"testing"

	"whistlestop/internal/hub/people/peopletest"
)

func TestPeople(t *testing.T) {
	peopletest.Run(t, func(t *testing.T) peopletest.Store { return open(t, t.TempDir()) })
}
