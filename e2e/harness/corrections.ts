import { expect } from '@playwright/test'
import type { Scene } from './scene.ts'

// Mistakes at a whistle: wrong number, wrong side, wrong length, goal taken back.
export const corrections: Scene[] = [
  { name: 'a goal is taken back, and the minor that it ended runs again', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.setClock('10:00')
    await bench.typeCall('h 17 trip')
    await bench.setClock('9:00')
    await bench.typeCall('g v 8 23')
    await expect(wall.at('score-visitors')).toHaveText('1')
    await expect(wall.bars('home')).toHaveCount(0)

    await bench.act(bench.line(/Goal/), 'strike')
    await bench.tapPost()

    await expect(wall.at('score-visitors')).toHaveText('0')
    await expect(wall.bars('home')).toHaveText([/17\s*0:30/])
    await expect(wall.at('skaters-home')).toHaveAttribute('data-count', '4')
    await expect(bench.line(/Goal/)).toHaveAttribute('data-struck', 'true')
  } },
  { name: 'a penalty is amended: other number, other side, other length', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.setClock('10:00')
    await bench.typeCall('h 17 trip')
    await expect(wall.bars('home')).toHaveText([/17\s*1:30/])

    await bench.act(bench.line(/17/), 'amend')
    await bench.at('side-visitors').click()
    await bench.tapNumber('5')
    await bench.page.locator('[data-bench=part][data-part=major]').click()
    await bench.tapPost()

    await expect(wall.bars('home')).toHaveCount(0)
    await expect(wall.bars('visitors')).toHaveText([/5\s*5:00/])
    await expect(wall.at('skaters-home')).toHaveAttribute('data-count', '5')
    await expect(wall.at('skaters-visitors')).toHaveAttribute('data-count', '4')
  } },
  { name: 'the newest entry is struck in two taps', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.typeCall('g h 12 -')
    await expect(wall.at('score-home')).toHaveText('1')
    await bench.at('undo').click()
    await bench.tapPost()
    await expect(wall.at('score-home')).toHaveText('0')
  } },
  { name: 'a call with its number to follow is posted, owed, and filled in', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.setClock('8:00')
    await bench.typeCall('v ? hook')
    await expect(wall.at('skaters-visitors')).toHaveAttribute('data-count', '4')
    // Half an entry holds nobody up.
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
    await expect(bench.at('hold-more')).toContainText('1 missing')
    await bench.at('hold-more').click()
    await bench.at('owed').locator('[data-bench=fill-in]').click()
    await bench.tapNumber('14')
    await bench.tapPost()
    await expect(wall.bars('visitors')).toHaveText([/14\s*1:30/])
    await expect(bench.at('hold-more')).toHaveCount(0)
  } },
  { name: 'calls of one stoppage are collected, put in order, and posted together', play: async ({ bench, wall }) => {
    await bench.begin('1st period')
    await bench.setClock('6:00')
    const before = await bench.seq()
    await bench.at('command').pressSequentially('h 7 rough;')
    await expect(bench.at('collected').locator('li')).toHaveCount(1)
    await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
    await bench.typeCall('v 22 rough')
    expect(await bench.seq()).toBe(before + 2)
    await expect(wall.at('skaters-home')).toHaveAttribute('data-count', '5')
    await expect(wall.at('skaters-visitors')).toHaveAttribute('data-count', '5')
  } },
]
