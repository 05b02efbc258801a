import { rm } from 'node:fs/promises'
import { dirname } from 'node:path'
import { expect, type Page, test } from '@playwright/test'
import { Host } from '../harness/host.ts'
import { newGame } from '../harness/pocket.ts'
import { writtenSite } from '../harness/site.ts'

const players = Array.from({ length: 12 }, (_, i) => String(i + 2))
const hosts = { name: 'Kelp Bay', roster: ['1 Ola Brandt G', ...players.map((number) => `${number} Player ${number}`)].join('\n') }

/** How many elements the page holds that it shows no more. What it makes copies of is not counted. */
async function left(page: Page): Promise<number> {
  const browser = await page.context().newCDPSession(page)
  for (let i = 0; i < 3; i++) await browser.send('HeapProfiler.collectGarbage')
  const { result } = await browser.send('Runtime.evaluate', { expression: 'HTMLElement.prototype' })
  const { objects } = await browser.send('Runtime.queryObjects', { prototypeObjectId: result.objectId ?? '' })
  const { result: counted } = await browser.send('Runtime.callFunctionOn', {
    objectId: objects.objectId ?? '',
    returnByValue: true,
    functionDeclaration: `function () {
      return this.filter((one) => {
        let top = one
        try { while (top.parentNode) top = top.parentNode } catch { return false } // a prototype
        return top.nodeType === 1 && top.nodeName !== 'TEMPLATE'
      }).length
    }`,
  })
  await browser.detach()
  return counted.value as number
}

// Lines, calls and to-dos come and go at every whistle. What is shown no more must not be held: a phone has little
// memory, and a game is long.
test('what a bench in a browser shows no more is let go', async ({ page }) => {
  test.setTimeout(240_000)
  const site = await writtenSite()
  const host = await Host.open(site)
  try {
    await page.setViewportSize({ width: 390, height: 844 })
    await page.goto(`${host.address}#game`)
    const bench = await newGame(page, { hosts })
    await bench.begin('1st period')
    const goals = async (scorers: string[]) => {
      for (const scorer of scorers) {
        await bench.startClock()
        await bench.stopClock()
        await bench.tapGoal('home', scorer, [])
      }
      await page.waitForTimeout(1000) // what is done once the picture is there
    }
    await goals(players.slice(0, 4))
    const before = await left(page)
    await goals(players.slice(4))
    const after = await left(page)
    expect(after - before, `${before} elements were held after four goals, ${after} after twelve`).toBeLessThan(40)
  } finally {
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
  }
})
