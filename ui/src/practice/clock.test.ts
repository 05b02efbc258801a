import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { PracticeClock } from './clock'

/** A monotonic count that a test moves. */
class Count {
  at = 5000
  readonly read = () => this.at
  event = (age: number) => ({ timeStamp: this.at - age }) as Event
}

function running(start = 1_000_000) {
  const count = new Count()
  const clock = new PracticeClock(start, count.read)
  clock.go()
  return { count, clock, start }
}

describe("the practice's clock", () => {
  it('stands until it is let go, and then goes as fast as real time', () => {
    const count = new Count()
    const clock = new PracticeClock(1_000_000, count.read)
    count.at += 60_000
    expect([clock.now(), clock.paused]).toEqual([1_000_000, true])
    clock.go()
    count.at += 1234.5
    expect([clock.now(), clock.paused]).toEqual([1_001_234.5, false])
  })
  it('stands still while it is held, however long that is', () => {
    const { count, clock, start } = running()
    count.at += 500
    clock.pause()
    count.at += 3_600_000
    expect(clock.now()).toBe(start + 500)
    clock.pause()
    clock.go()
    clock.go()
    count.at += 500
    expect(clock.now()).toBe(start + 1000)
  })
  it('is put on past what nobody needs to watch, held or not', () => {
    const { count, clock, start } = running()
    clock.jump(90_000)
    count.at += 100
    clock.pause()
    clock.jump(1000)
    expect(clock.now()).toBe(start + 91_100)
    clock.go()
    expect(clock.now()).toBe(start + 91_100)
  })
  it('leaves out the time for which a page slept', () => {
    const { count, clock, start } = running()
    for (let i = 0; i < 10; i++) {
      count.at += 2500
      clock.now()
    }
    expect(clock.now()).toBe(start + 25_000)
    count.at += 600_000
    expect(clock.now()).toBe(start + 25_000)
    count.at += 1
    expect(clock.now()).toBe(start + 25_001)
  })
  it('gives a touch the time at which it was, also when the clock was put on between touch and handling', () => {
    const { count, clock, start } = running()
    count.at += 1000
    clock.jump(20_000)
    count.at += 10
    expect(clock.of(count.event(4))).toBe(start + 21_006)
    expect(clock.of(count.event(60))).toBe(start + 950)
    expect(clock.of(count.event(-5))).toBe(start + 21_010) // a stamp of another kind
    expect(clock.of(count.event(400_000))).toBe(start + 21_010)
    clock.pause()
    count.at += 500
    expect(clock.of(count.event(1))).toBe(start + 21_010)
  })
  it('never steps back', () => {
    const act = fc.oneof(
      fc.record({ do: fc.constant('wait' as const), ms: fc.integer({ min: 0, max: 10_000 }) }),
      fc.record({ do: fc.constant('jump' as const), ms: fc.integer({ min: 0, max: 100_000 }) }),
      fc.record({ do: fc.constantFrom('pause' as const, 'go' as const), ms: fc.constant(0) }),
    )
    fc.assert(fc.property(fc.array(act, { maxLength: 60 }), (acts) => {
      const { count, clock } = running()
      let before = clock.now()
      for (const one of acts) {
        if (one.do === 'wait') count.at += one.ms
        else if (one.do === 'jump') clock.jump(one.ms)
        else clock[one.do]()
        expect(clock.now()).toBeGreaterThanOrEqual(before)
        before = clock.now()
      }
    }))
  })
})
