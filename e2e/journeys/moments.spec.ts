import { type Page, expect } from '@playwright/test'
import { violations } from '../harness/access.ts'
import { Bench } from '../harness/bench.ts'
import { cut, sideways } from '../harness/fit.ts'
import { test } from '../harness/fixtures.ts'
import { openWhole, schemes, screens, through } from '../harness/moments.ts'

// Every moment of a game on every screen, light and dark, with whole teams: nothing that keeps people out,
// nothing cut off or beyond the edge, and on a phone no target that a thumb misses.

const thumb = 44 // CSS pixels, WCAG 2.2, 2.5.5

/** The controls of a page that are smaller than a thumb's target. A bar is as high as its row; its Why? stands in the list as well. */
function small(page: Page): Promise<string[]> {
  return page.locator('button:visible:not([data-bench=bar-why]), a:visible, input:visible, select:visible, summary:visible').evaluateAll((all, least) =>
    all.map((one) => ({ text: one.getAttribute('aria-label') ?? one.textContent?.trim() ?? '', box: one.getBoundingClientRect() }))
      .filter(({ box }) => Math.min(box.width, box.height) < least - 0.5)
      .map(({ text, box }) => `“${text}” is ${Math.round(box.width)} by ${Math.round(box.height)} px`), thumb)
}

/** Waits until nothing moves any more: a bar slides out of its lane. */
function stands(page: Page): Promise<unknown> {
  return page.evaluate(async () => {
    const ends = document.getAnimations().filter((one) => one.effect?.getComputedTiming().iterations !== Infinity)
    await Promise.allSettled(ends.map((one) => one.finished))
    await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))
  })
}

for (const scheme of schemes) {
  test(`every moment on every screen keeps nobody out and cuts nothing off, ${scheme}`, async ({ page, program }) => {
    await page.emulateMedia({ colorScheme: scheme })
    const game = await openWhole(program)
    const bench = new Bench(page)
    await bench.open(`${program.origin}/bench/${game}`)
    const faults: string[] = []
    await through(bench, program, game, async (moment) => {
      for (const [name, width, height] of screens) {
        await page.setViewportSize({ width, height })
        await stands(page)
        const say = (fault: string) => faults.push(`${moment}, ${name}: ${fault}`)
        for (const fault of await cut(page)) say(fault)
        if ((await sideways(page)) > 0) say('goes beyond the right edge')
        if (width < 700) for (const fault of await small(page)) say(fault)
        // What is scrolled under the edge of the bench is no small target to the checker.
        await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight))
        for (const fault of await violations(page)) say(fault)
      }
    })
    expect(faults).toEqual([])
  })
}
