import { expect, test } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { ledgerOf, openGame } from '../harness/game.ts'
import { Program } from '../harness/program.ts'
import { openWall } from '../harness/wall.ts'

test('killed in mid-play and started again: the game is as it was and the clock still right', async ({ context }) => {
  let program = await Program.empty()
  try {
    const game = await openGame(program, 'harbour-u14')
    const bench = new Bench(await context.newPage())
    const wall = await context.newPage()
    await bench.open(`${program.origin}/bench/${game}`)
    await openWall(wall, `${program.origin}/wall/${game}`)
    await bench.begin('1st period')
    await bench.setClock('10:00')
    await bench.typeCall('h 17 trip')
    await bench.typeCall('g h 12 6')
    await bench.startClock()
    const started = Date.now()
    const before = await ledgerOf(program, game)

    await program.kill()
    await expect(bench.at('page')).toHaveAttribute('data-link', 'lost')
    await expect(bench.at('ready')).toBeVisible()
    program = await program.again()

    await expect(bench.at('page')).toHaveAttribute('data-link', 'heard')
    expect(await ledgerOf(program, game)).toEqual(before)
    await expect(wall.locator('[data-wall=score-home]')).toHaveText('1')
    await expect(wall.locator('[data-wall=bar][data-side=home]')).toHaveCount(1)
    await expect(bench.at('clock')).toHaveAttribute('data-running', 'true')

    // The clock ran on while the program was dead.
    const left = /(\d+):(\d\d)/.exec((await bench.at('clock').textContent()) ?? '')
    const [minutes, seconds] = [Number(left?.[1]), Number(left?.[2])]
    const elapsed = 600 - (minutes * 60 + seconds)
    expect(Math.abs(elapsed - (Date.now() - started) / 1000)).toBeLessThan(1.5)
    await bench.stopClock()
    await bench.typeCall('g v 8 -')
    await expect(wall.locator('[data-wall=score-visitors]')).toHaveText('1')
  } finally {
    await program.close()
  }
})

test('what is entered while the program is dead is sent when it is back, once', async ({ context }) => {
  let program = await Program.empty()
  try {
    const game = await openGame(program, 'harbour-u14')
    const bench = new Bench(await context.newPage())
    await bench.open(`${program.origin}/bench/${game}`)
    await bench.begin('1st period')
    const before = (await ledgerOf(program, game)).length
    await program.kill()
    await expect(bench.at('page')).toHaveAttribute('data-link', 'lost')
    await bench.at('command').pressSequentially('g h 12 6')
    await expect(bench.at('post')).toBeEnabled()
    await bench.page.keyboard.press('Enter')
    program = await program.again()
    await expect.poll(async () => (await ledgerOf(program, game)).length).toBe(before + 1)
    await expect(bench.at('score-home')).toHaveText('1')
  } finally {
    await program.close()
  }
})
