import { expect, type Page } from '@playwright/test'
import type { Bench } from './bench.ts'
import type { Step, Wall } from './table.ts'
import { expectWall } from './wall.ts'

/**
 * Plays one line of a game at the bench and checks the Wall after every post.
 * Every other call is typed instead of tapped. Game time is made to pass by
 * running the clock for part of a second and putting it right, so that each
 * line has its face-off, its whistle and its stoppage.
 */
export async function play(bench: Bench, wall: Page, step: Step, index: number): Promise<void> {
  const { deed } = step
  const typed = index % 2 === 0
  switch (deed.do) {
    case 'begin':
      await bench.begin(deed.stage)
      break
    case 'play':
      await playTo(bench, wall, deed.to, step)
      break
    case 'goal':
      if (typed) await bench.typeCall(`g ${deed.side[0]} ${[deed.scorer, ...deed.assists].join(' ')}${deed.assists.length ? '' : ' -'}`)
      else await bench.tapGoal(deed.side, deed.scorer, deed.assists)
      break
    case 'penalty': {
      const [call] = deed.calls
      if (typed && call && deed.calls.length === 1) {
        const words = call.call.replaceAll('_', ' ')
        await bench.typeCall(`${call.side[0]} ${call.number} ${words} ${call.length.split('_')[0]}`)
      } else await bench.tapPenalties(deed.calls)
      break
    }
  }
  await expectWall(wall, step.wall, `${step.line}${step.rule ? ` (${step.rule})` : ''}`)
}

async function playTo(bench: Bench, wall: Page, to: string, step: Step): Promise<void> {
  const over = to === '0:00'
  // Long enough before that the whistle does not come late on a busy machine.
  const before = more(to, 4)
  await bench.setClock(before)
  await expectClock(wall, before)
  const stood = await bench.seq()
  await bench.startClock()
  if (over) { // on a busy machine it may be over before the Wall is looked at
    await expect.poll(() => bench.seq(), { message: 'the clock stops itself at zero' }).toBeGreaterThan(stood + 1)
    return
  }
  await expect(wall.locator('[data-wall=clock] [data-running]')).toHaveAttribute('data-running', 'true')
  await bench.stopClock()
  await expectScore(wall, step.wall)
  await bench.setClock(to)
}

async function expectClock(wall: Page, left: string): Promise<void> {
  const tenths = /^0:(\d\d)$/.exec(left)?.[1]
  await expect(wall.locator('[data-wall=clock]')).toHaveText(tenths === undefined ? left : `${Number(tenths)}.0`)
}

/** No start or stop of a clock changes the score. */
async function expectScore(wall: Page, expected: Wall): Promise<void> {
  await expect(wall.locator('[data-wall=clock] [data-running]')).toHaveAttribute('data-running', 'false')
  await expect(wall.locator('[data-wall=score-home]')).toHaveText(expected.score[0])
  await expect(wall.locator('[data-wall=score-visitors]')).toHaveText(expected.score[1])
}

function more(left: string, by: number): string {
  const [minutes = 0, seconds = 0] = left.split(':').map(Number)
  const all = minutes * 60 + seconds + by
  return `${Math.floor(all / 60)}:${String(all % 60).padStart(2, '0')}`
}
