import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { ledgerOf } from '../harness/game.ts'
import { keyboardGame } from '../harness/keyboard-game.ts'

test('a whole game by keyboard alone', async ({ bench, program, game, wall }) =>
  keyboardGame(bench, wall, async () => (await ledgerOf(program, game)).length))

test('digits of a call answer nothing; with Alt they do', async ({ bench }) => {
  const { keyboard } = bench.page
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('h b too')
  const seq = await bench.seq()
  await bench.beginCall('penalty', 'home')
  await keyboard.type('12')
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
  expect(await bench.seq()).toBe(seq)
  await keyboard.press('Escape')
  await keyboard.press('Escape')
  await expect(bench.page.locator('[data-digit="1"]')).toBeVisible()
  await expect(bench.at('call')).toHaveAttribute('data-busy', 'false')
  await keyboard.press('Alt+1')
  await expect(bench.at('call'), 'the call is opened, to be filled in').toHaveAttribute('data-busy', 'true')
})
