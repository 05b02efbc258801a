import { type Page, expect } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'
import { always, cut, hidden, outOfView, sideways, sizes } from '../harness/fit.ts'
import { openGame } from '../harness/game.ts'
import { Past } from '../harness/past.ts'
import { type State, states } from '../harness/states.ts'
import { lostInForcedColours, misnamed, spaced } from '../harness/wcag.ts'

// At every size the clock, the score, READY or HOLD and the clock's control stay in view, and no words
// are cut off, in the states that the stories reach. One page for all of it: it is made another size,
// not opened again.

async function resize(page: Page, width: number, height: number): Promise<void> {
  await page.setViewportSize({ width, height })
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
}

/** Measures the page as it stands, at its top and scrolled to its end. */
async function measure(page: Page, { name: state, over = [] }: State): Promise<string[]> {
  const faults: string[] = []
  const wanted = Object.fromEntries(Object.entries(always).filter(([name]) => !over.includes(name)))
  for (const { name, width, height } of sizes) {
    await resize(page, width, height)
    const at = `${state}, ${name} ${width}x${height}`
    for (const place of ['end', 'top'] as const) {
      await page.evaluate((to) => {
        scrollTo(0, to === 'top' ? 0 : document.documentElement.scrollHeight)
        return new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))
      }, place)
      faults.push(...(await outOfView(page, wanted)).map((fault) => `${at}, ${place}: ${fault}`))
    }
    faults.push(...(await cut(page)).map((fault) => `${at}: ${fault}`))
    const beyond = await sideways(page)
    if (beyond > 0) faults.push(`${at}: ${beyond} px beyond the right edge`)
  }
  return faults
}

for (const part of [0, 1]) {
  test(`the clock, the score, READY and the control stay in view, and nothing is cut off, in every state (${part + 1} of 2)`, async ({ page, program }) => {
    const bench = new Bench(page)
    const faults: string[] = []
    for (const state of states.filter((_, i) => i % 2 === part)) {
      await page.setViewportSize({ width: 1366, height: 768 })
      const game = await openGame(program, 'harbour-u14')
      await state.past?.(new Past(program, game))
      await bench.open(`${program.origin}/bench/${game}`)
      await state.hands?.(bench)
      faults.push(...(await misnamed(page)), ...(await cut(page)).map((fault) => `${state.name}: ${fault}`))
      faults.push(...(await measure(page, state)))
      for (const [width, height] of [[390, 844], [1366, 768]] as const) {
        await resize(page, width, height)
        faults.push(...(await spaced(page)).map((fault) => `${state.name}, ${width} px wide, ${fault}`))
      }
      faults.push(...(await lostInForcedColours(page)).map((fault) => `${state.name}, ${fault}`))
    }
    expect([...new Set(faults)]).toEqual([])
  })
}

test('numbers and kinds of penalties are reached by scrolling the page alone, and after Post the clock is in view', async ({ bench, program, game }) => {
  const { page } = bench
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('10:00')
  const faults: string[] = []
  for (const [i, { name, width, height }] of sizes.entries()) {
    await page.setViewportSize({ width, height })
    await bench.beginCall('penalty', 'home')
    faults.push(...(await hidden(page, '[data-bench=number]')).map((fault) => `${name}: ${fault}`))
    await bench.tapNumber('12')
    faults.push(...(await hidden(page, '[data-bench=call-choice], [data-bench=part]')).map((fault) => `${name}: ${fault}`))
    await page.locator('[data-bench=call-choice]').nth(i).click() // the same call again would be asked about
    faults.push(...(await hidden(page, '[data-bench=post]')).map((fault) => `${name}: ${fault}`))
    await bench.tapPost()
    await expect.poll(() => outOfView(page, always), `${name}, after Post`).toEqual([]) // the call goes when the answer has been painted
  }
  expect(faults).toEqual([])
})
