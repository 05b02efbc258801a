import { writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from '@playwright/test'
import { printGuide } from '../harness/guide.ts'
import { PracticeSite } from '../harness/practice.ts'
import { Program } from '../harness/program.ts'

// Takes the pictures of the guides for volunteers and coordinators, and prints
// the volunteers' one.

const docs = join(dirname(fileURLToPath(import.meta.url)), '../../docs')
const folder = join(docs, 'screens/practice')
const today = Math.round((Date.UTC(new Date().getFullYear(), new Date().getMonth(), new Date().getDate()) - Date.UTC(2020, 0, 1)) / 86_400_000)

const result = (name: string, seat: string, ago: number, score: number, weak: Record<string, number> = {}) => ({
  name, seat, script: 'standard', level: 3, drill: false, day: today - ago, score,
  skills: Object.entries(weak).map(([skill, right]) => ({ skill, right, of: 100 })),
})
const results = [
  result('Fenwick', 'clock', 200, 94), result('Fenwick', 'clock', 190, 96),
  result('Linnet', 'solo', 9, 91), result('Linnet', 'solo', 2, 95),
  result('Pip', 'book', 3, 64, { score: 90, double_minor: 20, carry_over: 40 }),
  result('Wren', 'box', 8, 88, { minor: 95 }), result('Wren', 'box', 1, 93, { minor: 100 }),
]

test('practice', async ({ browser }) => {
  const program = await Program.empty()
  try {
    const phone = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, locale: 'en-GB' })
    const menu = new PracticeSite(await phone.newPage(), program.origin)
    await menu.open()
    await menu.at('start').waitFor()
    await menu.page.screenshot({ path: join(folder, 'menu-phone.png') })
    await phone.close()

    const laptop = await browser.newContext({ viewport: { width: 1366, height: 768 }, locale: 'en-GB' })
    const list = new PracticeSite(await laptop.newPage(), program.origin)
    await list.open('#coordinator')
    await list.at('open').setInputFiles({
      name: 'results.json', mimeType: 'application/json',
      buffer: Buffer.from(JSON.stringify({ kind: 'whistlestop-practice', version: 1, results })),
    })
    await expect(list.at('row')).toHaveCount(4)
    await list.page.screenshot({ path: join(folder, 'coordinator-laptop.png') })
    await list.page.goto('about:blank')
    await writeFile(join(docs, 'volunteer.pdf'), await printGuide(list.page, 'volunteer.md', 'A4'))
    await laptop.close()
  } finally {
    await program.close()
  }
})
