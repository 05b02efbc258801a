import { type Page, expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { type Box, inkOf } from '../harness/ink.ts'
import { Past } from '../harness/past.ts'

// The public display: its clock is painted whole on every shape of screen, and what happens has a
// moment, which is calm and is not shown again.

const shapes = [
  { name: '16:9', width: 1920, height: 1080 },
  { name: '16:10', width: 1680, height: 1050 },
  { name: '21:9', width: 2560, height: 1080 },
  { name: 'upright', width: 1080, height: 1920 },
]
const readings = ['12:00', '10:48', '9:36', '7:25']
const cutOff = 0.025 // of the height: what a set that enlarges its picture may cut off at each edge

const face = (page: Page) => page.locator('[data-wall=clock] .face')

/** The whole width of the clock, from the edge of the screen down to what stands below it. */
async function around(page: Page): Promise<Box> {
  return page.evaluate(() => {
    const { left, right } = document.querySelector('[data-wall=clock] .face')!.getBoundingClientRect()
    const below = ['[data-wall=stage]', '[data-lanes]'].map((one) => document.querySelector(one)!.getBoundingClientRect())
      .filter((one) => one.left < right && one.right > left).map((one) => one.top)
    return { x: left, y: 0, width: right - left, height: Math.min(...below) }
  })
}

/** The same figures of the same size with room on every side, to compare with. */
async function withRoom(page: Page): Promise<Box> {
  return page.evaluate(() => {
    const clock = document.querySelector<HTMLElement>('[data-wall=clock] .face')!
    const size = parseFloat(getComputedStyle(clock).fontSize)
    const ground = document.createElement('div')
    ground.id = 'roomy'
    ground.style.cssText = `position: fixed; inset: 0; z-index: 99; background: #000; font-size: ${size}px; line-height: 2`
    ground.append(clock.cloneNode(true))
    document.body.append(ground)
    return { x: 0, y: 0, width: innerWidth, height: Math.min(innerHeight, size * 2) }
  })
}

test('the figures of the clock are painted whole on every shape of screen, away from its edges', async ({ program, game, wall }) => {
  const { page } = wall
  const past = new Past(program, game)
  await past.begin('period', 1)
  const faults: string[] = []
  for (const [i, shape] of shapes.entries()) {
    const reading = readings[i]!
    await page.setViewportSize(shape)
    await past.whistle(reading)
    await expect(face(page)).toHaveText(reading)
    const painted = await inkOf(page, await around(page))
    const whole = await inkOf(page, await withRoom(page))
    await page.evaluate(() => document.querySelector('#roomy')?.remove())
    const high = (one: typeof whole) => one.bottom - one.top
    if (Math.abs(high(painted) - high(whole)) > 2) faults.push(`${shape.name}, ${reading}: ${high(painted)} px of ${high(whole)} are painted`)
    if (painted.top < shape.height * cutOff) faults.push(`${shape.name}, ${reading}: ${painted.top} px from the upper edge`)
  }
  expect(faults).toEqual([])
})

/** Notes on the page every moment that is marked, from before it draws anything. */
async function noteMoments(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const noted: string[] = []
    Object.assign(window, { noted })
    const look = () => {
      const picture = document.querySelector<HTMLElement>('[data-wall=picture]')
      for (const side of ['home', 'visitors']) {
        const what = picture?.dataset[side]
        if (what && noted.at(-1) !== `${side} ${what}`) noted.push(`${side} ${what}`)
      }
    }
    new MutationObserver(look).observe(document, { subtree: true, childList: true, attributes: true })
  })
}
const noted = (page: Page) => page.evaluate(() => (window as unknown as { noted: string[] }).noted)

/** How what moves in a lane moves: name, seconds and how often. */
const motion = (page: Page, side: string) => page.evaluate((of) => {
  const lane = document.querySelector(`[data-wall=picture] .lane.${of}`)!
  return [[lane, '::before'], [lane.querySelector('.score')!, '']].map(([one, part]) => {
    const style = getComputedStyle(one as Element, part as string)
    return { name: style.animationName, seconds: parseFloat(style.animationDuration), times: style.animationIterationCount, opacity: style.opacity }
  })
}, side)

test('a goal and somebody who comes out have a moment, once and calm, and a page that is opened later has none', async ({ program, game, wall }) => {
  const { page } = wall
  const picture = wall.at('picture')
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('10:00')
  await past.penalty('home', '17', 'tripping')
  await past.whistle('9:20')
  await noteMoments(page)
  await page.reload()
  await expect(wall.bars('home')).toHaveCount(1)
  await past.goal('visitors', '8', '23')
  await expect(picture).toHaveAttribute('data-visitors', 'goal')
  await expect(picture).toHaveAttribute('data-home', 'release')
  for (const { name, seconds, times } of (await motion(page, 'visitors'))) {
    expect(name).not.toBe('none')
    expect(seconds).toBeLessThan(3)
    expect(times).toBe('1') // it comes and goes once: no flash follows another within a second
  }
  await expect(wall.at('goal')).toContainText('8')
  await expect(picture).not.toHaveAttribute('data-visitors')
  expect((await noted(page)).toSorted()).toEqual(['home release', 'visitors goal'])

  await page.reload()
  await expect(wall.at('score-visitors')).toHaveText('1')
  await expect(page.locator('[data-due-phase=now]')).toHaveCount(1)
  await past.goal('home', '9') // what would be told of the old ones is told before this
  await expect(picture).toHaveAttribute('data-home', 'goal')
  expect(await noted(page)).toEqual(['home goal'])
})

test('where motion is not wanted nothing moves: the score and the words say it', async ({ program, game, wall }) => {
  const { page } = wall
  await page.emulateMedia({ reducedMotion: 'reduce' })
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('10:00')
  await expect(face(page)).toHaveText('10:00')
  await past.goal('home', '9', '12')
  await expect(wall.at('picture')).toHaveAttribute('data-home', 'goal')
  for (const { name } of await motion(page, 'home')) expect(name).toBe('none')
  expect((await motion(page, 'home'))[0]?.opacity).toBe('0')
  await expect(wall.at('score-home')).toHaveText('1')
  await expect(wall.at('goal')).toContainText('9')
})

test("the league's own picture stands in the breaks, and nowhere else", async ({ program, game, bench, wall }) => {
  const own = wall.at('own')
  const choose = async () => {
    await bench.setUp('work')
  }
  await choose()
  const file = bench.at('wall-picture-file')
  await file.setInputFiles({ name: 'drawing.svg', mimeType: 'image/svg+xml', buffer: Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>') })
  await expect(bench.at('wall-picture-trouble')).toContainText('neither a PNG nor a JPEG')
  await file.setInputFiles({ name: 'league.png', mimeType: 'image/png', buffer: await bench.page.screenshot() })
  await expect(bench.at('wall-picture-away')).toBeVisible()
  // Before the game it comes by itself, with the score still in its place.
  await expect(own).toBeVisible()
  await expect.poll(() => own.evaluate((one: HTMLImageElement) => one.naturalWidth)).toBe(1366)
  await expect(wall.at('score-home')).toBeInViewport({ ratio: 1 })
  await expect(wall.at('skaters-home')).toBeHidden()
  const past = new Past(program, game)
  await past.begin('period', 1)
  await expect(own).toHaveCount(0)
  await expect(wall.at('skaters-home')).toBeVisible()
  await past.runOut()
  await past.begin('intermission', 1)
  await expect(own).toBeVisible()
  await bench.at('wall-picture-away').click()
  await expect(bench.at('wall-picture-away')).toHaveCount(0)
  await expect(own).toHaveCount(0)
})
