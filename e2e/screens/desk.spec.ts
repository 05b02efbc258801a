import { mkdir } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from '@playwright/test'
import { ask, rota, withRota } from '../harness/desk.ts'
import { Program } from '../harness/program.ts'

// Takes the pictures of the crew's desk and of a volunteer's own page.

const folder = process.env['DESK_PICTURES'] ?? join(dirname(fileURLToPath(import.meta.url)), '../../docs/screens/desk')

test('the desk and a page of one\'s own', async ({ page }) => {
  const program = await Program.desk()
  try {
    await mkdir(folder, { recursive: true })
    await withRota(program)
    await page.setViewportSize({ width: 1280, height: 800 })
    await page.goto(`${program.origin}/desk#missing`)
    await expect(page.locator('[data-desk=week]')).toHaveCount(26)
    await page.screenshot({ path: join(folder, 'missing.png') })
    const one = (await rota(program)).find((duty) => duty.name !== '' && duty.seat === 'clock')
    await page.locator('[data-desk=to-rota]').click()
    await page.locator(`[data-desk=game][data-game="${one?.game}"] [data-seat=clock]`).click()
    await expect(page.locator('[data-desk=why]')).toBeVisible()
    await page.screenshot({ path: join(folder, 'seat.png') })
    const { link } = await ask<{ link: string }>(program, '/crew/links', { person: one?.person })
    await page.setViewportSize({ width: 390, height: 844 })
    await page.goto(`${program.network}/mine#${link.split('#')[1]}`)
    await expect(page.locator('[data-mine=duty]').first()).toBeVisible()
    await page.screenshot({ path: join(folder, 'mine.png') })
  } finally {
    await program.close()
  }
})
