import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { expect, type Locator, type Page, test } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { Host } from '../harness/host.ts'
import { Killable } from '../harness/killed.ts'
import { share } from '../harness/paint.ts'
import { newGame } from '../harness/pocket.ts'
import { writtenSite } from '../harness/site.ts'
import { Slow } from '../harness/slow.ts'
import { Touch } from '../harness/touch.ts'

// How quick a bench in a browser is on a phone's screen, with as much of the processor as there is and with a
// part of it. A bare page of the same browser is pressed beside it: what that takes, the machine takes.
// WHISTLESTOP_PRESSES=60: how many of each; WHISTLESTOP_FROM=1: not those with the whole processor;
// WHISTLESTOP_TO=2: the first two only.

const enough = 40 // with fewer, a p95 is the most of all or nearly
const presses = Number(process.env.WHISTLESTOP_PRESSES ?? enough)
// `times`: by the browser's own slowing, which reaches the page's first thread alone: Chromium answers that it is
// "only supported for pages, not workers".
const speeds: { name: string; of?: number; times?: number }[] = [
  { name: 'unthrottled' },
  { name: "the page's first thread four times slower, by the browser's own slowing", times: 4 },
  { name: 'half of one processor for the whole browser, as two that are four times slower', of: 0.5 },
  { name: 'a quarter of one processor for the whole browser', of: 0.25 },
]

// Another goal of the same scorer within a minute of play is asked about before it is posted, rightly: so many
// players score in turn, and before the first of them scores again the clock is set on.
const scorers = Array.from({ length: 20 }, (_, i) => i + 2)
const hosts = { name: 'Kelp Bay', roster: ['1 Ola Brandt G', ...scorers.map((number) => `${number} Player ${number}`)].join('\n') }

declare global {
  interface Window { from: number; until: number; changed: MutationObserver | undefined }
}

/** Notes the first press on the page from now on, and the frame in which what `selector` names was painted changed so. */
async function note(page: Page, selector: string, attribute: string, wanted: string): Promise<void> {
  await page.evaluate(([selector, attribute, wanted]) => {
    window.from = window.until = 0
    window.addEventListener('pointerdown', (event) => (window.from = event.timeStamp), { capture: true, once: true })
    const element = document.querySelector(selector)
    if (!element) throw new Error(`no ${selector}`)
    const read = () => {
      const found = document.querySelector(selector)
      return attribute === '' ? found?.textContent?.trim() : found?.getAttribute(attribute)
    }
    let other = read() !== wanted // it has to become so, not to be so still
    window.changed?.disconnect()
    window.changed = new MutationObserver(() => {
      if (read() !== wanted) other = true
      if (!other || read() !== wanted || window.from === 0) return
      window.changed?.disconnect()
      // The frame after the one that draws it begins when it has been drawn.
      requestAnimationFrame(() => {
        const channel = new MessageChannel()
        channel.port1.onmessage = () => (window.until = performance.now())
        channel.port2.postMessage(0)
      })
    })
    if (attribute === '') window.changed.observe(element, { childList: true, characterData: true, subtree: true })
    else window.changed.observe(document, { attributeFilter: [attribute], childList: true, subtree: true })
  }, [selector, attribute, wanted] as const)
}

/** The milliseconds of a tap until what was noted. */
async function took(page: Page, tap: Locator): Promise<number> {
  const box = await tap.boundingBox()
  if (!box) throw new Error('there is nothing to tap')
  await page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2)
  await page.waitForFunction(() => window.until > 0, undefined, { polling: 100 })
  return page.evaluate(() => window.until - window.from)
}

/** Has the browser slow down the first thread of a page, also after it is loaded anew; no number: not. */
async function slowDown(page: Page, times = 1): Promise<void> {
  if (times === 1) return
  const session = await page.context().newCDPSession(page)
  await session.send('Emulation.setCPUThrottlingRate', { rate: times })
}

/** Sets the clock on by more than a minute. */
async function later(touch: Touch, bench: Bench): Promise<void> {
  const [minutes = 0, seconds = 0] = ((await bench.at('clock').textContent()) ?? '').trim().split(':').map(Number)
  const left = minutes * 60 + seconds - 65
  await touch.setClock(`${Math.floor(left / 60)}${String(left % 60).padStart(2, '0')}`)
}

function say(name: string, of: number[]): string {
  const sorted = of.toSorted((a, b) => a - b)
  const p95 = of.length < enough ? '' : ` p95 ${share(sorted, 0.95).toFixed(0)},`
  return `  ${name}: median ${share(sorted, 0.5).toFixed(0)},${p95} most ${share(sorted, 1).toFixed(0)} ms of ${of.length}`
}

/** Loads a page anew, and returns the milliseconds from there until the clock can be started. */
async function opened(page: Page, address: string): Promise<number> {
  await page.goto('about:blank')
  await page.goto(address, { waitUntil: 'commit' })
  return page.evaluate(() => new Promise<number>((resolve) => {
    const look = () => {
      const control = document.querySelector<HTMLButtonElement>('[data-bench=clock-control]')
      if (control && !control.disabled) requestAnimationFrame(() => setTimeout(() => resolve(performance.now())))
      else requestAnimationFrame(look)
    }
    look()
  }))
}

test('a bench in a browser: opening it, the clock, a preview, a post, beside a bare page', async ({ launchOptions }) => {
  test.setTimeout(3_600_000)
  const site = await writtenSite()
  const slow = Slow.make()
  const files = await mkdtemp(join(tmpdir(), 'whistlestop-figures-'))
  const host = await Host.open(site)
  const executablePath = await slow.wrapped(launchOptions.executablePath ?? 'chromium', files)
  const browser = await Killable.make({ ...launchOptions, executablePath, viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true })
  try {
    let page = await browser.start()
    await page.goto(`${host.address}#game`)
    let bench = await newGame(page, { hosts })
    await expect(page.locator('[data-pocket=page]')).toHaveAttribute('data-offline', 'true')
    await bench.begin('1st period')
    let goals = 0
    const address = page.url()
    for (const speed of speeds.slice(Number(process.env.WHISTLESTOP_FROM ?? 0), Number(process.env.WHISTLESTOP_TO ?? speeds.length))) {
      slow.to(speed.of)
      console.log(speed.name)
      // Started anew, as a phone that was put away.
      await browser.close()
      page = await browser.start()
      bench = new Bench(page)
      await slowDown(page, speed.times)
      const openings = [await opened(page, address)]
      for (let i = 0; i < 2; i++) openings.push(await opened(page, address))
      console.log(`${say('opened a second time, until the clock can be started', openings)}; the first after the browser was started: ${openings[0]?.toFixed(0)}`)
      await expect(bench.at('page')).toBeVisible()

      // A bare page: a tap changes a number.
      const bare = await page.context().newPage()
      await slowDown(bare, speed.times)
      await bare.goto(`${host.address}index.html`)
      await bare.setContent('<!doctype html><button id="tap" style="font-size:60px">tap</button> <b id="shown">0</b>')
      await bare.evaluate(() => {
        const shown = document.querySelector('#shown')!
        document.querySelector('#tap')!.addEventListener('pointerdown', () => (shown.textContent = String(Number(shown.textContent) + 1)))
      })
      const least: number[] = []
      for (let i = 1; i <= presses; i++) {
        await note(bare, '#shown', '', String(i))
        least.push(await took(bare, bare.locator('#tap')))
      }
      console.log(say('a tap on a bare page until it is painted', least))
      await bare.close()
      await page.bringToFront()

      const clock: number[] = []
      const touch = new Touch(bench)
      const previews: number[] = []
      const posts: number[] = []
      const score = bench.at('score-home')
      for (let i = 0; i < presses; i++) {
        for (const runs of [true, false]) {
          await page.waitForTimeout(400)
          await note(page, '[data-bench=clock]', 'data-running', String(runs))
          clock.push(await took(page, bench.at('clock-control')))
        }
        const number = String(scorers[goals++ % scorers.length])
        if (goals > scorers.length && goals % scorers.length === 1) await later(touch, bench)
        await bench.beginCall('goal', 'home')
        await touch.number(number)
        await page.waitForTimeout(800) // the sentence of what is there moves what is tapped next
        await expect(bench.at('sentence')).toHaveAttribute('data-asking', 'false')
        await note(page, '[data-bench=sentence]', 'data-asking', 'false')
        previews.push(await took(page, bench.at('unassisted')))
        await bench.considered()
        await note(page, '[data-bench=score-home]', '', String(Number(await score.textContent()) + 1))
        posts.push(await took(page, bench.at('post')))
      }
      console.log(say('a tap on the clock until it is painted', clock))
      console.log(say('a tap that completes a goal until the sentence is painted (90 of them the page waits for more)', previews))
      console.log(say('Post until the score is painted', posts))
      console.log(`  entries in the game: ${await bench.seq()}; private memory of the page: ${browser.memory()} MB`)
    }
  } finally {
    slow.to()
    await browser.end()
    slow.remove()
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
    await rm(files, { recursive: true, force: true })
  }
})
