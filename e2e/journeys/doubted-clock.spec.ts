import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect, test } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { openGame } from '../harness/game.ts'
import { Program } from '../harness/program.ts'

/** Makes the program find, at its next start, that the computer was switched off meanwhile. */
async function switchOff(program: Program): Promise<void> {
  const file = join(program.data, 'instant.json')
  await expect.poll(() => readFile(file, 'utf8').catch(() => '')).not.toBe('')
  const kept = JSON.parse(await readFile(file, 'utf8')) as { boot: string }
  await writeFile(file, JSON.stringify({ ...kept, boot: 'the start before' }))
}

test('a computer that was off in play asks what the game clock shows, one tap for each reading', async ({ context }) => {
  let program = await Program.empty()
  try {
    const game = await openGame(program, 'harbour-u14')
    const bench = new Bench(await context.newPage())
    await bench.open(`${program.origin}/bench/${game}`)
    await bench.begin('1st period')
    await bench.setClock('10:00')
    await bench.typeCall('h 17 trip')
    await bench.startClock()
    await bench.page.waitForTimeout(1500)
    await program.kill()
    await switchOff(program)
    await bench.page.waitForTimeout(3000) // off: the readings differ
    program = await program.again()

    // Nothing was ended and nobody left the box; HOLD says why, with the readings.
    await expect(bench.at('page')).toHaveAttribute('data-link', 'heard')
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
    await expect(bench.at('hold').first()).toContainText('The computer was off while the game clock ran')
    await expect(bench.at('clock')).toHaveAttribute('data-running', 'false')
    const taps = bench.at('hold').first().locator('[data-bench=settle]')
    await expect(taps).toHaveCount(2)
    await expect(taps.first()).toContainText('last known')
    const onward = taps.filter({ hasText: "computer's clock" })

    // One tap takes a reading, and play goes on from there.
    const [time = ''] = /\d+:\d\d/.exec((await onward.textContent()) ?? '') ?? []
    await onward.click()
    await expect(bench.page.locator('[data-key^="doubt/"]')).toHaveCount(0)
    await expect(bench.at('clock')).toContainText(time)
    await bench.page.waitForTimeout(1200) // a press within a second of a change is meant for what stood there before
    await bench.startClock()
  } finally {
    await program.close()
  }
})
