import { mkdir } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from '@playwright/test'
import { ask, nextSeason, rota } from '../harness/desk.ts'
import { Program } from '../harness/program.ts'

// Takes the pictures of the crew's desk and of a volunteer's own page, from the invented
// season that `whistlestop desk --demo` shows.

const folder = process.env['DESK_PICTURES'] ?? join(dirname(fileURLToPath(import.meta.url)), '../../docs/screens/desk')

test('the desk and a page of one\'s own', async ({ page }) => {
  test.setTimeout(180_000)
  const program = await Program.desk('--demo')
  const shot = (name: string) => page.screenshot({ path: join(folder, `${name}.png`) })
  const turn = async (name: string, sign: string) => {
    await page.locator(`[data-desk=to-${name}]`).click()
    await expect(page.locator(sign).first()).toBeVisible()
  }
  try {
    await mkdir(folder, { recursive: true })
    await page.setViewportSize({ width: 1280, height: 800 })
    await page.goto(`${program.origin}/desk#missing`)
    await expect(page.locator('[data-desk=week]')).toHaveCount(26)
    await shot('missing')
    await turn('people', '[data-desk=person]')
    await page.locator('[data-desk=find]').scrollIntoViewIfNeeded()
    await shot('people')
    await turn('rules', '[data-desk=seat-rule]')
    await shot('rules')
    await turn('games', '[data-desk=touched]')
    await shot('games')
    await turn('balance', '[data-desk=family]')
    await shot('balance')
    await turn('messages', '[data-desk=message]')
    await page.locator('[data-desk=due]').scrollIntoViewIfNeeded()
    await shot('messages')
    await turn('rota', '[data-desk=game]')
    await shot('rota')
    const one = (await rota(program)).find((duty) => duty.name !== '' && duty.seat === 'clock' && duty.status === 'waiting')
    await page.locator(`[data-desk=game][data-game="${one?.game}"] [data-seat=clock]`).click()
    await expect(page.locator('[data-desk=why]')).toBeVisible()
    await shot('seat')
    await page.locator('[data-bench=desk-seat-close]').click()
    const { link } = await ask<{ link: string }>(program, '/crew/links', { person: one?.person })
    const own = await page.context().newPage()
    await own.setViewportSize({ width: 390, height: 844 })
    await own.goto(`${program.network}/mine#${link.split('#')[1]}`)
    await expect(own.locator('[data-mine=duty]').first()).toBeVisible()
    await own.screenshot({ path: join(folder, 'mine.png') })
    await own.close()
    await ask(program, '/crew/rota', { moves: 100 })
    await nextSeason(program)
    await page.goto(`${program.origin}/desk#people`)
    await page.reload()
    await expect(page.locator('[data-desk=season-other]')).toBeVisible()
    await page.locator('[data-desk=season-begin]').click()
    await page.locator('[data-desk=season-sure]').click()
    await expect(page.locator('[data-desk=season-stays]')).toBeVisible()
    await page.locator('[data-desk=season-new]').scrollIntoViewIfNeeded()
    await shot('season')
  } finally {
    await program.close()
  }
})
