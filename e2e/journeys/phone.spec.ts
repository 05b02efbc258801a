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
