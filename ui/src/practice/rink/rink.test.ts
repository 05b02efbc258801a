import { describe, expect, it } from 'vitest'
import type { Boxed, Cue, Division, RinkFrame } from '../../base/contract/contract'
import rules from '$messages/en/rules.json'
import { boardAt } from './board'
import { families, poseName } from './figure'
import { Marks, rink } from './marks'
import { heardAt, namedAt, signalAt, sittingIn, standingAt } from './shown'
import { placesAt, scriptTime, stretchOf } from './track'

const at = { period: 1, elapsed_ms: 0 }
const cues: Cue[] = [
  { real_ms: 0, at, kind: 'line_up', running: false },
  { real_ms: 4_000, at, kind: 'drop', running: true },
  { real_ms: 30_000, at, kind: 'whistle', running: false, why: 'penalty' },
  { real_ms: 31_000, at, kind: 'signal', running: false, signal: 'tripping', side: 'home' },
  { real_ms: 32_000, at, kind: 'words', running: false, by: 'parent', say: { key: 'drill.heard.parent_time' } },
  {
    real_ms: 33_000, at, kind: 'words', running: false, by: 'referee', side: 'home',
    say: { key: 'drill.heard.mumbled', args: { parts: '@parts.minor_minor' } },
    repeat: { key: 'drill.heard.penalty', args: { parts: '@parts.minor_minor', player: '17' } },
  },
  { real_ms: 36_000, at, kind: 'sits', running: false, side: 'home', player: '17' },
  { real_ms: 40_000, at, kind: 'line_up', running: false },
  { real_ms: 44_000, at, kind: 'drop', running: true },
]

describe('the time of the script', () => {
  it('goes on with the clock of the practice, and waits before a cue that was not shown yet', () => {
    expect(scriptTime(cues, 1, 1_000_000, 1_002_500)).toBe(6_500)
    expect(scriptTime(cues, 0, 1_000_000, 1_060_000)).toBe(4_000)
    expect(scriptTime(cues, 8, 1_000_000, 1_060_000)).toBe(44_000)
  })
  it('knows which stretch a cue belongs to', () => {
    expect(cues.map((_, i) => stretchOf(cues, i))).toEqual([0, 1, 2, 2, 2, 2, 2, 2, 8])
    expect(stretchOf(cues, -1)).toBe(0)
  })
})

describe('places between frames', () => {
  const frame = (real_ms: number, x: number, number = '9'): RinkFrame => ({
    real_ms, puck: { x, y: 100 }, referee: { x: 500, y: 500 }, players: [{ side: 'home', number, x, y: 200 }],
  })
  it('puts a skater who goes straight on a straight line', () => {
    const frames = [frame(0, 0), frame(1_000, 100), frame(2_000, 200), frame(3_000, 300)]
    expect(placesAt(frames, 1_250)).toEqual({
      puck: { x: 125, y: 100 }, referee: { x: 500, y: 500 }, players: [{ side: 'home', number: '9', x: 125, y: 200 }],
    })
  })
  it('goes through every frame and stays at the last', () => {
    const frames = [frame(0, 0), frame(1_000, 500), frame(2_000, 100)]
    for (const { real_ms, puck } of frames) expect(placesAt(frames, real_ms)?.players[0]?.x).toBeCloseTo(puck.x)
    expect(placesAt(frames, 9_000)?.puck.x).toBe(100)
    expect(placesAt([], 0)).toBeUndefined()
  })
  it('lets somebody come when the frame comes that has them', () => {
    const frames = [frame(0, 0), frame(1_000, 100, '12')]
    expect(placesAt(frames, 900)?.players.map((one) => one.number)).toEqual(['9'])
    expect(placesAt(frames, 1_000)?.players.map((one) => one.number)).toEqual(['12'])
  })
})

describe('what is shown', () => {
  it('says how the game stands', () => {
    expect(cues.map((_, i) => standingAt(cues, i).standing))
      .toEqual(['line_up', 'play', 'whistle', 'whistle', 'whistle', 'whistle', 'whistle', 'line_up', 'play'])
    expect(standingAt(cues, -1)).toEqual({ standing: 'before', cue: -1 })
  })
  it('keeps a signal until the puck drops, and says what is imposed once it was said', () => {
    expect(signalAt(cues, 2)).toBeUndefined()
    expect(signalAt(cues, 4)).toEqual({ signal: 'tripping', side: 'home', parts: '', cue: 3 })
    expect(signalAt(cues, 7)).toEqual({ signal: 'tripping', side: 'home', parts: '@parts.minor_minor', cue: 3 })
    expect(signalAt(cues, 8)).toBeUndefined()
  })
  it('keeps what was said until something else is, and two things that were said at once', () => {
    expect(heardAt(cues, 3, new Set())).toEqual([])
    expect(heardAt(cues, 5, new Set()).map((one) => [one.by, one.mumbled])).toEqual([['referee', true], ['parent', false]])
    expect(heardAt(cues, 8, new Set()).map((one) => one.by)).toEqual(['referee'])
  })
  it('says a mumbled number when it was asked for, and shows nobody before', () => {
    expect(heardAt(cues, 5, new Set([5]))[0]).toMatchObject({ mumbled: false, say: { key: 'drill.heard.penalty' } })
    expect(namedAt(cues, 5, new Set())).toEqual([])
    expect(namedAt(cues, 5, new Set([5]))).toEqual([{ side: 'home', number: '17' }])
    expect(namedAt(cues, 6, new Set())).toEqual([{ side: 'home', number: '17' }])
  })
})

describe('the box beside the rink', () => {
  const boxed = (sits: string, left_ms: number): Boxed => ({ side: 'home', player: sits, sits, part: 'minor', left_ms, starts: false })
  it('does not tell who may leave', () => {
    const box = [boxed('17', 60_000), boxed('9', 20_000), boxed('9', 120_000), boxed('', 5_000)]
    expect(sittingIn('home', box, [boxed('4', 0)], new Set()).map((one) => one.number)).toEqual(['4', '9', '17'])
    expect(sittingIn('home', box, [], new Set(['home 17'])).map((one) => one.number)).toEqual(['9'])
    expect(sittingIn('visitors', box, [], new Set())).toEqual([])
  })
})

describe('marks', () => {
  const ice = (x: number, number = '9') => ({
    puck: { x: 3_000, y: 1_300 }, referee: { x: 3_000, y: 1_300 }, players: [{ side: 'home' as const, number, x, y: 1_000 }],
  })
  const none = new Set<string>()
  const only = (marks: Marks) => [...marks.all].map((one) => [one.number, Math.round(one.x), Math.round(one.y)])

  it('stand where the frames have them', () => {
    const marks = new Marks()
    marks.step(ice(500), none, 0.016, true, false)
    expect(only(marks)).toEqual([['9', 500, 1_000]])
    marks.step(ice(510), none, 0.016, false, false)
    expect(only(marks)).toEqual([['9', 510, 1_000]])
  })
  it('glide where two stretches do not meet, and never faster than a skater', () => {
    const marks = new Marks()
    marks.step(ice(500), none, 0.016, true, false)
    let before = 500
    for (let i = 0; i < 600; i++) {
      marks.step(ice(4_000), none, 0.016, i === 0, false)
      const x = only(marks)[0]?.[1] as number
      expect(x - before).toBeLessThanOrEqual(17)
      before = x
    }
    expect(before).toBe(4_000)
  })
  it('do not glide over time that was left out', () => {
    const marks = new Marks()
    marks.step(ice(500), none, 0.016, true, false)
    marks.step(ice(4_000), none, 0.016, true, true)
    expect(only(marks)).toEqual([['9', 4_000, 1_000]])
  })
  it('are hidden in the box, and come out through the gate', () => {
    const marks = new Marks()
    const inside = new Set(['home 9'])
    marks.step(ice(3_000), inside, 0.016, true, false)
    expect(only(marks)).toEqual([])
    marks.step(ice(3_000), none, 0.016, false, false)
    const [, x, y] = only(marks)[0] as [string, number, number]
    expect(Math.hypot(x - rink.gate.home, y - (rink.width - rink.edge))).toBeLessThan(20)
    for (let i = 0; i < 600; i++) marks.step(ice(3_000), none, 0.016, false, false)
    expect(only(marks)).toEqual([['9', 3_000, 1_000]])
  })
  it('skate to the gate when the learner\'s game has them in the box', () => {
    const marks = new Marks()
    marks.step(ice(1_500), none, 0.016, true, false)
    for (let i = 0; i < 600; i++) marks.step(ice(1_500), new Set(['home 9']), 0.016, false, false)
    expect(only(marks)).toEqual([])
  })
  it('go to the bench when they came out by mistake', () => {
    const marks = new Marks()
    marks.step(ice(3_000, '4'), new Set(['home 9']), 0.016, true, false)
    marks.step(ice(3_000, '4'), none, 0.016, false, false)
    expect(only(marks).map(([number]) => number)).toEqual(['4', '9'])
    for (let i = 0; i < 600; i++) marks.step(ice(3_000, '4'), none, 0.016, false, false)
    expect(only(marks).map(([number]) => number)).toEqual(['4'])
  })
})

describe('the figure of the referee', () => {
  it('has a pose for every call that the codes know', () => {
    const calls = Object.keys(rules).filter((key) => key.startsWith('call.') && key !== 'call.owed').map((key) => key.slice(5))
    expect(calls.length).toBeGreaterThan(25)
    expect(families().flat().sort()).toEqual([...calls, 'goal', 'no_goal', 'arm_up', 'time_out'].sort())
  })
  it('tells a goal from none, and has a pose for calls that nobody drew', () => {
    expect(poseName('goal')).toBe('goal')
    expect(poseName('no_goal')).not.toBe(poseName('goal'))
    expect(poseName('a_call_of_somebody')).toBe('other')
  })
})

describe("the rink's own board", () => {
  const division = { periods_ms: [720_000, 720_000], overtime: { periods: [{ length_ms: 300_000 }] } } as Division
  const moment = (period: number, elapsed_ms: number) => ({ period, elapsed_ms })
  const game: Cue[] = [
    { real_ms: 0, at: moment(1, 180_000), kind: 'line_up', running: false },
    { real_ms: 3_000, at: moment(1, 180_000), kind: 'drop', running: true },
    { real_ms: 9_000, at: moment(1, 186_000), kind: 'arm', running: true },
    { real_ms: 15_000, at: moment(1, 192_000), kind: 'whistle', running: false },
    { real_ms: 30_000, at: moment(3, 0), kind: 'line_up', running: false },
    { real_ms: 33_000, at: moment(3, 0), kind: 'drop', running: true },
  ]
  const shown = (cue: number) => 1_000_000 + (game[cue]?.real_ms ?? 0)
  const read = (cue: number, real: number) => boardAt(game, cue, division, shown, 1_000_000 + real)
  it('stands before the drop and at the whistle, and runs between', () => {
    expect(read(-1, 0)).toEqual({ period: 1, left: 540_000 })
    expect(read(0, 2_900)).toEqual({ period: 1, left: 540_000 })
    expect(read(1, 5_000)).toEqual({ period: 1, left: 538_000 })
    expect(read(2, 10_000)).toEqual({ period: 1, left: 533_000 })
    expect(read(3, 20_000)).toEqual({ period: 1, left: 528_000 })
  })
  it('goes no further than the whistle where that is late, and counts overtime down from its own length', () => {
    expect(read(2, 60_000)).toEqual({ period: 1, left: 528_000 })
    expect(read(5, 43_000)).toEqual({ period: 3, left: 290_000 })
  })
})
