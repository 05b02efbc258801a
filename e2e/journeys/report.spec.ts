import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'

// The duties before and after a game: rosters as leagues send them, confirmed and
// dressed; the report checked, signed, sealed, taken along and put right after.

const roster = 'No,Name,Pos,Role\n1,Juno Halvard,G,\n9,Maren Holt,F,\n7,Kit Rowan,D,\n9,Ansel Reedy,D,\n,Mara Varga,,Head coach'

test('a roster from a file is mended, confirmed and starts with a goalkeeper', async ({ page, program }) => {
  await page.goto(program.origin)
  const file = { name: 'kelp-bay.csv', mimeType: 'text/csv', buffer: Buffer.from(roster) }
  await page.locator('[data-start=name-home]').fill('Kelp Bay')
  await page.locator('[data-start=file-home]').setInputFiles(file)
  const field = page.locator('[data-start=roster-home]')
  await expect(field).toHaveValue(/Maren Holt/)
  await expect(page.locator('[data-start=trouble-line], [data-start=finding][data-level=mistake]').first()).toContainText('9')
  await field.fill((await field.inputValue()).replace('9 Ansel Reedy D', '19 Ansel Reedy D suspended'))
  await expect(page.locator('[data-start=trouble-line]')).toHaveCount(0)
  await expect(page.locator('[data-start=finding][data-level=mistake]')).toHaveCount(0)
  await page.locator('[data-start=name-visitors]').fill('Lanternside')
  await page.locator('[data-start=go]').click()
  await expect(page.locator('[data-bench=page]')).toBeVisible()

  await page.locator('[data-bench=help]').click()
  await page.locator('[data-bench=rosters]').click()
  await page.locator('[data-bench=roster-confirm-home]').click()
  await expect(page.locator('[data-bench=roster-ready-home]')).toContainText('Confirmed by Mara Varga')
  const keeper = page.locator('[data-bench=roster-keeper][data-side=home][data-number="1"]')
  await keeper.click()
  await expect(keeper).toHaveAttribute('aria-pressed', 'true')

  await page.goto(program.origin)
  await page.locator('[data-start=name-visitors]').fill('Kelp Bay')
  await page.locator('[data-start=last-visitors]').click()
  await expect(page.locator('[data-start=roster-visitors]')).toHaveValue(/19 Ansel Reedy D suspended/)
})

test('a game is read aloud, signed, sealed, taken along, and sealed again after a correction', async ({ bench, page, program, game }) => {
  await bench.begin('1st period')
  await bench.startClock()
  await bench.stopClock()
  await bench.tapGoal('home', '9', [])
  await bench.begin('End')

  await page.goto(`${program.origin}/report/${game}`)
  const at = (name: string) => page.locator(`[data-report="${name}"]`)
  await expect(at('aloud')).toContainText('1, Lanternside 0.')
  await expect(at('goals')).toContainText('9')
  await expect(at('seal')).toBeDisabled()

  await at('person-add').click()
  await at('person-name').fill('Dee Breakwater')
  await at('people-post').click()
  await expect(at('people-post')).toBeDisabled()
  await at('note-text').fill('A pane of glass was changed.')
  await at('note-add').click()
  await expect(at('note')).toContainText('A pane of glass was changed.')

  await at('sign-name').fill('Dee Breakwater')
  const pen = await at('pen').boundingBox()
  if (!pen) throw new Error('there is nowhere to sign')
  await page.mouse.move(pen.x + 60, pen.y + 60)
  await page.mouse.down()
  for (const [x, y] of [[120, 20], [180, 70], [260, 30], [340, 80]] as const) await page.mouse.move(pen.x + x, pen.y + y, { steps: 4 })
  await page.mouse.up()
  await at('sign').click()
  await expect(at('signature')).toContainText('Dee Breakwater')
  await at('seal').click()
  await expect(at('page')).toHaveAttribute('data-sealed', 'true')
  const shown = (await at('fingerprint').textContent())?.trim()
  const report = (await (await page.request.get(`${program.origin}/api/games/${game}/report`)).json()) as { seals: { fingerprint: string }[]; signatures: { drawing?: string }[] }
  expect(shown).toBe(report.seals[0]?.fingerprint)
  expect(report.signatures[0]?.drawing).toMatch(/^M\d+ \d+L/)

  for (const [name, begins] of [['report.pdf', '%PDF'], ['report.xlsx', 'PK']] as const) {
    const file = await page.request.get(`${program.origin}/api/games/${game}/${name}`)
    expect((await file.body()).subarray(0, begins.length).toString('latin1')).toBe(begins)
  }
  await at('share').check()
  await expect(at('share')).toBeChecked()

  await page.goto(`${program.origin}/bench/${game}`)
  await bench.posting(async () => {
    await bench.act(bench.line('Goal'), 'amend')
    await bench.tapNumber('12')
    await bench.considered()
    await bench.at('post').click()
  })
  await page.goto(`${program.origin}/report/${game}`)
  await expect(at('status')).toContainText('Changed after version 1')
  await at('seal').click()
  await expect(at('close')).toContainText('Version 2')
  const verdict = (await (await page.request.get(`${program.origin}/api/games/${game}/verify`)).json()) as { first?: unknown; seals: unknown[] }
  expect(verdict.first).toBeUndefined()
  expect(verdict.seals).toHaveLength(2)
})
