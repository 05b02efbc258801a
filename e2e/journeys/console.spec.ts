import { expect, type Page, test as base } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { pagesOf } from '../harness/practice.ts'
import { Program } from '../harness/program.ts'

// Somebody stands in front of an invented console with a phone, fills in a card for it
// from nothing, keeps it on the bench, and practises on its keys.

const test = base.extend<{ program: Program }>({
  program: async ({}, use) => {
    const program = await Program.empty()
    await use(program)
    await program.close()
  },
})

const at = (page: Page, name: string) => page.locator(`[data-console="${name}"]`)

/** Fills in one step of a happening by the taps that the form offers. */
async function step(page: Page, when: string, words: string, taps: string[]): Promise<void> {
  const happening = page.locator(`[data-console=happening][data-when=${when}]`)
  await happening.locator('summary').click()
  await happening.locator('[data-console=add-step]').click()
  await happening.locator('[data-console=do]').fill(words)
  for (const tap of taps) {
    const gap = /^\{(\w+)\}$/.exec(tap)?.[1]
    await happening.locator(gap ? `[data-console=tap-gap][data-gap=${gap}]` : `[data-console=tap][data-key="${tap}"]`).click()
  }
}

/** Presses what is shown until the drill is over. */
async function follow(page: Page): Promise<void> {
  for (let presses = 0; presses < 60; presses++) {
    const play = at(page, 'play')
    if (await play.getAttribute('data-over') === 'true') return
    const acts = Number(await play.getAttribute('data-acts'))
    const next = page.locator('[data-console=key].next')
    await (await next.count() > 0 ? next : at(page, 'done')).click()
    await expect(play).toHaveAttribute('data-acts', String(acts + 1))
  }
}

test('a card is made from nothing on a phone, kept on the bench and practised', async ({ page, program }) => {
  test.setTimeout(120_000)
  await page.setViewportSize({ width: 390, height: 844 })
  await page.goto(`${program.origin}/practice/#console`)
  await at(page, 'new').click()
  await at(page, 'rink').fill('Northmole Ice House')
  await at(page, 'word-visitors').fill('guest')
  const rows = ['main lever, green tile', 'home star, guest star, home slot, guest slot', '1, 2, 3, 4, 5', '6, 7, 8, 9, 0']
  for (const [n, row] of rows.entries()) {
    if (await at(page, 'row').count() <= n) await at(page, 'add-row').click()
    await at(page, 'row').nth(n).fill(row)
  }
  await at(page, 'clear').selectOption('main lever')
  await step(page, 'before_game', 'Pull the main lever, then set the clock to {time}.', ['main lever', '{time}', 'green tile'])
  await step(page, 'goal', 'Touch the star of {side}.', ['{side} star'])
  await step(page, 'penalty_taken_down', 'Slot, line, tile.', ['{side} slot', '{line}', 'green tile'])

  // What is missing is said beside its field, in words, and goes when it is there.
  await step(page, 'penalty_posted', 'Slot, {time}, tile, {number}, tile.', ['{side} slot'])
  const fault = page.locator('[data-console=fault][data-field="penalty_posted.0.press"]')
  await expect(fault).toContainText('{time}')
  const posted = page.locator('[data-console=happening][data-when=penalty_posted]')
  for (const tap of ['{time}', 'green tile', '{number}', 'green tile']) {
    await posted.locator(tap.startsWith('{') ? `[data-gap=${tap.slice(1, -1)}]` : `[data-console=tap][data-key="${tap}"]`).click()
  }
  await expect(fault).toHaveCount(0)
  await expect(posted.locator('[data-console=seen]')).toContainText('home slot')
  await at(page, 'add-contacts').click()
  await at(page, 'contacts-first').fill('Ice master Wren')
  await at(page, 'contacts-second').fill('extension 7')
  await expect(at(page, 'state')).toHaveAttribute('data-faults', '0')
  expect(await beyond(page)).toBe(0)
  expect(await violations(page)).toEqual([])

  // It is there after a reload, and the bench takes it.
  await page.reload()
  await expect(at(page, 'rink')).toHaveValue('Northmole Ice House')
  await at(page, 'form-done').click()
  await at(page, 'keep').click()
  await expect(at(page, 'told')).toBeVisible()
  const file = await page.request.get(`${program.origin}/api/cards/northmole-ice-house.toml`)
  expect(await file.text()).toContain('Ice master Wren')
  const paper = await page.request.get(`${program.origin}/api/cards/northmole-ice-house.pdf?paper=a4`)
  expect(pagesOf(await paper.body())).toBeGreaterThan(0)
  expect(await (await page.request.get(`${program.origin}/api/cards`)).text()).not.toContain('extension 7')

  // A wrong press is told, the way back is shown, and it costs.
  await at(page, 'practise').first().click()
  await page.locator('[data-drill=post_penalty]').click()
  await expect(at(page, 'say')).toContainText('Penalty')
  await page.locator('[data-console=key][data-key="home star"]').click()
  await expect(at(page, 'told')).toContainText('home star')
  expect(await violations(page)).toEqual([])
  await follow(page)
  await expect(at(page, 'grade')).toBeVisible()
  await expect(at(page, 'grade').locator('h1')).toHaveText(/^\d\d of 100$/)
  await at(page, 'leave').click()
  await page.locator('[data-drill=power_play]').click()
  await follow(page)
  await expect(at(page, 'grade').locator('h1')).toHaveText('100 of 100')
})
