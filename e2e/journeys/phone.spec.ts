import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'

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
  // The targets of a hurry are 20 mm on a nominal screen; none is under 44 px.
  for (const name of ['clock-control', 'horn', 'post', 'kind-goal', 'kind-penalty', 'side-home']) {
    const box = await bench.at(name).boundingBox()
    expect(Math.min(box?.width ?? 0, box?.height ?? 0), name).toBeGreaterThanOrEqual(44)
  }
})
