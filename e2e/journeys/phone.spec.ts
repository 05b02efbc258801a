import { expect } from '@playwright/test'
import { always, outOfView } from '../harness/fit.ts'
import { test } from '../harness/fixtures.ts'
import { openGame } from '../harness/game.ts'
import { Past } from '../harness/past.ts'

test.use({ viewport: { width: 390, height: 844 }, hasTouch: true })

test('the bench is usable at the width of a phone', async ({ bench, wall }) => {
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.tapPenalties([{ side: 'home', number: '17', call: 'tripping', length: 'minor' }])
  await bench.tapGoal('visitors', '8', ['23'])
  await expect(wall.at('score-visitors')).toHaveText('1')

  for (const width of [390, 360]) {
    await bench.page.setViewportSize({ width, height: 844 })
    const beyond = await bench.page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
    expect(beyond, `nothing stands beyond the edge at ${width} px`).toBeLessThanOrEqual(0)
  }
  // The targets of a hurry are 56 px at least, and nothing else is under 44.
  const least = async (name: string) => {
    const box = await bench.at(name).first().boundingBox()
    return Math.min(box?.width ?? 0, box?.height ?? 0)
  }
  for (const name of ['clock-control', 'horn', 'four']) expect(await least(name), name).toBeGreaterThanOrEqual(56)
  await bench.beginCall('penalty', 'home')
  expect(await least('post'), 'Post').toBeGreaterThanOrEqual(56)
  for (const name of ['kind-goal', 'side-home', 'number', 'call-choice', 'part', 'collect', 'clear']) expect(await least(name), name).toBeGreaterThanOrEqual(44)
})

// At a whistle, while a call is built and after Post: one bar at the bottom, the picture above it.
test('a phone has one bar at the bottom, and what is built leaves the clock, the score, the box and what is to be done in view', async ({ bench, program, game }) => {
  const { page } = bench
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('10:00')
  await past.penalty('home', '17', 'tripping')
  const oneBar = async (moment: string) => {
    const tops = await page.locator('footer.edge').evaluate((edge) =>
      [...edge.children].filter((one) => one.getClientRects().length > 0 && !one.matches('.unseen')).map((one) => Math.round(one.getBoundingClientRect().top)))
    expect(new Set(tops).size, `${moment}: rows of the bar, ${tops.join()}`).toBe(1)
  }
  const view = (names: Record<string, string>) => outOfView(page, names)
  for (const [width, height] of [[390, 844], [360, 640]] as const) {
    await page.setViewportSize({ width, height })
    await expect(bench.at('todo-tick').first()).toBeVisible()
    await oneBar('a whistle')
    expect(await view({ ...always, 'to do': '[data-bench=todo-tick]', box: '[data-bench=page] [data-side=home] [data-player="17"], [data-wall=bar][data-side=home]' })).toEqual([])
    await bench.beginCall('goal', 'visitors')
    await bench.tapNumber('8')
    await bench.considered()
    await oneBar('a call')
    const built = { ...always, box: '[data-bench=slim-sits]', 'to do': '[data-bench=slim-todo]', sentence: '[data-bench=sentence]', Post: '[data-bench=post]', number: '[data-bench=number]' }
    expect(await view(built), `a call at ${width}x${height}`).toEqual([])
    const post = await bench.at('post').boundingBox()
    expect(post?.y ?? 0, 'Post lies under the thumb').toBeGreaterThan(height * 0.75)
    for (const name of ['clock-control', 'horn']) expect(await view({ [name]: `[data-bench=${name}]` }), 'beside a call').toEqual([])
    await bench.at('clear').click()
  }
  // After a break the bench asks who is back: above the bar, which stays as it is.
  await past.whistle('0:20')
  await past.penalty('home', '6', 'hooking')
  await past.runOut()
  await past.begin('intermission', 1)
  await past.begin('period', 2)
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
  for (const [width, height] of [[390, 844], [360, 640]] as const) {
    await page.setViewportSize({ width, height })
    await page.evaluate(() => scrollTo(0, 0))
    await oneBar('a question')
    expect(await view({ ...always, question: '[data-bench=ready] [data-bench=settle]', More: '[data-bench=more-stages]', horn: '[data-bench=horn]' }), `a question at ${width}x${height}`).toEqual([])
    await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight))
    await expect.poll(() => view({ ...always, question: '[data-bench=ready] [data-bench=settle]' }), `a question at ${width}x${height}, scrolled`).toEqual([])
  }
})

test('clubs may have a colour, and it can be read', async ({ bench, program, wall, page }) => {
  const game = await openGame(program, 'harbour-u14')
  await new Past(program, game).begin('period', 1)
  await bench.open(`${program.origin}/bench/${game}`)
  const ink = () => bench.at('score-home').evaluate((score) => getComputedStyle(score).color)
  const before = await ink()
  await bench.setUp('rosters')
  await page.locator('[data-start=colour-home]').fill('#ffd200')
  await bench.posting(() => bench.at('roster-post-home').click())
  await expect.poll(ink).not.toBe(before)
  await wall.page.goto(`${program.origin}/wall/${game}`)
  const of = (name: string) => wall.at('score-home').evaluate((at, one) => getComputedStyle(at).getPropertyValue(one), name)
  await expect.poll(() => of('--home-mark')).toBe('#ffd200') // bright enough for a dark Wall as it is
  expect(await of('--visitors-mark')).toBe('#f5c978')
})
