import { expect, test } from '@playwright/test'
import { cut, sideways } from '../harness/fit.ts'
import { Program } from '../harness/program.ts'
import { lostInForcedColours, misnamed, spaced } from '../harness/wcag.ts'

// WCAG 2.2 on every page but the bench, which sizes.spec.ts looks at in every state: 1.4.10 at 320 px,
// 1.4.12 text spacing, 2.5.3 names, and a reader's own colours. One program for all of them.

const game = (program: Program) => new URL(program.bench).pathname.split('/').at(-1) ?? ''

const pages: { name: string; path: (program: Program) => string; ready: string; first?: string; second?: string }[] = [
  { name: 'list of games and new game', path: () => '/', ready: '[data-start=go]' },
  { name: 'a division of our own', path: () => '/', ready: '[data-division=form]', first: '[data-start=division-make]' },
  { name: 'Wall', path: (program) => `/wall/${game(program)}`, ready: '[data-wall=clock]' },
  { name: 'Follow', path: () => '/follow', ready: '[data-follow=page]' },
  { name: 'joining', path: () => '/join', ready: '[data-join=page]' },
  { name: 'choice of a seat', path: () => '/seat', ready: '[data-seat=choose]' },
  ...['clock', 'box', 'book', 'shots', 'voice'].map((seat) => ({ name: `${seat} seat`, path: () => `/seat?seat=${seat}`, ready: '[data-seat=page]' })),
  { name: 'table of the box', path: () => '/box', ready: '[data-seat=box-table]' },
  { name: 'report', path: (program) => `/report/${game(program)}`, ready: '[data-report=practise]' },
  { name: 'bench, with its seats', path: (program) => new URL(program.bench).pathname, ready: '[data-bench=seat-invite]', first: '[data-bench=help]', second: '[data-bench=seats]' },
  { name: 'bench, with its help', path: (program) => new URL(program.bench).pathname, ready: '[data-bench=help-close]', first: '[data-bench=help]' },
  { name: 'practice, the menu', path: () => '/practice/', ready: '[data-progress=start]' },
  { name: 'practice, my results', path: () => '/practice/', ready: '[data-progress=mine]', first: '[data-progress=results]' },
  { name: 'practice, the coordinator', path: () => '/practice/#coordinator', ready: '[data-progress=coordinator-page]' },
  { name: 'practice, before a drill', path: () => '/practice/#play/drill-minor/solo/fast', ready: '[data-practice=go]' },
]

let program: Program
test.beforeAll(async () => {
  program = await Program.demo('third-period')
})
test.afterAll(() => program.close())

for (const { name, path, ready, first, second } of pages) {
  test(`${name}: reflows, bears wider text and other colours, says what it shows`, async ({ page }) => {
    const faults: string[] = []
    await page.goto(program.origin + path(program))
    if (first) await page.locator(first).click()
    if (second) await page.locator(second).click()
    await page.locator(ready).first().waitFor()
    const add = (list: string[], where: string) => faults.push(...list.map((fault) => `${where}${fault}`))
    add(await misnamed(page), '')
    add(await lostInForcedColours(page), '')
    for (const [width, height] of [[1366, 768], [390, 844], [320, 640]] as const) {
      await page.setViewportSize({ width, height })
      await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
      const beyond = await sideways(page)
      if (beyond > 0) add([`${beyond} px beyond the right edge`], `${width} px: `)
      add(await cut(page, true), `${width} px: `)
      if (width !== 320) add(await spaced(page), `${width} px: `)
    }
    expect(faults).toEqual([])
  })
}
