import { expect } from '@playwright/test'
import { expectBoth, short } from '../harness/both.ts'
import { tell } from '../harness/tell.ts'

tell('02-noticed-late', {
  past: async (past) => {
    await past.begin('period', 1)
    await past.whistle('8:00')
    await past.whistle('7:30')
  },
  wrong: ({ bench, wall }) =>
    expectBoth(bench, wall, { clock: '7:30', score: ['0', '0'], ice: ['5', '5'], box: [[], []] }),
  ways: {
    'By keyboard': async ({ bench, hands }) => {
      await hands.type(bench.at('command'))
      await bench.considered()
      await hands.read(bench.at('sentence'))
      await bench.posting(() => hands.press())
    },
    'By touch': async ({ bench, hands }) => {
      await hands.tap(bench.page.locator('[data-bench=four][data-kind=penalty][data-side=home]'))
      await hands.tap(bench.page.locator('[data-bench=number][data-number="17"]'))
      await hands.tap(bench.page.locator('[data-bench=call-choice][data-call=tripping]'))
      await hands.tap(bench.at('when-open'))
      await hands.tap(bench.page.locator('[data-bench=when-stop][data-left="8:00"]'))
      await bench.considered()
      await hands.read(bench.at('sentence'))
      await hands.picture()
      await bench.posting(() => hands.tap(bench.at('post')))
    },
  },
  right: async ({ bench, wall }) => {
    await expectBoth(bench, wall, { clock: '7:30', score: ['0', '0'], ice: ['4', '5'], box: [short('17 1:00'), []] })
    await expect(bench.line(/tripping/)).toContainText('8:00')
  },
})

tell('03-wrong-team', {
  past: async (past) => {
    await past.begin('period', 1)
    await past.whistle('9:00')
    await past.penalty('visitors', '5', 'hooking')
    await past.whistle('8:40')
  },
  wrong: ({ bench, wall }) =>
    expectBoth(bench, wall, { clock: '8:40', score: ['0', '0'], ice: ['5', '4'], box: [[], short('5 1:10')] }),
  ways: {
    'By touch': async ({ bench, hands }) => {
      await hands.tap(bench.line(/hooking/).locator('[data-bench=amend]'))
      await hands.tap(bench.at('side-home'))
      await hands.tap(bench.page.locator('[data-bench=number][data-number="4"]'))
      await bench.considered()
      await hands.read(bench.at('sentence'))
      await hands.picture()
      await bench.posting(() => hands.tap(bench.at('post')))
    },
  },
  right: ({ bench, wall }) =>
    expectBoth(bench, wall, { clock: '8:40', score: ['0', '0'], ice: ['4', '5'], box: [short('4 1:10'), []] }),
})

tell('09-double-minor', {
  past: async (past) => {
    await past.begin('period', 2)
    await past.whistle('9:00')
    await past.penalty('visitors', '14', 'high_sticking')
    await past.whistle('8:20')
    await past.goal('home', '9', '12')
  },
  wrong: ({ bench, wall }) =>
    expectBoth(bench, wall, { clock: '8:20', score: ['1', '0'], ice: ['5', '5'], box: [[], []] }),
  ways: {
    'By touch': async ({ bench, hands }) => {
      await hands.tap(bench.line(/high-sticking/).locator('[data-bench=amend]'))
      await hands.tap(bench.page.locator('[data-bench=part][data-part=double_minor]'))
      await bench.considered()
      await hands.read(bench.at('sentence'))
      await hands.picture()
      await bench.posting(() => hands.tap(bench.at('post')))
    },
  },
  // The goal stands as a power-play goal and has ended the first half only.
  right: async ({ bench, wall }) => {
    await expectBoth(bench, wall, { clock: '8:20', score: ['1', '0'], ice: ['5', '4'], box: [[], short('14 1:30')] })
    await expect(bench.line(/Goal/)).toContainText('power play')
  },
})

tell('10-carried-over', {
  past: async (past) => {
    await past.begin('period', 1)
    await past.whistle('0:20')
    await past.runOut()
    await past.begin('intermission', 1)
  },
  ways: {
    'By keyboard': async ({ bench, hands }) => {
      await hands.type(bench.at('command'))
      await bench.considered()
      await hands.read(bench.at('sentence'))
      await bench.posting(() => hands.press())
      await bench.setClock('0:01') // the break is over, as always
      await expect(bench.at('clock')).toHaveText(/^0:00$|^0\.0$/)
      await bench.posting(() => hands.tap(bench.at('next-stage')))
      await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
      await hands.read(bench.at('hold'), 1)
      await hands.picture()
      await bench.posting(() => hands.tap(bench.at('settle').first()))
    },
  },
  right: async ({ bench, wall }) => {
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
    await expectBoth(bench, wall, { clock: '12:00', score: ['0', '0'], ice: ['4', '5'], box: [short('17 1:10'), []] })
  },
})
