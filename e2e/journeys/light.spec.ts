import { expect, type Page } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'

const most = 116_000 // bytes of script, packed, before the bench shows anything

// What the first picture does without, by the names of its files.
const rest = /\/(BarWhy|BoardCheck|CardPanel|CorrectionForm|DelayRows|DoubleCard|Doubles|FolderCopies|HandedRows|Help|History|HowWeWork|KeeperRows|NoteRows|Rail|RefusedCard|RequestRow|Rosters|SeatsSheet|ShootOut|Slim|SlotSheet|WhenPanel|Why)-[^/]*\.js$/

/** Notes when the bench is there, in milliseconds from the start of the page. */
async function watchBench(page: Page): Promise<void> {
  await page.addInitScript(() => {
    new MutationObserver((_, self) => {
      if (!document.querySelector('[data-bench=page]')) return
      Object.assign(window, { thereAt: performance.now() })
      self.disconnect()
    }).observe(document, { childList: true, subtree: true })
  })
}

/** The scripts that the page has loaded, with their size as they came. */
const scripts = (page: Page) => page.evaluate(() => (performance.getEntriesByType('resource') as PerformanceResourceTiming[])
  .filter((one) => one.name.endsWith('.js'))
  .map(({ name, responseEnd, encodedBodySize }) => ({ name, first: responseEnd < (window as unknown as { thereAt: number }).thereAt, size: encodedBodySize })))

test('the bench shows itself after 116 kB of script, and has the rest before anybody asks for it', async ({ page, program, game }) => {
  await watchBench(page)
  const bench = new Bench(page)
  await bench.open(`${program.origin}/bench/${game}`)
  const first = (await scripts(page)).filter((one) => one.first)
  const sum = first.reduce((all, one) => all + one.size, 0)
  console.log(`script before the bench shows anything: ${sum} bytes in ${first.length} files`)
  expect(first.length).toBeGreaterThan(5)
  expect(sum).toBeLessThan(most)
  expect(first.filter((one) => rest.test(one.name))).toEqual([])

  // Nobody touched anything, and what may be opened later is here.
  await expect.poll(async () => (await scripts(page)).filter((one) => rest.test(one.name)).length).toBe(24)
  await bench.begin('1st period')
  await program.kill()
  await bench.at('clock').click()
  await expect(page.locator('[data-bench=correction]')).toBeVisible()
  await page.keyboard.press('Escape')
  for (const kind of ['delay', 'goalkeeper', 'note'] as const) {
    await bench.at(`kind-${kind}`).click()
    await expect(page.locator('[data-base=coming]')).toHaveCount(0)
    await bench.at('clear').click()
  }
  await bench.at('help').click()
  await expect(bench.at('help-overlay')).toBeVisible()
})

test('what is not here yet is said in its place, and comes by itself', async ({ page, program, game }) => {
  let away = true
  await page.route(rest, (route) => (away ? route.abort() : route.continue()))
  const bench = new Bench(page)
  await bench.open(`${program.origin}/bench/${game}`)
  await bench.begin('1st period')
  await bench.at('kind-delay').click()
  const coming = page.locator('[data-base=coming]')
  await expect(coming).toContainText('It comes by itself')
  away = false
  await expect(coming).toHaveCount(0)
  await expect(bench.at('delay-injury')).toBeVisible()
})
