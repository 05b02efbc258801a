import { expect } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'
import { Past } from '../harness/past.ts'

// The end of the ice time: given at one seat, seen at all, and said when it will be passed.

/** The time on the wall so many minutes from now, as a person types it. */
function inMinutes(minutes: number): string {
  const at = new Date(Date.now() + minutes * 60_000)
  return `${at.getHours()}:${String(at.getMinutes()).padStart(2, '0')}`
}

test('the end of the ice time is part of the game: every seat sees it', async ({ bench, program, game, context }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('11:00')
  await past.work({ clock: 'lead', wait_for_ticks: true })
  await bench.at('slot').click()
  await expect(bench.at('slot-sheet')).toBeVisible()
  await bench.at('slot-field').fill('25:00')
  await expect(bench.at('slot-set')).toBeDisabled()

  const end = inMinutes(15)
  await bench.at('slot-field').fill(end)
  await bench.posting(() => bench.at('slot-set').click())
  await expect(bench.at('slot-end')).toContainText(end)
  await expect(bench.at('slot')).toHaveAttribute('data-over', 'true')
  await expect(bench.at('slot-notice')).toBeVisible()

  const page = await context.newPage()
  await page.setViewportSize({ width: 1366, height: 768 })
  const second = new Bench(page)
  await second.open(`${program.origin}/bench/${game}`)
  await second.at('slot').click()
  await expect(second.at('slot-end')).toContainText(end)
  // Another setting leaves it alone.
  await second.at('slot-close').click()
  await second.setUp('work')
  await expect(second.at('work-ticks')).toBeChecked()
  await second.at('work-box').click()
  await second.posting(() => second.at('work-post').click())
  await second.at('slot').click()
  await expect(second.at('slot-end')).toContainText(end)

  // Taken back there, it is gone here.
  await second.posting(() => second.at('slot-forget').click())
  await expect(bench.at('slot-forget')).toHaveCount(0)
  await expect(bench.at('slot-notice')).toHaveCount(0)
})

test('the notice is put away with one tap', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('11:00')
  await bench.at('slot').click()
  await bench.at('slot-field').fill(inMinutes(20))
  await bench.posting(() => bench.at('slot-set').click())
  await bench.at('slot-close').click()
  await expect(bench.at('slot-notice')).toContainText(/minutes|min/)
  await bench.at('slot-away').click()
  await expect(bench.at('slot-notice')).toHaveCount(0)
  await expect(bench.at('slot')).toHaveAttribute('data-over', 'true')
})
