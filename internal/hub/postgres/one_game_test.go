package postgres_test

import (
	"testing"

	"whistlestop/internal/hub/hubtest"
)

// Two hubs over one database: a link for one game is for the same one at both.
func TestOneGameAtTwoHubs(t *testing.T) {
	database := fresh(t)
	here, there := open(t, running(t).URL(app, database)), open(t, running(t).URL(app, database))
	defer closed(t, here)
	defer closed(t, there)
	found(t, here)
	hubtest.OneGameRace(t, here, there)
}
