import { expect } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { ledgerOf } from '../harness/game.ts'
import { Phone } from '../harness/phone.ts'
import { Program } from '../harness/program.ts'
import { test } from '../harness/rink.ts'

test('the same goal from two seats is noticed and made one', async ({ browser, program, bench, game }) => {
  const book = await Phone.seated(browser, program, bench, { seat: 'book' }, 'Book phone')
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('g h 12 -')
  const post = await book.post(game, 'goal', { side: 'home', scorer: '12', assists: ['9'] })
  expect(post).toBe(200)
  const double = bench.page.locator('[data-double]')
  await expect(double).toHaveCount(1)
  await expect(book.page.locator('[data-double]'), 'the Book is asked as well').toHaveCount(1)
  await expect(bench.at('score-home')).toHaveText('2')
  await bench.posting(() => double.locator('[data-act=merge]').click())
  await expect(bench.at('score-home')).toHaveText('1')
  await expect(double).toHaveCount(0)
  await expect(book.page.locator('[data-double]')).toHaveCount(0)

  // Before it is posted: what is built goes into the entry that is there.
  for (const letter of 'g h 12 6') await bench.at('command').pressSequentially(letter)
  await bench.considered()
  await expect(bench.at('double')).toBeVisible()
  await bench.posting(() => bench.at('double').locator('[data-act=merge]').click())
  await expect(bench.at('score-home')).toHaveText('1')
  expect((await ledgerOf(program, game)).at(-1)).toContain('whistlestop.amended.v1')
})

test('two people change one call: the second sees both and decides (N4)', async ({ browser, program, bench, game }) => {
  const book = await Phone.seated(browser, program, bench, { seat: 'book' }, 'Book phone')
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('h 17 trip')
  const call = JSON.parse((await ledgerOf(program, game)).at(-1) ?? '') as { id: string }
  const about = (name: string) => ({ kind: 'penalty', body: { side: 'home', player: '17', call: name, parts: ['minor'] } })

  /** The bench begins to amend, the Book is faster. */
  async function collide(theirs: string, mine: string): Promise<void> {
    await bench.act(bench.page.locator(`[data-entry="${call.id}"]`), 'amend')
    await bench.page.waitForTimeout(100)
    expect(await book.post(game, 'amended', about(theirs), { of: call.id })).toBe(200)
    await bench.page.locator(`[data-bench=call-choice][data-call="${mine}"]`).click()
    await bench.considered()
    await bench.at('post').click()
    await expect(bench.page.locator('[data-refused=stale]')).toBeVisible()
  }
  await collide('hooking', 'slashing')
  const card = bench.page.locator('[data-refused=stale]')
  await expect(card.locator('[data-version=theirs]')).toContainText('Hooking')
  await expect(card.locator('[data-version=yours]')).toContainText('Slashing')
  const before = await bench.seq()
  await card.locator('[data-act=theirs]').click()
  await expect(card).toHaveCount(0)
  expect(await bench.seq()).toBe(before)
  await collide('holding', 'slashing')
  await bench.posting(() => card.locator('[data-act=yours]').click())
  await expect(card).toHaveCount(0)
  await expect(bench.page.locator(`[data-entry="${call.id}"]`)).toContainText(/slashing/i)
})

test('the bench dies: its game goes on from the copy of a phone', async ({ browser, program, bench, game }, info) => {
  const phone = await Phone.seated(browser, program, bench, { seat: 'clock' }, 'Clock phone')
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('h 17 trip')
  await bench.typeCall('g v 8 23')
  const lines = await ledgerOf(program, game)
  await phone.at('link').click()
  const copy = phone.page.locator('[data-seat=details] [data-copy=line]')
  await expect(copy).toHaveAttribute('data-seq', String(lines.length))
  await expect(copy).toHaveAttribute('data-trouble', '')
  await program.kill()
  await expect(phone.at('page')).toHaveAttribute('data-link', 'lost')
  const saving = phone.page.waitForEvent('download')
  await copy.locator('[data-copy=save]').click()
  const file = info.outputPath('copy.jsonl')
  await (await saving).saveAs(file)

  const other = await Program.empty()
  try {
    const page = await (await browser.newContext()).newPage()
    await page.goto(other.origin)
    await page.locator('[data-start=copy-file]').setInputFiles(file)
    await expect(page.locator('[data-start=taken]')).toHaveAttribute('data-game', game)
    await page.locator('[data-start=taken] a').click()
    const next = new Bench(page)
    await expect(next.at('score-visitors')).toHaveText('1')
    expect((await ledgerOf(other, game)).slice(0, lines.length)).toEqual(lines)
    await next.typeCall('g h 12 -')
    await expect(next.at('score-home')).toHaveText('1')
    // A file that was changed is refused, and the line is named.
    await page.goto(other.origin)
    await page.locator('[data-start=copy-file]').setInputFiles({
      name: 'changed.jsonl', mimeType: 'application/jsonl', buffer: Buffer.from(lines.join('\n').replace('"player":"17"', '"player":"18"')),
    })
    await expect(page.locator('[data-start=copy-trouble]')).toContainText('Line')
  } finally {
    await other.close()
  }
})
