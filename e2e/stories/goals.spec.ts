import { expect } from '@playwright/test'
import { expectBoth, short } from '../harness/both.ts'
import { tell } from '../harness/tell.ts'

tell('01-power-play-goal', {
  past: async (past) => {
    await past.begin('period', 2)
    await past.whistle('6:00')
    await past.penalty('visitors', '14', 'hooking')
    await past.whistle('5:10')
    await past.work({ clock: 'lead', wait_for_ticks: true })
    await past.card()
  },
  wrong: ({ bench, wall }) =>
    expectBoth(bench, wall, { clock: '5:10', score: ['0', '0'], ice: ['5', '4'], box: [[], short('14 0:40')] }),
  ways: {
    'By keyboard': async ({ bench, hands }) => {
      await hands.type(bench.at('command'))
      await bench.considered()
      await hands.read(bench.at('sentence'))
      await bench.posting(() => hands.press())
      await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
      await expect(bench.at('card')).toHaveAttribute('data-waiting', '2')
      await hands.read(bench.at('ready'), 1)
      await hands.picture()
      await bench.posting(() => hands.press())
      await hands.read(bench.at('card-next'), 2)
      await bench.posting(() => hands.press())
    },
    'By touch': async ({ bench, hands }) => {
      await hands.tap(bench.page.locator('[data-bench=four][data-kind=goal][data-side=home]'))
      await hands.tap(bench.page.locator('[data-bench=number][data-number="9"]'))
      await hands.tap(bench.page.locator('[data-bench=number][data-number="12"]'))
      await bench.considered()
      await hands.read(bench.at('sentence'))
      await bench.posting(() => hands.tap(bench.at('post')))
      await hands.read(bench.at('ready'), 1)
      await bench.posting(() => hands.tap(bench.at('card-tick')))
      await hands.read(bench.at('card-next'), 2)
      await bench.posting(() => hands.tap(bench.at('card-tick')))
    },
  },
  right: async ({ bench, wall }) => {
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
    await expectBoth(bench, wall, { clock: '5:10', score: ['1', '0'], ice: ['5', '5'], box: [[], []] })
  },
})

tell('07-goal-taken-back', {
  past: async (past) => {
    await past.begin('period', 2)
    await past.whistle('9:00')
    await past.penalty('home', '4', 'hooking')
    await past.whistle('8:08')
    await past.goal('visitors', '8', '22')
    await past.whistle('8:02')
  },
  wrong: ({ bench, wall }) =>
    expectBoth(bench, wall, { clock: '8:02', score: ['0', '1'], ice: ['5', '5'], box: [[], []] }),
  ways: {
    'The goal does not count': async ({ bench, hands }) => {
      await hands.tap(bench.line(/Goal/).locator('[data-bench=strike]'))
      await bench.considered()
      await hands.read(bench.at('sentence'))
      // Nothing has changed yet, and the puck waits until it has.
      await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
      await hands.picture()
      await bench.posting(() => hands.tap(bench.at('post')))
    },
    'And it counts after all': async ({ bench, wall, hands }) => {
      await hands.tap(bench.line(/Goal/).locator('[data-bench=strike]'))
      await bench.considered()
      await bench.posting(() => hands.tap(bench.at('post')))
      await expectBoth(bench, wall, { clock: '8:02', score: ['0', '0'], ice: ['4', '5'], box: [short('4 0:32'), []] })
      await hands.tap(bench.at('redo'))
      await bench.considered()
      await hands.read(bench.at('sentence'), 1)
      await bench.posting(() => hands.tap(bench.at('post')))
      // And so on: what was done again last is what Undo takes back.
      await expect(bench.at('undo')).toContainText('Goal, Lanternside 8')
    },
  },
  right: async ({ bench, wall }, way) => {
    const counts = way === 'And it counts after all'
    await expectBoth(bench, wall, counts
      ? { clock: '8:02', score: ['0', '1'], ice: ['5', '5'], box: [[], []] }
      : { clock: '8:02', score: ['0', '0'], ice: ['4', '5'], box: [short('4 0:32'), []] })
    await expect(bench.line(/Goal/)).toHaveAttribute('data-struck', String(!counts))
  },
})

tell('08-wrong-scorer', {
  past: async (past) => {
    await past.begin('period', 2)
    await past.whistle('8:08')
    await past.goal('home', '21')
    await past.whistle('6:30')
  },
  ways: {
    'By keyboard': async ({ bench, hands }) => {
      await hands.tap(bench.line(/Goal/).locator('[data-bench=amend]'))
      await hands.type(bench.at('command'))
      await bench.considered()
      await hands.read(bench.at('sentence'))
      await hands.picture()
      await bench.posting(() => hands.press())
    },
    'By touch': async ({ bench, hands }) => {
      await hands.tap(bench.line(/Goal/).locator('[data-bench=amend]'))
      await hands.tap(bench.at('slot-who'))
      await hands.tap(bench.page.locator('[data-bench=number][data-number="12"]'))
      await hands.tap(bench.page.locator('[data-bench=number][data-number="7"]'))
      await bench.considered()
      await hands.read(bench.at('sentence'))
      await bench.posting(() => hands.tap(bench.at('post')))
    },
  },
  right: async ({ bench, wall }) => {
    await expect(bench.line(/Goal, Kelp Bay 12 from 7/)).toHaveAttribute('data-amended', 'true')
    await expect(bench.line(/Goal, Kelp Bay 12 from 7/)).toContainText('8:08')
    await expectBoth(bench, wall, { clock: '6:30', score: ['1', '0'], ice: ['5', '5'], box: [[], []] })
  },
})
