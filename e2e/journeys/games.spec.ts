import { expect, test } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { ledgerOf } from '../harness/game.ts'
import { play } from '../harness/play.ts'
import { Program } from '../harness/program.ts'
import { newGame } from '../harness/start.ts'
import { readGame } from '../harness/table.ts'
import { openWall } from '../harness/wall.ts'

// Whole games through the real pages: every line of the table is played at the
// bench, and after every post the Wall is read.
for (const { name, division, about, entries } of [
  { name: 'usa-hockey', division: 'Under 14', about: 'USA Hockey, with overtime four a side', entries: 100 },
  { name: 'nhl', division: 'Open', about: 'NHL, with overtime three a side', entries: 40 },
]) {
  test(`a whole game by the code of ${about}`, async ({ context }, info) => {
    const program = await Program.empty()
    let id = ''
    try {
      const bench = new Bench(await context.newPage())
      id = await newGame(bench, program, division)
      const wall = await context.newPage()
      await wall.setViewportSize({ width: 1920, height: 1080 })
      await openWall(wall, `${program.origin}/wall/${id}`)
      for (const [index, step] of readGame(name).entries()) {
        await test.step(step.line, () => play(bench, wall, step, index))
      }
      expect((await ledgerOf(program, id)).length).toBeGreaterThanOrEqual(entries)
    } finally {
      if (id) await info.attach('ledger.jsonl', { body: (await ledgerOf(program, id)).join('\n') })
      await program.close()
    }
  })
}
