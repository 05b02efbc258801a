import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { Novice } from '../harness/novice.ts'

// Somebody who has never seen it, from the first look at the menu to the check game: what
// is done, and when, comes from the page alone. The time is the page's own.
test('a novice who only reads the screen reaches 95 in the check game within 20 minutes', async ({ page, program }) => {
  test.setTimeout(1_800_000)
  const novice = new Novice(page)
  await novice.open(`${program.origin}/practice/`)
  await novice.watch(/^Open the door of the box at the right moment/)
  await novice.tap('Try it step by step')
  const prompted = await novice.play()
  await novice.watch(/^End of a period/)
  await novice.watch(/^Goal taken back/)
  await novice.choose(/^Play the check game/)
  await novice.tap(/^Quick/)
  const score = await novice.play()
  const minutes = await novice.minutes()
  console.log(`the novice: ${prompted} step by step, ${score} in the check game, ${minutes.toFixed(1)} minutes; knows ${[...novice.known].join(', ')}`)
  const told = await page.locator('[data-practice=slips] [data-practice=slip]').evaluateAll((list) => list.map((one) => `${one.getAttribute('data-cost')}: ${one.textContent}`))
  expect(score, told.join('\n')).toBeGreaterThanOrEqual(95)
  expect(minutes).toBeLessThanOrEqual(20)
})
