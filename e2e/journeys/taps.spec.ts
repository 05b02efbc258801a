import { type Locator, type Page, expect } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'
import { openWhole } from '../harness/moments.ts'
import { Past } from '../harness/past.ts'
import { type Row, tapTable } from '../harness/taps.ts'

// The table of taps and glances in docs/design.md, done row by row. An act is a press on one control. A
// glance is a place on the screen: what the hand takes there, and what has to be read, is in the window
// when its turn comes, without scrolling.

interface Place { read?: string; control: (page: Page, words: string) => Locator }

const exactly = (words: string) => new RegExp(`^\\s*${words.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}\\s*$`)
const hook = (name: string) => (page: Page, words: string) => page.locator(`[data-bench="${name}"]`).filter({ hasText: words, visible: true })

const places: Record<string, Place> = {
  'clock control': { control: hook('clock-control') },
  targets: { control: hook('four') },
  numbers: { control: (page, words) => page.locator(`[data-bench=number][data-number="${words}"]`) },
  calls: { control: (page, words) => page.locator('[data-bench=call-choice]').filter({ hasText: exactly(words) }) },
  length: { control: hook('part') },
  sentence: { read: '[data-bench=sentence]', control: hook('post') },
  'to do': { read: '[data-bench=todo-tick]', control: hook('todo-tick') },
  READY: { read: '[data-bench=ready] .word', control: (page, words) => page.locator('[data-bench=ready] button').filter({ hasText: words }) },
  undo: { control: hook('undo') },
  'ran on': { control: (page, words) => page.locator('[data-bench^=clock-back]').filter({ hasText: words }) },
  'next step': { control: hook('next-stage') },
}

const atAWhistle = async (past: Past) => {
  await past.begin('period', 1)
  await past.whistle('10:00')
}
const shortHanded = async (past: Past) => {
  await past.begin('period', 2)
  await past.whistle('6:00')
  await past.penalty('visitors', '14', 'hooking')
  await past.whistle('5:10')
  await past.work({ clock: 'lead', wait_for_ticks: true })
  await past.card()
}
const goals = (home: number) => (bench: Bench) => expect(bench.at('score-home')).toHaveText(String(home))
const sits = (number: string) => (bench: Bench) => expect(bench.page.locator(`[data-wall=bar][data-player="${number}"]`)).toHaveCount(1)

/** What came before each row, what stands afterwards, and the most acts that it may take. */
const scenes: Record<string, { past: (past: Past) => Promise<void>; after: (bench: Bench) => Promise<void>; most: number }> = {
  'Play goes on': { past: atAWhistle, after: (bench) => expect(bench.at('clock')).toHaveAttribute('data-running', 'true'), most: 1 },
  'The clock ran on after the whistle': { past: atAWhistle, after: (bench) => expect(bench.at('clock')).toHaveText('10:01'), most: 1 },
  'A goal, unassisted or the assists later': { past: atAWhistle, after: goals(1), most: 3 },
  'A goal with one assist': { past: atAWhistle, after: goals(1), most: 4 },
  'A goal with two assists': { past: atAWhistle, after: goals(1), most: 5 },
  'A penalty': { past: atAWhistle, after: sits('17'), most: 5 },
  'A penalty of another length': { past: atAWhistle, after: sits('17'), most: 5 },
  'A power-play goal, with its five things': {
    past: shortHanded, most: 5,
    after: async (bench) => {
      await goals(1)(bench)
      await expect(bench.page.locator('[data-wall=bar]')).toHaveCount(0)
      await expect(bench.page.locator('[data-bench=card]:not([data-waiting="0"])')).toHaveCount(0)
      await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
    },
  },
  'The newest is taken back': { past: async (past) => { await atAWhistle(past); await past.goal('home', '9') }, after: goals(0), most: 2 },
  'The intermission, there and back': {
    past: async (past) => { await past.begin('period', 1); await past.runOut() }, most: 2,
    after: (bench) => expect(bench.at('stage')).toHaveText(/2nd period/i),
  },
}

/** Whether it is in the window, and nothing lies over it. */
async function inSight(one: Locator): Promise<void> {
  await expect(one).toBeVisible()
  const fault = await one.evaluate((node) => {
    const box = node.getBoundingClientRect()
    if (box.top < -1 || box.left < -1 || box.bottom > innerHeight + 1 || box.right > innerWidth + 1) return `at ${Math.round(box.left)},${Math.round(box.top)} to ${Math.round(box.right)},${Math.round(box.bottom)} of ${innerWidth}x${innerHeight}`
    const over = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2)
    return over && (node.contains(over) || over.contains(node)) ? '' : `under ${over?.className ?? 'nothing'}`
  })
  expect(fault, await one.evaluate((node) => (node as HTMLElement).innerText)).toBe('')
}

async function walk(bench: Bench, past: Past, { way }: Row): Promise<{ acts: number; glances: number }> {
  const { page } = bench
  let acts = 0
  for (const [i, { place, acts: words }] of way.entries()) {
    const there = places[place]
    if (!there) throw new Error(`no such place: ${place}`)
    const { read, control } = there
    if (place === 'sentence') await bench.considered()
    // The break is over by itself: nobody does anything for that.
    if (place === 'next step' && i > 0) {
      await past.runOut(60_000)
      // Before the page has heard that, it would ask whether the break is to be cut short.
      await expect(bench.at('clock')).toContainText('0:00')
    }
    if (read) await inSight(page.locator(read).first())
    for (const word of words) {
      const one = control(page, word).first()
      await inSight(one)
      const before = await bench.seq()
      // As a finger does: nothing is scrolled to.
      const box = (await one.boundingBox())!
      await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2)
      acts++
      if (['sentence', 'READY', 'ran on', 'next step', 'clock control'].includes(place)) await expect.poll(() => bench.seq()).toBeGreaterThan(before)
    }
    expect(await page.evaluate(() => scrollY), `scrolled at ${place}`).toBe(0)
  }
  return { acts, glances: way.length }
}

test('every row of the table is played, and the other way round', () => {
  expect(tapTable().map((row) => row.entry).toSorted()).toEqual(Object.keys(scenes).toSorted())
})

for (const { name, use } of [
  { name: 'laptop', use: { viewport: { width: 1366, height: 768 } } },
  { name: 'phone', use: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true } },
]) {
  test.describe(`on a ${name}`, () => {
    test.use(use)
    for (const row of tapTable()) {
      test(`${row.entry}: ${row.acts} acts, ${row.glances} glances`, async ({ page, program }) => {
        const scene = scenes[row.entry]
        if (!scene) throw new Error(`nobody plays ${row.entry}`)
        const game = await openWhole(program)
        const past = new Past(program, game)
        await scene.past(past)
        const bench = new Bench(page)
        await bench.open(`${program.origin}/bench/${game}`)
        expect(await walk(bench, past, row)).toEqual({ acts: row.acts, glances: row.glances })
        expect(row.acts, 'no more than before the bench was drawn anew').toBeLessThanOrEqual(scene.most)
        await scene.after(bench)
      })
    }
  })
}
