// Package private starts a PostgreSQL of one's own, for tests and the demonstration of a
// national hub: Debian's programs, a folder that is made and removed, a socket in that
// folder and no port, the usual care for what is acknowledged. PostgreSQL refuses to run
// as root; root starts it as the user that Debian's package makes for it.
//
//	cluster, err := private.Start(ctx)
//	if errors.Is(err, private.ErrNoPrograms) {
//		t.Skip("there is no PostgreSQL here")
//	}
//	defer cluster.Stop()
//	err = cluster.Make(ctx, "hub")
//	store, err := postgres.Open(ctx, cluster.URL("whistlestop_app", "hub"))
package private
