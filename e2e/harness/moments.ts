import { expect } from '@playwright/test'
import type { Bench } from './bench.ts'
import { ulid } from './game.ts'
import { Past } from './past.ts'
import type { Program } from './program.ts'

// The moments of a game as the bench shows them, one after another on one page, with whole teams.

/** The sizes of the screens that are looked at, in CSS pixels. */
export const screens = [
  ['phone', 390, 844], ['small', 360, 640], ['upright', 768, 1024], ['tablet', 1024, 768], ['laptop', 1366, 768], ['tv', 1920, 1080],
] as const

export const schemes = ['light', 'dark'] as const

const home = [
  '1 Ola Brandt G', '2 Wilhelmina Reef', '4 Sam Quill', '6 Noor Abel', '7 Mika Sund', '8 Ash Pillar', '9 Jo Larch', '11 Teodora Breakwater',
  '12 Rae Holm', '14 Finn Oar', '17 Ines Moor', '19 Gil Marram', '21 Kit Vane', '23 Lio Strand', '25 Pau Reed', '31 Dag Fathom G',
]
const visitors = [
  '30 Bo Tarn G', '3 Alix Fenn', '5 Lou Carr', '8 Max Ivory', '10 Ren Dale', '13 Bartholomew Glow', '14 Uma Frost', '16 Eli Stone',
  '18 Ida Wick', '20 Constantine Candle', '22 Tove Ash', '23 Cas Brook', '24 Nell Spark', '27 Obi Flint', '29 Jan Ember', '35 Vic Taper G',
]

/** Opens a game of two teams with sixteen players each. */
export async function openWhole(program: Program): Promise<string> {
  const players = (lines: string[]) => lines.map((line) => {
    const [number = '', ...name] = line.replace(/ G$/, '').split(' ')
    return { number, name: name.join(' '), goalkeeper: line.endsWith(' G') }
  })
  const id = ulid()
  const answer = await fetch(`${program.origin}/api/games`, {
    method: 'POST', headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      id, division: 'harbour-u14', venue: 'Saltworks Arena',
      home: { name: 'Kelp Bay', players: players(home) }, visitors: { name: 'Lanternside', players: players(visitors) },
    }),
  })
  if (answer.status !== 201) throw new Error(`the game was not opened: ${answer.status} ${await answer.text()}`)
  return id
}

/** Goes through the moments of a game at the size of a laptop, and stops at each to look. */
export async function through(bench: Bench, program: Program, game: string, look: (moment: string) => Promise<void>): Promise<void> {
  const { page } = bench
  const past = new Past(program, game)
  const at = async (moment: string) => {
    await look(moment)
    await page.setViewportSize({ width: 1366, height: 768 })
    await page.evaluate(() => scrollTo(0, 0))
  }
  await at('before')
  await past.begin('period', 1)
  await past.whistle('10:00')
  await past.goal('visitors', '8')
  await past.whistle('8:00')
  await past.penalty('home', '17', 'tripping')
  await bench.startClock()
  await expect(bench.at('idle-next')).toBeVisible()
  await at('play')
  await bench.stopClock()
  await expect(bench.at('clock-back-1')).toBeVisible()
  await at('whistle')
  await bench.beginCall('penalty', 'home')
  await bench.tapNumber('12')
  await page.locator('[data-bench=call-choice][data-call=hooking]').click()
  await bench.considered()
  await at('penalty')
  await bench.at('clear').click()
  await bench.beginCall('goal', 'visitors')
  await bench.tapNumber('13')
  await bench.tapNumber('20')
  await bench.considered()
  await at('goal')
  await bench.tapPost()
  await expect(bench.at('todo-tick').and(page.locator('[data-todo=out]'))).toBeVisible()
  await expect(bench.at('todo-tick').and(page.locator('[data-todo=say]')).first()).toBeVisible()
  await at('after-post')
  await past.whistle('0:20')
  await past.penalty('visitors', '22', 'roughing')
  await past.penalty('visitors', '', 'hooking')
  await past.runOut()
  await past.begin('intermission', 1)
  await expect(bench.at('carry')).toBeVisible()
  await at('break')
  await past.begin('period', 2)
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
  await at('hold')
  await past.runOut()
  await past.begin('intermission', 2)
  await past.begin('period', 3)
  await past.runOut()
  await bench.begin('End the game')
  await expect(bench.at('to-report')).toBeVisible()
  await at('after')
}
