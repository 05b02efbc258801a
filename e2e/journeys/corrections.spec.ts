import { corrections } from '../harness/corrections.ts'
import { test } from '../harness/fixtures.ts'

// Mistakes at a whistle: wrong number, wrong side, wrong length, goal taken back.

for (const { name, play } of corrections) test(name, async ({ bench, wall }) => play({ bench, wall }))
