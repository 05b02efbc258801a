import { expect, test } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { Program } from '../harness/program.ts'

// An accessibility pass over every screen, in the middle of a game.

let program: Program
test.beforeAll(async () => {
  program = await Program.demo('third-period')
})
test.afterAll(() => program.close())

for (const screen of [
  { name: 'bench', address: () => program.bench, ready: '[data-bench=page]' },
  { name: 'Wall', address: () => program.wall, ready: '[data-wall=clock]' },
  { name: 'Follow', address: () => `${program.origin}/follow`, ready: '[data-follow=page]' },
  { name: 'joining', address: () => `${program.origin}/join`, ready: '[data-join=page]' },
  { name: 'choice of a seat', address: () => `${program.origin}/seat`, ready: '[data-seat=choose]' },
  { name: 'list of games', address: () => program.origin, ready: 'main' },
]) {
  test(`${screen.name}: nothing that keeps people out`, async ({ page }) => {
    await page.goto(screen.address())
    await page.locator(screen.ready).first().waitFor()
    expect(await violations(page)).toEqual([])
  })
}

test('bench: nothing that keeps people out while a penalty is built', async ({ page }) => {
  await page.goto(program.bench)
  await page.locator('[data-bench=four][data-kind=penalty][data-side=home]').click()
  await page.locator('[data-bench=number]').first().click()
  expect(await violations(page)).toEqual([])
})

test('bench: nothing that keeps people out of the seats', async ({ page }) => {
  await page.goto(program.bench)
  await page.locator('[data-bench=help]').click()
  await page.locator('[data-bench=help-overlay] [data-bench=seats]').click()
  await page.locator('[data-bench=seat-invite]').first().click()
  await page.locator('[data-bench=invite]').waitFor()
  expect(await violations(page)).toEqual([])
})

for (const [width, height] of [[390, 844], [360, 640]] as const) {
  test(`phones of ${width} by ${height}: nothing beyond the edge, no small target`, async ({ page }) => {
    await page.setViewportSize({ width, height })
    for (const [path, ready] of [['/join', '[data-join=page]'], ['/seat', '[data-seat=choose]'], ['/seat?seat=clock', '[data-seat=page]'], ['/follow', '[data-follow=page]']] as const) {
      await page.goto(program.origin + path)
      await page.locator(ready).waitFor()
      expect(await beyond(page), path).toBeLessThanOrEqual(0)
      if (path === '/seat?seat=clock') {
        await page.locator('[data-seat=link]').click()
        await page.locator('[data-seat=details]').waitFor()
        expect(await beyond(page), 'details').toBeLessThanOrEqual(0)
        expect(await violations(page)).toEqual([])
      }
      const small = await page.locator('button:visible, a:visible, input:visible').evaluateAll((all) =>
        all.map((one) => ({ text: one.textContent?.trim() ?? '', box: one.getBoundingClientRect() }))
          .filter(({ box }) => Math.min(box.width, box.height) < 44).map(({ text }) => text))
      expect(small, path).toEqual([])
    }
  })
}

test('bench: nothing that keeps people out of the rail of what was played', async ({ page }) => {
  await page.goto(program.bench)
  await page.locator('[data-bench=four][data-kind=penalty][data-side=home]').click()
  await page.locator('[data-bench=when-open]').click()
  await page.locator('[data-bench=when-rail]').waitFor()
  expect(await violations(page)).toEqual([])
})

test('bench: nothing that keeps people out of what is to be settled', async ({ page }) => {
  await page.goto(program.bench)
  await page.locator('[data-bench=command]').fill('v ? hook')
  await page.locator('[data-bench=sentence][data-asking=false] p').first().waitFor()
  await page.locator('[data-bench=post]').click()
  await page.locator('[data-bench=hold-more]').click()
  await page.locator('[data-bench=hold-list]').waitFor()
  expect(await violations(page)).toEqual([])
})
