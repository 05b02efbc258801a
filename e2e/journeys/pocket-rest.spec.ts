import { dirname } from 'node:path'
import { rm } from 'node:fs/promises'
import { expect, type Page, test } from '@playwright/test'
import { Host } from '../harness/host.ts'
import { newGame } from '../harness/pocket.ts'
import { writtenSite } from '../harness/site.ts'

// What a phone's battery pays for: how often the page and the bench's thread are woken. A counter lies over
// what a browser has for that, in both.

test.use({ serviceWorkers: 'block', viewport: { width: 390, height: 844 } })

interface Woken { frames: number; timers: number; fast: number }

declare global {
  var woken: Woken
  var answerAgain: () => void
  var sound: AudioContext | undefined
  var heard: AnalyserNode
}

/** Runs in the page and in the thread, before anything else there: counts frames, timers, and those that come again sooner than a frame. */
function count(): void {
  const frame = 1000 / 60
  globalThis.woken = { frames: 0, timers: 0, fast: 0 }
  let last = 0
  const counted = (set: typeof setTimeout, again: boolean) => (act: (...a: unknown[]) => void, wait = 0, ...rest: unknown[]) => set(() => {
    const now = performance.now()
    woken.timers++
    if (wait < frame && (again || now - last < frame)) woken.fast++
    last = now
    act(...rest)
  }, wait)
  Object.assign(globalThis, {
    setTimeout: counted(setTimeout.bind(globalThis), false),
    setInterval: counted(setInterval.bind(globalThis) as typeof setTimeout, true),
  })
  if (!('requestAnimationFrame' in globalThis)) return
  const request = requestAnimationFrame.bind(globalThis)
  Object.assign(globalThis, { requestAnimationFrame: (act: FrameRequestCallback) => request((now) => {
    woken.frames++
    act(now)
  }) })
}

/** Runs in the page before anything else there: listens to what it lets sound. */
function listen(): void {
  globalThis.AudioContext = class extends AudioContext {
    constructor() {
      super()
      globalThis.sound = this
      globalThis.heard = this.createAnalyser()
    }
  }
  const connect = AudioNode.prototype.connect as (this: AudioNode, to: unknown, ...more: number[]) => AudioNode
  AudioNode.prototype.connect = function (this: AudioNode, to: unknown, ...more: number[]) {
    if (to instanceof AudioDestinationNode) connect.call(this, globalThis.heard)
    return connect.call(this, to, ...more)
  } as typeof AudioNode.prototype.connect
}

/** The milliseconds from the horn's next press on the page until it is heard. */
function hornHeard(page: Page): Promise<number> {
  return page.evaluate(() => new Promise<number>((resolve) => {
    window.addEventListener('pointerdown', ({ timeStamp }) => {
      const samples = new Float32Array(globalThis.heard.fftSize)
      const look = setInterval(() => {
        globalThis.heard.getFloatTimeDomainData(samples)
        if (!samples.some((one) => Math.abs(one) > 0.05)) return
        clearInterval(look)
        resolve(performance.now() - timeStamp)
      })
    }, { capture: true, once: true })
  }))
}

/** How often both were woken within so many milliseconds; the page first. */
async function wokenWithin(page: Page, milliseconds: number): Promise<[Woken, Woken]> {
  const [thread] = page.workers()
  if (!thread) throw new Error('the bench has no thread')
  const both = async () => Promise.all([page.evaluate(() => ({ ...woken })), thread.evaluate(() => ({ ...woken }))])
  const before = await both()
  await page.waitForTimeout(milliseconds)
  const after = await both()
  const since = (i: 0 | 1) => ({ frames: after[i].frames - before[i].frames, timers: after[i].timers - before[i].timers, fast: after[i].fast - before[i].fast })
  return [since(0), since(1)]
}

test('the sound is let through while the clock runs and rests while it stands, and the horn is heard from rest', async ({ page }) => {
  const site = await writtenSite()
  const host = await Host.open(site)
  const state = () => page.evaluate(() => globalThis.sound?.state)
  try {
    await page.addInitScript(listen)
    await page.goto(`${host.address}#game`)
    const bench = await newGame(page)
    await bench.begin('1st period')
    await expect.poll(state).toBe('suspended')
    await bench.startClock()
    await expect.poll(state).toBe('running')
    await bench.stopClock()
    await expect.poll(state).toBe('suspended')
    const horn = bench.at('horn')
    const box = await horn.boundingBox()
    if (!box) throw new Error('no horn')
    const heard = hornHeard(page)
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
    await page.mouse.down()
    console.log(`the horn was heard ${(await heard).toFixed(0)} ms after its press, from rest`)
    await page.mouse.up()
    await expect(page.locator('[data-horn=sounding]')).toBeHidden()
    await expect.poll(state).toBe('suspended')
    // At the end of a period it sounds by itself.
    const again = page.waitForFunction(() => {
      const samples = new Float32Array(globalThis.heard.fftSize)
      globalThis.heard.getFloatTimeDomainData(samples)
      return samples.some((one) => Math.abs(one) > 0.05)
    })
    await bench.setClock('0:01')
    await bench.startClock()
    await again
  } finally {
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
  }
})

test('no timer is faster than the frame while the clock runs, and nothing is drawn while it stands', async ({ page }) => {
  const site = await writtenSite()
  const host = await Host.open(site)
  try {
    await page.addInitScript(count)
    await page.route('**/bench-worker.js', async (route) => {
      const answer = await route.fetch()
      await route.fulfill({ response: answer, body: `(${count.toString()})();\n${await answer.text()}` })
    })
    await page.goto(`${host.address}#game`)
    const bench = await newGame(page)
    await bench.begin('1st period')
    await page.waitForTimeout(3000)
    const [seconds, long] = [5, 20]
    const stands = await wokenWithin(page, long * 1000)
    await bench.startClock()
    await page.waitForTimeout(1000)
    const runs = await wokenWithin(page, seconds * 1000)
    console.log(`woken, page and thread: in ${long} s while the clock stands ${JSON.stringify(stands)}, in ${seconds} s while it runs ${JSON.stringify(runs)}`)
    // One that comes again and again sooner than a frame does so sixty times a second; a task of the bench's thread
    // that is put off once is none.
    for (const one of [...stands, ...runs]) expect(one.fast, 'timers faster than the frame').toBeLessThan(seconds)
    expect(stands[0].frames, 'frames while the clock stands').toBe(0)
    expect(runs[0].frames, 'frames while it runs').toBeGreaterThan(0)
    // While nothing counts: the end of the ice time is forecast, and it is looked at the bench's time, each once or twice a minute.
    expect(stands[0].timers + stands[1].timers, 'timers while the clock stands').toBeLessThanOrEqual(4)
    for (const one of runs) expect(one.timers).toBeLessThan(seconds * 15)
    // What counts while the clock stands counts on.
    await bench.stopClock()
    await bench.typeCall('t h')
    const left = (await bench.at('time-out').textContent()) ?? ''
    await expect(bench.at('time-out')).not.toHaveText(left)
    // A thread that does not answer is missed when something is asked of it, and found again.
    const shows = bench.at('page')
    const [thread] = page.workers()
    await thread?.evaluate(() => {
      const bench = globalThis.whistlestopBench as Record<string, (...given: unknown[]) => unknown>
      const kept = { ...bench }
      const waiting: (() => void)[] = []
      for (const what of ['ask', 'listen'] as const) bench[what] = (...given) => waiting.push(() => void kept[what]?.(...given))
      globalThis.answerAgain = () => {
        Object.assign(bench, kept)
        for (const one of waiting.splice(0)) one()
      }
    })
    await expect(shows).toHaveAttribute('data-link', 'heard')
    await bench.at('command').pressSequentially('h 17 trip')
    await expect(shows).toHaveAttribute('data-link', 'lost')
    await thread?.evaluate(() => globalThis.answerAgain())
    await expect(shows).toHaveAttribute('data-link', 'heard')
    await bench.considered()
    await bench.posting(() => page.keyboard.press('Enter'))
  } finally {
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
  }
})
