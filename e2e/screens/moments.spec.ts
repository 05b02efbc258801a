import { mkdirSync } from 'node:fs'
import { type Browser, type Page, expect } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'
import { openWhole, schemes, screens, through } from '../harness/moments.ts'
import { openWall } from '../harness/wall.ts'

// Each moment of the bench on every screen, light and dark, and on the Wall: one sheet a moment and
// scheme in docs/screens/moments, and three at the size of a laptop for docs/design.md. With MOMENTS=folder
// the pictures are kept there one by one instead, to be looked through.

const folder = process.env['MOMENTS']
const docs = '../docs/screens'
const alone: Record<string, string> = { play: 'play', goal: 'call', 'after-post': 'after-post' } // those of docs/design.md
const scale = 0.42 // of a picture on its sheet

interface Picture { name: string; width: number; bytes: Buffer }

/** Puts the pictures of a moment beside one another. */
async function sheet(browser: Browser, path: string, pictures: Picture[]): Promise<void> {
  const page = await browser.newPage({ viewport: { width: 1840, height: 900 } })
  const images = pictures.map(({ name, width, bytes }) => `<figure><figcaption>${name}</figcaption><img width="${Math.round(width * scale)}" src="data:image/png;base64,${bytes.toString('base64')}"></figure>`)
  await page.setContent(`<style>body { display: flex; flex-wrap: wrap; gap: 16px; margin: 16px; background: #777; font: 15px sans-serif; color: #fff } figure { margin: 0 } img { display: block }</style>${images.join('')}`)
  await page.waitForFunction(() => [...document.images].every((one) => one.complete))
  await page.screenshot({ path, fullPage: true, type: 'jpeg', quality: 60 })
  await page.close()
}

async function take(page: Page, moment: string): Promise<void> {
  const sheets: Record<string, Picture[]> = { light: [], dark: [] }
  for (const colorScheme of schemes) {
    await page.emulateMedia({ colorScheme })
    for (const [name, width, height] of screens) {
      await page.setViewportSize({ width, height })
      await page.evaluate(() => {
        scrollTo(0, 0)
        return document.fonts.ready.then(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
      })
      const bytes = await page.screenshot({ animations: 'disabled', ...(folder === undefined ? {} : { path: `${folder}/${moment}-${name}-${colorScheme}.png` }) })
      sheets[colorScheme]?.push({ name: `${name} ${width}x${height}`, width, bytes })
      const own = alone[moment]
      if (folder === undefined && own !== undefined && name === 'laptop' && colorScheme === 'light') await page.screenshot({ path: `${docs}/moment-${own}.png`, animations: 'disabled' })
    }
  }
  await page.emulateMedia({ colorScheme: 'light' })
  taken[moment] = sheets
}

const taken: Record<string, Record<string, Picture[]>> = {}

test('the moments of the bench, on every screen, light and dark', async ({ page, program, browser }) => {
  const game = await openWhole(program)
  const bench = new Bench(page)
  await bench.open(`${program.origin}/bench/${game}`)
  const wall = await browser.newPage({ viewport: { width: 1920, height: 1080 } })
  await openWall(wall, `${program.origin}/wall/${game}`)
  if (folder === undefined) mkdirSync(`${docs}/moments`, { recursive: true })
  await through(bench, program, game, async (moment) => {
    await take(page, moment)
    await expect.poll(() => wall.locator('[data-wall=page]').getAttribute('data-seq')).toBe(String(await bench.seq()))
    const bytes = await wall.screenshot({ animations: 'disabled', ...(folder === undefined ? {} : { path: `${folder}/${moment}-wall.png` }) })
    if (folder !== undefined) return
    for (const scheme of schemes) await sheet(browser, `${docs}/moments/${moment}-${scheme}.jpg`, [...(taken[moment]?.[scheme] ?? []), { name: 'the Wall 1920x1080', width: 1920, bytes }])
  })
})
