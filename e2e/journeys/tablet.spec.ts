import { type Page, expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { cut, sideways } from '../harness/fit.ts'
import { Past } from '../harness/past.ts'

// A tablet both ways round: nothing is clipped, nothing lies over anything else.

const ways = [{ name: 'on its side', width: 1024, height: 768 }, { name: 'upright', width: 768, height: 1024 }]

/** The controls that lie over one another, where both are seen. Two pixels are the width of an edge. */
function over(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    // What a list that scrolls cuts off lies over nothing.
    const shownOf = (one: HTMLElement) => {
      let { left, top, right, bottom } = one.getBoundingClientRect()
      for (let outer = one.parentElement; outer && outer !== document.body; outer = outer.parentElement) {
        if (getComputedStyle(outer).overflowY === 'visible') continue
        const frame = outer.getBoundingClientRect()
        ;[left, top, right, bottom] = [Math.max(left, frame.left), Math.max(top, frame.top), Math.min(right, frame.right), Math.min(bottom, frame.bottom)]
      }
      return { left, top, right, bottom }
    }
    const shown = [...document.querySelectorAll<HTMLElement>('button, a[href], input, select, summary')].filter((one) => {
      const box = one.getBoundingClientRect()
      if (box.width < 1 || box.height < 1 || !one.checkVisibility({ opacityProperty: true, visibilityProperty: true }) || one.closest('.unseen')) return false
      const top = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2)
      return top !== null && (one.contains(top) || top.contains(one))
    })
    return shown.flatMap((one, i) => shown.slice(i + 1).flatMap((other) => {
      if (one.contains(other) || other.contains(one)) return []
      const [a, b] = [shownOf(one), shownOf(other)]
      const across = Math.min(a.right, b.right) - Math.max(a.left, b.left)
      const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top)
      return across > 2 && down > 2 ? [`“${one.innerText.slice(0, 30)}” and “${other.innerText.slice(0, 30)}” lie over each other by ${Math.round(across)} by ${Math.round(down)} px`] : []
    }))
  })
}

test('on a tablet both ways round nothing of bench, box and Wall is clipped or lies over anything else', async ({ bench, program, game, context }) => {
  const past = new Past(program, game)
  const faults: string[] = []
  const measure = async (page: Page, about: string) => {
    for (const { name, width, height } of ways) {
      await page.setViewportSize({ width, height })
      await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
      const at = `${about}, ${name}`
      if ((await sideways(page)) > 0) faults.push(`${at}: goes beyond the right edge`)
      faults.push(...(await cut(page)).map((fault) => `${at}: ${fault}`), ...(await over(page)).map((fault) => `${at}: ${fault}`))
    }
    await page.setViewportSize({ width: 1366, height: 768 })
  }
  await measure(bench.page, 'the bench before the game')
  await past.begin('period', 1)
  await past.whistle('10:00')
  await past.penalty('home', '17', 'tripping')
  await past.whistle('9:20')
  await measure(bench.page, 'the bench at a whistle')
  await bench.beginCall('penalty', 'visitors')
  await bench.tapNumber('14')
  await bench.page.locator('[data-bench=call-choice][data-call=hooking]').click()
  await bench.considered()
  await measure(bench.page, 'the bench with a call that is built')
  await bench.tapPost()
  await expect(bench.at('todo')).toBeVisible()
  await measure(bench.page, 'the bench after Post')
  const other = await context.newPage()
  for (const [path, ready, about] of [['box', '[data-seat=box-table]', 'the box'], ['wall', '[data-wall=clock]', 'the Wall']] as const) {
    await other.goto(`${program.origin}/${path}/${game}`)
    await other.locator(ready).waitFor()
    await measure(other, about)
  }
  expect(faults).toEqual([])
})
