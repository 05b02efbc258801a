import { expect } from '@playwright/test'
import { expectBoth, short } from '../harness/both.ts'
import { tell } from '../harness/tell.ts'

tell('04-ran-on', {
  past: async (past) => {
    await past.begin('period', 2)
    await past.whistle('9:00')
    await past.penalty('visitors', '5', 'hooking')
    await past.whistle('7:51')
    await past.penalty('home', '17', 'tripping')
  },
  wrong: ({ bench, wall }) =>
    expectBoth(bench, wall, { clock: '7:51', score: ['0', '0'], ice: ['4', '4'], box: [short('17 1:30'), short('5 0:21')] }),
  ways: {
    'By touch': async ({ bench, hands }) => {
      await hands.tap(bench.at('clock'))
      await hands.tap(bench.page.locator('[data-bench=clock-way][data-way="+"]'))
      await hands.tap(bench.at('pad-9'))
      await hands.read(bench.at('clock-sentence'))
      await hands.picture()
      await bench.posting(() => hands.tap(bench.at('clock-set')))
    },
    'By keyboard': async ({ bench, hands }) => {
      await hands.tap(bench.at('clock'))
      await hands.type(bench.at('clock-field'))
      await hands.read(bench.at('clock-sentence'))
      await bench.posting(() => hands.press())
    },
  },
  // The minor that was running has nine seconds more; the new one begins at the whistle.
  right: async ({ bench, wall }) => {
    await expectBoth(bench, wall, { clock: '8:00', score: ['0', '0'], ice: ['4', '4'], box: [short('17 1:30'), short('5 0:30')] })
    await expect(bench.line(/tripping/)).toContainText('out at 6:30')
  },
})

tell('05-started-late', {
  past: async (past) => {
    await past.begin('period', 2)
    await past.whistle('9:00')
    await past.penalty('visitors', '5', 'hooking')
    await past.whistle('8:20')
  },
  wrong: ({ bench, wall }) =>
    expectBoth(bench, wall, { clock: '8:20', score: ['0', '0'], ice: ['5', '4'], box: [[], short('5 0:50')] }),
  ways: {
    'By keyboard': async ({ bench, hands }) => {
      await hands.tap(bench.at('clock'))
      await hands.type(bench.at('clock-field'))
      await hands.read(bench.at('clock-sentence'))
      await hands.picture()
      await bench.posting(() => hands.press())
    },
    'By touch': async ({ bench, hands }) => {
      await hands.tap(bench.at('clock'))
      await hands.tap(bench.page.locator('[data-bench=clock-way][data-way="-"]'))
      await hands.tap(bench.at('pad-4'))
      await hands.read(bench.at('clock-sentence'))
      await bench.posting(() => hands.tap(bench.at('clock-set')))
    },
  },
  right: ({ bench, wall }) =>
    expectBoth(bench, wall, { clock: '8:16', score: ['0', '0'], ice: ['5', '4'], box: [[], short('5 0:46')] }),
})

tell('06-board-differs', {
  past: async (past) => {
    await past.begin('period', 1)
    await past.whistle('8:00')
    await past.penalty('visitors', '5', 'hooking')
    await past.whistle('6:44')
    await past.work({ clock: 'beside' })
    await past.card()
  },
  wrong: ({ bench, wall }) =>
    expectBoth(bench, wall, { clock: '6:44', score: ['0', '0'], ice: ['5', '4'], box: [[], short('5 0:14')] }),
  ways: {
    'By keyboard': async ({ bench, hands }) => {
      await hands.tap(bench.at('board-match'))
      await hands.type(bench.at('board-field'))
      await hands.read(bench.at('board-sentence'))
      await bench.posting(() => hands.press())
      await hands.read(bench.at('manner'), 1)
      await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
      await hands.read(bench.at('look'), 2)
      await hands.picture()
      await bench.posting(() => hands.tap(bench.at('look').locator('[data-bench=settle]')))
    },
  },
  right: async ({ bench, wall }) => {
    await expectBoth(bench, wall, { clock: '6:41', score: ['0', '0'], ice: ['5', '4'], box: [[], short('5 0:11')] })
    await expect(bench.at('card')).toHaveAttribute('data-waiting', '0')
    await expect(bench.at('look')).toHaveCount(0)
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
  },
})
