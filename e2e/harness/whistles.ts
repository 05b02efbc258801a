import { expect } from '@playwright/test'
import type { Bench } from './bench.ts'
import type { Scene } from './scene.ts'

// What happens at particular kinds of whistle, duty by duty (docs/duties.md).
export const whistles: Scene[] = [
  { name: 'HOLD until everything is posted, READY then', play: async ({ bench }) => {
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
    await bench.begin('1st period')
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
    await bench.at('command').pressSequentially('h 17 trip')
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
    await bench.considered()
    await bench.posting(() => bench.page.keyboard.press('Enter'))
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
  } },
  { name: 'D57: minor and misconduct: HOLD asks who sits, and the answer is filled in', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.setClock('10:00')
    await bench.typeCall('h 17 rough minor misc')
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
    await expect(bench.at('hold').first()).toContainText('17')

    await bench.act(bench.line(/17/), 'amend')
    await bench.at('served-by').selectOption('6')
    await bench.tapPost()
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
    await expect(wall.at('skaters-home')).toHaveAttribute('data-count', '4')
  } },
  { name: 'D57: a bench minor is served by a player who is named', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.setClock('10:00')
    await bench.typeCall('v b too by 14')
    await expect(wall.at('skaters-visitors')).toHaveAttribute('data-count', '4')
    await expect(wall.bars('visitors')).toHaveAttribute('data-sits', '14')
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
  } },
  { name: 'D58: two due at the same moment and a goal: the captain is asked, and the answer counts', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.setClock('10:00')
    await bench.at('command').pressSequentially('h 17 trip;')
    await bench.typeCall('h 6 hook')
    await bench.setClock('9:30')
    await bench.typeCall('g v 8 23')
    // Until the captain has spoken the usual order stands, and the puck waits.
    await expect(wall.bars('home')).toHaveCount(1)
    await expect(wall.bars('home')).toHaveAttribute('data-player', '6')
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')

    const question = bench.at('question')
    await bench.posting(() => question.locator('[data-bench=pick][data-player="6"]').click())
    await expect(question).toHaveCount(0)
    await expect(wall.bars('home')).toHaveCount(1)
    await expect(wall.bars('home')).toHaveAttribute('data-player', '17')
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
  } },
  { name: 'D48, D54: entered late, with the time at which it happened', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.setClock('8:00')
    await bench.typeCall('h 17 trip @9:00')
    await expect(wall.bars('home')).toHaveText([/17\s*0:30/])
  } },
  { name: 'D55: a misconduct costs no skater and is drawn apart', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.setClock('11:00')
    await bench.typeCall('h 17 abuse misc')
    await expect(wall.at('skaters-home')).toHaveAttribute('data-count', '5')
    await expect(wall.bars('home')).toHaveAttribute('data-state', 'misconduct')
  } },
  { name: 'a penalty shot is recorded and nobody sits', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.typeCall('h 17 trip shot')
    await expect(wall.bars('home')).toHaveCount(0)
    await expect(wall.at('skaters-home')).toHaveAttribute('data-count', '5')
  } },
  { name: 'a signalled minor is wiped out by the goal, and is still in the ledger', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.setClock('7:00')
    await bench.at('command').pressSequentially('g v 8 -;')
    await bench.typeCall('h 17 trip !')
    await expect(wall.at('score-visitors')).toHaveText('1')
    await expect(wall.bars('home')).toHaveCount(0)
    await expect(wall.at('skaters-home')).toHaveAttribute('data-count', '5')
    await expect(bench.line(/17/)).toBeVisible()
  } },
  { name: 'D91: a time-out is timed on both screens', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.typeCall('t h')
    await expect(wall.at('time-out')).toContainText('0:')
    await expect(bench.at('time-out')).toBeVisible()
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
  } },
  { name: 'D95: the break is on the clock and runs, and no penalty runs with it', play: async ({ bench, wall }) => {
    await toTheBreak(bench)
    await expect(wall.at('clock')).toHaveText(/0:5[0-8]/)
    await expect(wall.bars('home')).toHaveText([/17\s*1:00/])
  } },
  { name: 'tenths in the last minute', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.setClock('0:59')
    await expect(wall.at('clock')).toHaveText('59.0')
    await bench.startClock()
    await expect(wall.at('clock')).toHaveText(/^5[0-8]\.\d$/)
  } },
  { name: 'D98: after the break HOLD asks whether penalised players are back', play: async ({ bench }) => {
    await toTheBreak(bench)
    await bench.begin('2nd period')
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
    await expect(bench.at('hold')).toContainText(['17'])
    await bench.posting(() => bench.at('settle').first().click())
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
  } },
]

/** The first period ends with the home team's 17 in the box, and its break is on. */
async function toTheBreak(bench: Bench): Promise<void> {
  await bench.begin('1st period')
  await bench.setClock('0:30')
  await bench.typeCall('h 17 trip')
  await bench.setClock('0:01')
    const before = await bench.seq()
  await bench.startClock()
  await expect.poll(() => bench.seq()).toBeGreaterThan(before + 1)
  await bench.begin('1st intermission')
}
