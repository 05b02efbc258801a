import { whistles } from '../harness/whistles.ts'
import { test } from '../harness/fixtures.ts'

// What happens at particular kinds of whistle, duty by duty (docs/duties.md).

for (const { name, play } of whistles) test(name, async ({ bench, wall }) => play({ bench, wall }))
