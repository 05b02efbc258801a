import { expect } from '@playwright/test'
import { violations } from '../harness/access.ts'
import { test } from '../harness/fixtures.ts'
import { Learner } from '../harness/learner.ts'
import { nextActs, weighed } from '../harness/weight.ts'

/** Why a practice cost points, for the report of a test that fails. */
async function losses(learner: Learner): Promise<string[]> {
  return learner.at('slips').locator('[data-practice=slip]').evaluateAll((list) => list.map((one) => `${one.getAttribute('data-cost')}: ${one.textContent}`))
}

/**
 * All was entered as it should be: 100. A machine that is busy with other things is late
 * on the clock's keys, which is told as lateness and costs little; nothing else may be told.
 */
async function everythingRight(learner: Learner): Promise<void> {
  const told = await losses(learner)
  const late = told.filter((one) => /: The clock was (started|stopped) [\d.]+ seconds after the (drop|whistle)\.$/.test(one))
  expect(told.filter((one) => !late.includes(one))).toEqual([])
  const score = Number(await learner.at('summary').getAttribute('data-score'))
  if (late.length === 0) expect(score).toBe(100)
  else expect(score, late.join('\n')).toBeGreaterThanOrEqual(90)
}

test('a drill on a phone, by touch, comes to 100', async ({ browser, program }) => {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, locale: 'en-GB' })
  const learner = new Learner(await context.newPage(), 'drill-minor', true)
  await learner.open(`${program.origin}/practice/`, 'drill-minor')
  await learner.play()
  await expect(learner.at('summary')).toBeVisible()
  await everythingRight(learner)
  await context.close()
})

// And whoever knows nothing, and takes what is heaviest to the eye, takes something that may come next, before every act of it.
test('the standard practice game, all of it, comes to 100 for whoever enters its published answer', async ({ page, program }) => {
  test.setTimeout(1_800_000)
  const faults = new Set<string>()
  let looks = 0
  const learner = new Learner(page, 'standard', false, undefined, async () => {
    // The horn shows that it sounds; it is no call to press it.
    const [first, second] = (await weighed(page, '[data-bench=page]')).filter((one) => one.hook !== 'horn')
    const legal = await nextActs(page)
    looks++
    if (first && !legal.includes(first.hook)) faults.add(`${first.hook} “${first.words}” ${first.weight}, before ${second?.hook ?? 'nothing'} ${second?.weight ?? 0}; may come next: ${legal.join(', ')}`)
  })
  await learner.open(`${program.origin}/practice/`, 'standard')
  await learner.play()
  await expect(learner.at('summary')).toBeVisible()
  await everythingRight(learner)
  expect(looks).toBeGreaterThan(100)
  expect([...faults]).toEqual([])
})

test('a slip is told at the next stoppage, with its reason and the right state, beside the bench', async ({ page, program }) => {
  const learner = new Learner(page, 'drill-minor', false, (entry) => {
    if (!/penalty|seated/.test(entry.type)) return entry
    // Whoever enters a wrong number waits for that player to sit down.
    return { ...entry, data: { body: { ...entry.data.body, player: '9' } } }
  })
  await learner.open(`${program.origin}/practice/`, 'drill-minor')
  const told = learner.at('told')
  const called = learner.script.answers.find(({ cue, entry }) => cue >= 0 && entry.type.includes('penalty'))?.entry.data.body['player'] as string
  await learner.play(async () => (await told.getAttribute('data-count')) === '1')
  await expect(told.locator('[data-practice=slip]')).toHaveAttribute('data-fault', 'call_number')
  await expect(told.locator('[data-practice=slip]')).toContainText(`the referee said ${called}, entered was 9`)
  await expect(told.locator('[data-practice=reason]')).toContainText('rule')
  await expect(told.locator('[data-practice=right]')).toContainText(new RegExp(`In the box:\\s*${called}\\b`))
  const [bench, slips] = await Promise.all([learner.bench.at('page').boundingBox(), told.boundingBox()])
  expect(slips?.x).toBeGreaterThanOrEqual((bench?.x ?? 0) + (bench?.width ?? 0))
  expect(bench?.width).toBeGreaterThanOrEqual(1000)

  await learner.play()
  await expect(learner.at('advice').first()).toHaveAttribute('data-fault', 'call_number')
  await learner.at('drill').first().click()
  await expect(learner.at('waiting')).toContainText('Enter a minor')
})

test('the check game with one goal left out names it beside the score, which stays below the bar', async ({ page, program }) => {
  let left = false
  const learner = new Learner(page, 'check', false, (entry) => {
    if (left || !entry.type.includes('goal')) return entry
    left = true
    return null
  })
  await learner.open(`${program.origin}/practice/`, 'check')
  await learner.play()
  await expect(learner.at('critical')).toBeVisible()
  await expect(learner.at('spoils')).toHaveCount(1)
  await expect(learner.at('spoils')).toHaveAttribute('data-kind', 'goal_missing')
  expect(Number(await learner.at('summary').getAttribute('data-score'))).toBeLessThanOrEqual(60)
  await expect(learner.at('advice').first()).toHaveAttribute('data-fault', 'goal_missing')
  await expect(learner.at('drill').first()).toHaveAttribute('data-drill', 'drill-score')
})

test('step by step a slip stops the game at once, with how to put it right, and what is missing before the puck drops', async ({ page, program }) => {
  let left = false
  const learner = new Learner(page, 'drill-minor', false, (entry) => {
    if (entry.type.includes('seated') && entry.data.body['in'] === true && !left) { // nobody looks who sits
      left = true
      return null
    }
    return entry.type.includes('penalty') ? { ...entry, data: { body: { ...entry.data.body, player: '9' } } } : entry
  })
  await learner.open(`${program.origin}/practice/`, 'drill-minor', 'solo', 'step')
  const stopped = learner.at('stopped')
  const until = async (fault: string) => {
    await learner.play(async ({ held }) => held && (await stopped.locator(`[data-fault=${fault}]`).count()) === 1)
    await expect(stopped.locator(`[data-fault=${fault}]`)).toBeVisible()
    await expect(learner.at('page')).toHaveAttribute('data-held', 'true')
  }
  await until('call_number')
  await expect(stopped).toContainText('entered was 9')
  await expect(stopped.locator('[data-practice=mend]')).toContainText('tap Change')
  await expect(stopped.locator('[data-practice=right]')).toContainText('In the box')
  await learner.act(async () => expect(await violations(page)).toEqual([]))
  await learner.act(() => learner.at('stop-go').click())
  await expect(stopped).toBeHidden()
  await learner.act(() => learner.bench.posting(async () => { // and it is put right
    await learner.bench.act(learner.bench.line(/hooking/i), 'amend')
    await learner.bench.tapNumber('7')
    await learner.bench.considered()
    await learner.bench.at('post').click()
  }))
  await until('seat_missing')
  await learner.act(() => learner.at('stop-go').click())
})

test('what is built and not posted holds the puck, and the referee says that he waits', async ({ page, program }) => {
  const learner = new Learner(page, 'drill-start-stop')
  await learner.open(`${program.origin}/practice/`, 'drill-start-stop')
  // The second stoppage: at the first one nothing is to be entered, and the puck would drop.
  await learner.play(async ({ cue, waits }) => learner.script.cues[cue]?.kind === 'whistle' && waits === '')
  await learner.act(() => learner.bench.beginCall('goal', 'home'))
  await expect(async () => {
    await page.clock.runFor(500)
    await expect(page.locator('[data-rink=standing]')).toHaveText('HOLD, not posted: the referee waits', { timeout: 50 })
  }).toPass({ timeout: 60_000, intervals: [1] })
  await learner.act(async () => {
    await page.keyboard.press('Escape')
    await page.keyboard.press('Escape')
  })
  await expect(async () => {
    await page.clock.runFor(500)
    await expect(learner.at('page')).toHaveAttribute('data-waits', 'start', { timeout: 50 })
  }).toPass({ timeout: 60_000, intervals: [1] })
})
