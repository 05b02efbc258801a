package postgres

import "github.com/jackc/pgx/v5"

// Trace tells a tracer what databases that are opened from now on are asked.
func Trace(t pgx.QueryTracer) { tracer = t }
