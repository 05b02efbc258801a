import { type Page, expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { always, hidden, outOfView, sideways, sizes } from '../harness/fit.ts'
import { Past } from '../harness/past.ts'

// At every size the clock, the score, READY or HOLD and the clock's control stay in view, in the
// states that the stories reach. One page for all of it: it is made another size, not opened again.

/** Measures the page as it stands, at its top and scrolled to its end. */
async function measure(page: Page, state: string): Promise<string[]> {
  const faults: string[] = []
  for (const { name, width, height } of sizes) {
    await page.setViewportSize({ width, height })
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
    const at = `${state}, ${name} ${width}x${height}`
    for (const place of ['top', 'end'] as const) {
      await page.evaluate((to) => {
        scrollTo(0, to === 'top' ? 0 : document.documentElement.scrollHeight)
        return new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))
      }, place)
      faults.push(...(await outOfView(page, always)).map((fault) => `${at}, ${place}: ${fault}`))
    }
    const beyond = await sideways(page)
    if (beyond > 0) faults.push(`${at}: ${beyond} px beyond the right edge`)
  }
  return faults
}

test('the clock, the score, READY and the control stay in view in every state', async ({ bench, program, game }) => {
  test.setTimeout(300_000)
  const { page } = bench
  const past = new Past(program, game)
  const faults: string[] = []
  const look = async (state: string) => {
    await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur())
    faults.push(...(await measure(page, state)))
  }
  await look('before the game')
  await past.begin('period', 1)
  await past.whistle('10:00')
  await expect(bench.at('clock')).toContainText('10:00')
  await look('a whistle')
  await past.penalty('home', '17', 'tripping')
  await past.penalty('visitors', '22', 'roughing', ['minor', 'misconduct'])
  await past.whistle('9:30')
  await past.penalty('home', '6', 'hooking')
  await past.penalty('home', '7', 'slashing')
  await expect(bench.page.locator('[data-wall=bar]')).toHaveCount(4)
  await look('three in the box, and HOLD')
  await past.whistle('8:06')
  await expect(bench.page.locator('[data-due]')).toHaveCount(1)
  await look('somebody comes out')
  await past.goal('visitors', '8', '23')
  await expect(bench.at('score-visitors').or(page.locator('[data-wall=score-visitors]')).first()).toHaveText('1')
  await look('after a goal')
  await page.setViewportSize({ width: 1366, height: 768 })
  await bench.at('kind-penalty').click()
  await bench.at('side-home').click()
  await bench.tapNumber('12')
  await look('a penalty that is built')
  await page.setViewportSize({ width: 1366, height: 768 })
  await bench.at('kind-goal').click()
  await bench.at('side-visitors').click()
  await look('a goal that is built')
  await page.keyboard.press('Escape')
  await past.runOut()
  await past.begin('intermission', 1)
  await expect(bench.at('page')).toHaveAttribute('data-stage', 'intermission')
  await look('an intermission')
  await past.work({ clock: 'beside' })
  await past.begin('period', 2)
  await past.card()
  await past.whistle('9:00')
  await expect(bench.at('page')).toHaveAttribute('data-stage', 'period')
  await look('beside a board, with its card')
  expect(faults).toEqual([])
})

test('numbers and kinds of penalties are reached by scrolling the page alone, and after Post the clock is in view', async ({ bench, program, game }) => {
  test.setTimeout(300_000)
  const { page } = bench
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('10:00')
  const faults: string[] = []
  for (const [i, { name, width, height }] of sizes.entries()) {
    await page.setViewportSize({ width, height })
    await bench.at('kind-penalty').click()
    await bench.at('side-home').click()
    faults.push(...(await hidden(page, '[data-bench=number]')).map((fault) => `${name}: ${fault}`))
    await bench.tapNumber('12')
    faults.push(...(await hidden(page, '[data-bench=call-choice], [data-bench=part]')).map((fault) => `${name}: ${fault}`))
    await page.locator('[data-bench=call-choice]').nth(i).click() // the same call again would be asked about
    faults.push(...(await hidden(page, '[data-bench=post]')).map((fault) => `${name}: ${fault}`))
    await bench.tapPost()
    faults.push(...(await outOfView(page, always)).map((fault) => `${name}, after Post: ${fault}`))
  }
  expect(faults).toEqual([])
})
