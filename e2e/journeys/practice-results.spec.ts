import { readFile } from 'node:fs/promises'
import { expect } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { test as base } from '../harness/fixtures.ts'
import { printGuide } from '../harness/guide.ts'
import { pagesOf, PracticeSite } from '../harness/practice.ts'
import { Program } from '../harness/program.ts'

// The pages around practice: the menu, what is kept of a practice, and the
// coordinator's page in another browser.

const test = base.extend<{ site: PracticeSite }>({
  site: async ({ page, program }, use) => use(new PracticeSite(page, program.origin)),
})

const today = () => Math.round((Date.UTC(new Date().getFullYear(), new Date().getMonth(), new Date().getDate()) - Date.UTC(2020, 0, 1)) / 86_400_000)

/** Somebody's practice games as a file has them. */
function games(name: string, ...scores: number[]) {
  return scores.map((score, i) => ({
    name, seat: 'box', script: 'standard', level: 3, drill: false, day: today() - i, score,
    skills: [{ skill: 'minor', right: score, of: 100 }],
  }))
}
const file = (name: string, results: object[]) => ({
  name, mimeType: 'application/json', buffer: Buffer.from(JSON.stringify({ kind: 'whistlestop-practice', version: 1, results })),
})

/** A practice that was opened: it waits, or its example has begun by itself. */
const begun = '[data-practice=waiting], [data-practice=watching]'

test('somebody new begins with one button', async ({ page, site }) => {
  await page.setViewportSize({ width: 390, height: 844 })
  await site.open()
  const start = site.at('start')
  await expect(start).toHaveAttribute('data-script', 'drill-start-stop')
  await expect(start).toBeInViewport({ ratio: 1 })
  expect(await beyond(page)).toBe(0)
  expect(await violations(page)).toEqual([])
  await start.click()
  await expect(page).toHaveURL(/#play\/drill-start-stop\/clock\/step$/)
  await expect(page.locator('[data-practice=watching]'), 'the skill begins by being shown').toBeVisible()
})

test('what is missing for one seat leaves names and states of the others whole', async ({ page, site }) => {
  const one = (name: string, seat: string, ago: number, score: number, weak: object[] = []) => ({
    name, seat, script: 'standard', level: 3, drill: false, day: today() - ago, score, skills: weak,
  })
  const weak = ['score', 'double_minor', 'carry_over'].map((skill) => ({ skill, right: 20, of: 100 }))
  await site.open('#coordinator')
  await site.at('open').setInputFiles(file('all.json', [
    one('Fenwick', 'clock', 200, 96), one('Linnet', 'solo', 9, 91), one('Linnet', 'solo', 2, 95), one('Pip', 'book', 3, 64, weak), ...games('Wren', 93, 88),
  ]))
  await expect(site.at('row')).toHaveCount(4)
  for (const width of [1366, 1024]) {
    await page.setViewportSize({ width, height: 768 })
    const broken = await page.locator('[data-progress=row]').evaluateAll((rows) => rows.flatMap((row) => [...row.querySelectorAll('th, b')]).filter((part) => {
      const words = document.createRange()
      words.selectNodeContents(part)
      const lines = [...words.getClientRects()].map((box) => box.bottom)
      return Math.max(...lines) - Math.min(...lines) > 10
    }).map((part) => part.textContent))
    expect(broken, `at ${width}`).toEqual([])
    expect(await beyond(page)).toBe(0)
  }
})

test('a result is kept, sent as a code, and stands in the coordinator\'s list', async ({ page, site, browser, program }) => {
  await page.clock.install()
  await site.open()
  await site.choose('clock', 'fast')
  await page.locator('[data-progress=drill][data-script=drill-start-stop]').click()
  await site.lookOn()
  await site.at('name').fill('Wren')
  await site.at('name-go').click()
  await expect(site.at('keep')).toHaveAttribute('data-kept', 'true')
  await expect(site.at('ready')).toHaveAttribute('data-status', 'not_yet')
  const code = await site.at('code').inputValue()
  expect(code).toMatch(/^([0-9A-Z]{5}-){5,}[0-9A-Z]{1,5}$/)
  expect(await violations(page)).toEqual([])

  await page.locator('[data-practice=menu]').click()
  await expect(site.at('person')).toHaveText('Wren')
  await site.at('results').click()
  await expect(site.at('result')).toHaveCount(1)
  expect(await violations(page)).toEqual([])

  const elsewhere = await browser.newContext({ acceptDownloads: true, locale: 'en-GB' })
  const list = new PracticeSite(await elsewhere.newPage(), program.origin)
  await list.open('#coordinator')
  await expect(list.at('list-empty')).toBeVisible()
  const wrong = code.slice(0, -1) + (code.endsWith('0') ? '1' : '0')
  await list.at('paste').fill(`Hello! Here is mine: ${code.toLowerCase()}. And my sister's:\n${wrong}\nBye`)
  await list.at('add').click()
  await expect(list.at('collected')).toContainText('New results: 1.')
  await expect(list.at('collected')).toContainText(wrong)
  await expect(list.at('row')).toHaveAttribute('data-name', 'Wren')
  await list.at('paste').fill(code)
  await list.at('add').click()
  await expect(list.at('collected')).toContainText('Already here: 1.')
  await list.page.reload()
  await expect(list.at('row')).toHaveCount(1)
  await elsewhere.close()

  await site.at('delete').click()
  await expect(site.at('result')).toHaveCount(0)
  await site.at('undo').click()
  await expect(site.at('result')).toHaveCount(1)
  await site.at('forget').click()
  await site.at('forget-yes').click()
  expect(await page.evaluate(() => JSON.stringify(localStorage))).not.toContain('Wren')
})

test('the list says who is ready, goes out as a table, on paper and as a backup, and can be emptied', async ({ page, site, browser, program }) => {
  await site.open('#coordinator')
  const many = Array.from({ length: 28 }, (_, i) => games(`Volunteer ${i + 1}`, 50 + i)).flat()
  await site.at('open').setInputFiles([file('one.json', [...games('Wren', 91, 93), ...games('=Linnet, "Lin"', 60)]), file('two.json', many)])
  await expect(site.at('row')).toHaveCount(30)
  const box = (name: string) => page.locator(`[data-progress=row][data-name='${name}'] [data-seat=box]`)
  await expect(box('Wren')).toHaveAttribute('data-status', 'ready')
  await expect(box('Volunteer 1')).toHaveAttribute('data-status', 'not_yet')
  await expect(box('Volunteer 1').locator('[data-progress=why]')).toContainText('0 of 2')
  await site.at('search').fill('volunteer 27')
  await expect(site.at('row')).toHaveCount(1)
  await site.at('search').fill('Nobody at all')
  await expect(site.at('list-nobody')).toBeVisible()
  await site.at('search').fill('')
  await expect(site.at('row')).toHaveCount(30)
  await page.locator('[data-progress=filter][data-seat=box]').click()
  await expect(site.at('row').first()).toHaveAttribute('data-name', 'Wren')
  await page.locator('[data-progress=filter][data-seat=""]').click()
  expect(await violations(page)).toEqual([])

  await site.at('bar-score').fill('92')
  await site.at('bar-score').press('Tab')
  await expect(box('Wren')).toHaveAttribute('data-status', 'not_yet')
  await site.at('bar-score').fill('1000')
  await site.at('bar-score').press('Tab')
  await expect(site.at('bar')).toContainText('was not changed')
  await site.at('bar-usual').click()
  await expect(box('Wren')).toHaveAttribute('data-status', 'ready')

  for (const format of ['A4', 'Letter']) expect(pagesOf(await page.pdf({ format })), format).toBe(1)
  const saving = async (hook: string) => {
    const [download] = await Promise.all([page.waitForEvent('download'), site.at(hook).click()])
    return readFile(await download.path(), 'utf8')
  }
  const csv = await saving('csv')
  const lines = csv.split('\r\n')
  expect(lines[0]).toBe('\ufeffName,Whole bench,"Whole bench, best",Clock,"Clock, best",Box,"Box, best",Book,"Book, best",To practise,Last practice')
  expect(lines).toHaveLength(32)
  expect(lines).toContain(`Wren,not yet,,not yet,,ready,93,not yet,,,${new Date().toISOString().slice(0, 10)}`)
  expect(csv).toContain(`"'=Linnet, ""Lin""",`)

  const backup = await saving('backup')
  const elsewhere = await browser.newContext({ locale: 'en-GB' })
  const other = new PracticeSite(await elsewhere.newPage(), program.origin)
  await other.open('#coordinator')
  await other.at('open').setInputFiles({ name: 'list.json', mimeType: 'application/json', buffer: Buffer.from(backup) })
  await expect(other.at('row')).toHaveCount(30)
  await elsewhere.close()

  await page.locator("[data-progress=row][data-name='Wren'] [data-progress=forget]").click()
  await expect(site.at('row')).toHaveCount(29)
  await site.at('undo').click()
  await expect(site.at('row')).toHaveCount(30)
  await site.at('clear').click()
  await site.at('clear-yes').click()
  await expect(site.at('list-empty')).toBeVisible()
  expect(await page.evaluate(() => JSON.stringify(localStorage))).not.toContain('Volunteer')
})

test('a file that cannot be used is refused with its line, and one that can is played', async ({ page, site }) => {
  await site.open()
  const script = (whistle: string) => [
    'practice 1', 'id first-night', 'title First night in the box', 'level 2', 'division harbour-u14', 'drill yes',
    'home Kelp Bay: 1g 4 5 7 8 9 12 14 17 31g', 'visitors Lanternside: 30g 2 3 6 9 10 13 19', '', 'period 1', whistle,
  ].join('\n')
  const take = (text: string) => site.at('file').setInputFiles({ name: 'first.practice', mimeType: 'text/plain', buffer: Buffer.from(text) })
  await take(script('11:02 gaol home 7'))
  await expect(site.at('file-why')).toContainText('line 11')
  await take(script('11:02 penalty home 7 tripping minor'))
  await expect(site.at('added')).toContainText('First night in the box')
  await site.at('added').getByRole('button').click()
  await expect(page).toHaveURL(/#play\/first-night\//)
  await expect(page.locator(begun)).toBeVisible()
})

test('a game that was played is opened as practice from its report', async ({ page }) => {
  const program = await Program.demo('third-period')
  try {
    await page.goto(program.bench.replace('/bench/', '/report/'))
    const [opened] = await Promise.all([page.waitForEvent('popup'), page.locator('[data-report=practise]').click()])
    const added = new PracticeSite(opened, program.origin).at('added')
    await expect(added).toContainText('Kelp Bay')
    await expect(added).toBeInViewport()
    await added.getByRole('button').click()
    await expect(opened.locator(begun)).toBeVisible()
  } finally {
    await program.close()
  }
})

test('a browser that keeps nothing is told of, and practice goes on', async ({ page, site }) => {
  await page.addInitScript(() => {
    Object.defineProperty(window, 'localStorage', { get: () => { throw new DOMException('no', 'SecurityError') } })
  })
  await page.goto(`${site.origin}/practice/`)
  await expect(site.at('trouble')).toHaveAttribute('data-trouble', 'forbidden')
  await site.at('start').click()
  await expect(page.locator(begun)).toBeVisible()
})

for (const format of ['A4', 'Letter'] as const) {
  test(`the volunteer's guide is one page of ${format}`, async ({ page }) => {
    expect(pagesOf(await printGuide(page, 'volunteer.md', format))).toBe(1)
  })
}
