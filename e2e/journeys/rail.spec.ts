import { expect } from '@playwright/test'
import type { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'
import { Past } from '../harness/past.ts'

// When something happened, picked on the rail that then shows what was played.

/** Twelve minutes, whistles at 10:00 (a penalty), 8:00 and 6:00; it stands at 6:00. */
async function played(past: Past): Promise<void> {
  await past.begin('period', 1)
  await past.whistle('10:00')
  await past.penalty('visitors', '5', 'hooking')
  await past.whistle('8:00')
  await past.goal('home', '9', '12')
  await past.whistle('6:00')
}

/** Taps the rail where the clock read that, in the six minutes that were played. */
async function tapRail(bench: Bench, seconds: number): Promise<void> {
  const field = await bench.page.locator('[data-bench=when-rail] > div').boundingBox()
  if (!field) throw new Error('there is no rail')
  await bench.page.mouse.click(field.x + (field.width * (720 - seconds)) / 360, field.y + field.height * 0.7)
}

async function buildCall(bench: Bench): Promise<void> {
  await bench.beginCall('penalty', 'home')
  await bench.tapNumber('17')
  await bench.page.locator('[data-bench=call-choice][data-call=tripping]').click()
  await bench.at('when-open').click()
}

test('a tap on the rail means the whistle near it, or the second', async ({ bench, program, game }) => {
  await played(new Past(program, game))
  await buildCall(bench)
  const rail = bench.at('when-rail')
  await expect(rail).toHaveAttribute('data-chosen', '')
  // What was on the ice then is seen: who sat, the goal, the whistles.
  await expect(bench.page.locator('[data-lanes] [data-bench=past-box][data-number="5"]')).toBeVisible()
  await expect(bench.at('past-goal')).toHaveText('Goal 9')
  await expect(bench.at('past-whistle')).toHaveCount(4)

  await tapRail(bench, 8 * 60 + 5)
  await expect(rail).toHaveAttribute('data-chosen', '8:00')
  await expect(rail).toHaveAttribute('aria-valuetext', /8:00, Goal/)
  await tapRail(bench, 7 * 60)
  await expect(rail).toHaveAttribute('data-chosen', /^(7:0[0-3]|6:5[7-9])$/)
  await bench.at('when-typed').fill('7:00')
  await bench.at('when-earlier').click()
  await expect(rail).toHaveAttribute('data-chosen', '7:01')
  await bench.at('when-later').click()
  await bench.at('when-later').click()
  await expect(rail).toHaveAttribute('data-chosen', '6:59')
  await expect(bench.at('when-open')).toHaveText('at 6:59')
  // The call that is built is seen where it would be.
  await expect(bench.page.locator('[data-bench=past-box][data-number="17"]')).toBeVisible()
  await bench.tapPost()
  await expect(bench.at('when-rail')).toHaveCount(0)
  await expect(bench.line(/tripping/).locator('.time')).toContainText('6:59')
})

test('the rail is worked by keys: seconds, whistles, the start and now', async ({ bench, program, game }) => {
  await played(new Past(program, game))
  await buildCall(bench)
  const rail = bench.at('when-rail')
  await rail.focus()
  const reads = async (key: string, time: string) => {
    await bench.page.keyboard.press(key)
    await expect(rail).toHaveAttribute('data-chosen', time)
  }
  await reads('ArrowLeft', '6:01')
  await reads('ArrowRight', '6:00')
  await reads('PageUp', '8:00')
  await reads('PageUp', '10:00')
  await reads('PageDown', '8:00')
  await reads('Home', '12:00')
  await reads('ArrowLeft', '12:00')
  await reads('End', '')
  await reads('PageUp', '8:00')
  await bench.page.keyboard.press('Escape')
  await expect(rail).toHaveCount(0)
  await expect(bench.at('when-open')).toHaveText('at 8:00')
})

test('an entry is moved to another whistle, and back to the rail of now', async ({ bench, program, game, wall }) => {
  await played(new Past(program, game))
  await bench.act(bench.line(/hooking/), 'amend')
  await bench.at('when-open').click()
  await expect(bench.at('when-rail')).toHaveAttribute('data-chosen', '10:00')
  await tapRail(bench, 6 * 60 + 2)
  await expect(bench.at('when-rail')).toHaveAttribute('data-chosen', '6:00')
  await bench.tapPost()
  await expect(wall.bars('visitors')).toHaveText([/5\s*1:30/])
  // With the change posted the rail shows what is to come again.
  await expect(bench.page.locator('[data-lane=visitors] [data-wall=bar]')).toHaveCount(1)
})

test.describe('on a phone', () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true })

  test('the rail stands above Post, and a finger picks on it', async ({ bench, program, game }) => {
    await played(new Past(program, game))
    await buildCall(bench)
    await expect(bench.at('when-rail')).toBeInViewport()
    await tapRail(bench, 8 * 60)
    await expect(bench.at('when-rail')).toHaveAttribute('data-chosen', '8:00')
    await bench.tapPost()
    await expect(bench.line(/tripping/)).toContainText('8:00')
  })
})
