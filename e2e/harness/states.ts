import { expect } from '@playwright/test'
import type { Bench } from './bench.ts'
import { always } from './fit.ts'
import type { Past } from './past.ts'

/** A state in which the bench is looked at: what came before, and what hands do then. */
export interface State {
  name: string
  past?: (past: Past) => Promise<void>
  hands?: (bench: Bench) => Promise<void>
  /** What was opened lies over these meanwhile; the control of the clock is never among them. */
  over?: (keyof typeof always)[]
}

const penalty = async (bench: Bench, side: string, number: string) => {
  await bench.beginCall('penalty', side)
  await bench.tapNumber(number)
}

/** A whistle with one in the box. */
const onePenalty = async (past: Past) => {
  await past.begin('period', 2)
  await past.whistle('9:00')
  await past.penalty('visitors', '14', 'high_sticking')
  await past.whistle('8:20')
}

const threeInTheBox = async (past: Past) => {
  await past.begin('period', 1)
  await past.whistle('10:00')
  await past.penalty('home', '17', 'tripping')
  await past.penalty('visitors', '22', 'roughing', ['minor', 'misconduct'])
  await past.whistle('9:30')
  await past.penalty('home', '6', 'hooking')
  await past.penalty('home', '7', 'slashing')
}

const beside = async (past: Past) => {
  await past.begin('period', 1)
  await past.whistle('8:00')
  await past.penalty('visitors', '5', 'hooking')
  await past.whistle('6:44')
  await past.work({ clock: 'beside' })
  await past.card()
}

const intermission = async (past: Past) => {
  await past.begin('period', 1)
  await past.whistle('0:20')
  await past.penalty('home', '17', 'tripping')
  await past.runOut()
  await past.begin('intermission', 1)
}

const afterTheBreak = async (past: Past) => { await intermission(past); await past.begin('period', 2) }

/** The states of the bench that the stories reach, and those in between. */
export const states: State[] = [
  { name: 'before the game' },
  { name: 'a whistle', past: async (past) => { await past.begin('period', 1); await past.whistle('10:00') } },
  { name: 'three in the box, and HOLD', past: threeInTheBox },
  { name: 'all that is held', past: afterTheBreak, over: ['clock', 'home score', 'visitors score'], hands: (bench) => bench.at('hold-more').click() },
  {
    name: 'somebody comes out',
    past: async (past) => { await threeInTheBox(past); await past.whistle('8:06') },
    hands: (bench) => expect(bench.page.locator('[data-due]').first()).toBeVisible(),
  },
  { name: 'after a goal', past: async (past) => { await onePenalty(past); await past.goal('home', '9', '12') } },
  { name: 'a penalty that is built', past: onePenalty, hands: (bench) => penalty(bench, 'home', '12') },
  { name: 'a goal that is built', past: onePenalty, hands: (bench) => bench.beginCall('goal', 'visitors') },
  {
    name: 'noticed late: when', over: ['clock', 'home score', 'visitors score'],
    past: async (past) => { await past.begin('period', 1); await past.whistle('8:00'); await past.whistle('7:30') },
    hands: async (bench) => {
      await penalty(bench, 'home', '17')
      await bench.page.locator('[data-bench=call-choice][data-call=tripping]').click()
      await bench.at('when-open').click()
      await bench.considered()
    },
  },
  {
    name: 'a call is amended', past: onePenalty,
    hands: async (bench) => {
      await bench.act(bench.line(/high-sticking/), 'amend')
      await bench.page.locator('[data-bench=part][data-part=double_minor]').click()
      await bench.considered()
    },
  },
  {
    name: 'a goal is struck',
    past: async (past) => { await onePenalty(past); await past.goal('home', '9', '12') },
    hands: async (bench) => { await bench.act(bench.line(/Goal/), 'strike'); await bench.considered() },
  },
  { name: 'the clock is put right', past: onePenalty, over: ['clock', 'home score', 'visitors score', 'READY or HOLD'], hands: async (bench) => { await bench.at('clock').click(); await bench.at('clock-field').fill('8:16') } },
  {
    name: 'the same call again', past: onePenalty, over: ['READY or HOLD'],
    hands: async (bench) => {
      await bench.at('command').fill('v 14 high')
      await bench.considered()
      await bench.page.keyboard.press('Enter')
      await expect(bench.at('repeat')).toBeVisible()
    },
  },
  {
    name: 'five things to do',
    past: async (past) => { await onePenalty(past); await past.work({ clock: 'lead', wait_for_ticks: true }); await past.card(); await past.goal('home', '9', '12') },
    hands: (bench) => expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold'),
  },
  { name: 'beside a board, with its card', past: beside },
  {
    name: 'the board says another time', past: beside, over: ['clock', 'home score', 'visitors score', 'READY or HOLD'],
    hands: async (bench) => { await bench.at('board-match').click(); await bench.at('board-field').fill('6:41') },
  },
  { name: 'the board is checked', past: beside, over: ['clock', 'home score', 'visitors score', 'READY or HOLD'], hands: async (bench) => { await bench.page.keyboard.press('Shift+F9'); await expect(bench.at('reading')).toBeVisible() } },
  {
    name: 'an intermission, with a penalty that goes on',
    past: intermission,
  },
  {
    name: 'who went on, after the break',
    past: afterTheBreak,
    hands: (bench) => expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold'),
  },
  {
    name: 'out of order, and asked about', past: onePenalty, over: ['READY or HOLD'],
    hands: async (bench) => {
      await bench.at('more-stages').click()
      await bench.at('stage-choice').filter({ hasText: 'End' }).first().click()
      await expect(bench.at('unusual')).toBeVisible()
    },
  },
  { name: 'more', past: onePenalty, over: ['visitors score', 'READY or HOLD'], hands: (bench) => bench.at('more-stages').click() },
]
