import { expect } from '@playwright/test'
import { ledgerOf } from '../harness/game.ts'
import { Phone } from '../harness/phone.ts'
import { test } from '../harness/rink.ts'
import { Wire } from '../harness/wire.ts'

interface Line { type: string; seat: string; of?: string; id: string }
const kind = ({ type }: Line) => type.split('.')[1]

test('four phones are seated with ten taps at the bench, and nothing between them is waited for or loaded again', async ({ browser, program, bench }) => {
  const seats = ['clock', 'box', 'book', 'shots'] as const
  let taps = 0
  const tap = async (what: ReturnType<typeof bench.at>) => {
    taps++
    await what.click()
  }
  await bench.page.evaluate(() => ((window as { marked?: boolean }).marked = true))
  const phones = await Promise.all(seats.map((seat) => Phone.fresh(browser, program, `${seat} phone`)))
  await tap(bench.at('setup-seats'))
  // All four codes are open before the first phone has asked.
  const links: string[] = []
  for (const seat of seats) {
    await tap(bench.page.locator(`[data-bench=seat-invite][data-seat=${seat}][data-side=""]`))
    await expect(bench.at('invite')).not.toHaveAttribute('data-link', links[links.length - 1] ?? '')
    links.push((await bench.at('invite').getAttribute('data-link')) ?? '')
  }
  expect(new Set(links).size).toBe(4)
  await expect(bench.at('invite-open')).toHaveCount(3)
  // The phones ask at once, in whatever order; the last one had an old code first, in the same tab.
  const last = phones[3]!
  await last.open('/join#an-old-code')
  await last.join('device').fill(last.device)
  await last.join('go').click()
  await expect(last.join('trouble')).not.toBeEmpty()
  await last.page.evaluate((hash) => (location.hash = hash), new URL(links[3]!).hash)
  await Promise.all([...phones.slice(0, 3).map((phone, i) => phone.ask(links[i]!)), last.join('go').click()])
  for (const phone of [...phones].reverse()) {
    await tap(bench.page.locator(`[data-bench=seat-request][data-device="${phone.device}"] [data-bench=seat-approve]`))
  }
  await tap(bench.at('seats-close'))
  for (const [i, phone] of phones.entries()) await expect(phone.at('page')).toHaveAttribute('data-name', seats[i]!)
  expect(taps).toBe(10)
  expect(await bench.page.evaluate(() => (window as { marked?: boolean }).marked), 'the bench was not loaded again').toBe(true)
})

test('what is kept out of reach shows at once, is listed and taken back; after a revocation a person decides', async ({ browser, program, bench, game }) => {
  const wire = await Wire.to(program)
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('h 17 trip')
  const box = await Phone.seated(browser, program, bench, { seat: 'box', side: 'home' }, 'Gate phone', wire.origin)
  const card = box.at('sitter')
  await expect(card).toHaveAttribute('data-seen', 'false')
  const before = (await ledgerOf(program, game)).length
  const since = async () => (await ledgerOf(program, game)).slice(before).map((line) => JSON.parse(line) as Line)

  wire.cut()
  await expect(box.at('page')).toHaveAttribute('data-link', 'lost')
  await box.at('in').click()
  await expect(card, 'the card changes at once').toHaveAttribute('data-seen', 'true')
  await expect(box.at('kept')).toContainText('Kelp Bay 17 is in the box')
  await box.at('kept').locator('summary').click()
  await expect(box.at('kept-row')).toContainText('10:00 of the 1st')
  await box.page.screenshot({ path: 'test-results/kept-390.png' })
  await box.at('kept-back').click()
  await expect(card).toHaveAttribute('data-seen', 'false')
  await box.at('in').click()
  await expect(card).toHaveAttribute('data-seen', 'true')
  expect(await since()).toEqual([])
  wire.heal()
  await expect(box.at('page')).toHaveAttribute('data-queue', '0')
  const handed = await since()
  expect(handed.filter((one) => kind(one) === 'seated' && !handed.some((other) => other.of === one.id))).toHaveLength(1)

  // The seat is taken away while more is kept: it is neither lost nor counted.
  wire.cut()
  await expect(box.at('page')).toHaveAttribute('data-link', 'lost')
  await box.at('early').click()
  await expect(card).toHaveAttribute('data-standing', 'left')
  await box.at('back').click()
  await bench.setUp('seats')
  await bench.at('seat-remove').click()
  await bench.at('seats-close').click()
  const known = (await since()).length
  wire.heal()
  await expect(box.at('gone')).toBeVisible()
  await expect(box.at('handed')).toContainText('2 entries')
  await expect(bench.at('handed-row')).toHaveCount(2)
  await expect(bench.at('handed-row').first()).toContainText('Kelp Bay 17 has left the box')
  expect(await since()).toHaveLength(known)
  await bench.page.screenshot({ path: 'test-results/handed-1366.png' })
  await bench.at('handed-take').first().click()
  await expect(bench.at('handed-row')).toHaveCount(1)
  await bench.at('handed-leave').click()
  await expect(bench.at('handed')).toHaveCount(0)
  const taken = (await since()).slice(known)
  expect(taken.map((one) => [kind(one), one.seat])).toEqual([['seated', 'box'], ['note', 'box']])
  wire.close()
})

test('of two phones in the Shots seat one counts, and the other is told until the bench lets both', async ({ browser, program, bench }) => {
  await bench.begin('1st period')
  const first = await Phone.seated(browser, program, bench, { seat: 'shots' }, 'First phone')
  const second = await Phone.seated(browser, program, bench, { seat: 'shots' }, 'Second phone')
  await expect(second.at('looks-on')).toContainText('First phone counts the shots')
  await expect(second.at('tap-home')).toBeDisabled()
  await second.page.screenshot({ path: 'test-results/looks-on-390.png' })
  const tap = (phone: Phone) => phone.at('tap-home').dispatchEvent('pointerdown', { button: 0 })
  await tap(first)
  await expect(second.at('tap-home'), 'it sees what the first one counts').toHaveAttribute('data-count', '1')
  await tap(second)
  await bench.setUp('seats')
  await expect(bench.at('seat-looks-on')).toContainText('First phone counts')
  await bench.page.screenshot({ path: 'test-results/seats-looks-on-1366.png' })
  await bench.at('seat-count').click()
  await expect(second.at('looks-on')).toHaveCount(0)
  await tap(second)
  await expect(first.at('tap-home')).toHaveAttribute('data-count', '2')
})

test('what the bench refuses is said once, and the control of the clock stays where it is', async ({ browser, program, bench }) => {
  await bench.begin('1st period')
  const phone = await Phone.seated(browser, program, bench, { seat: 'clock' }, 'Clock phone')
  await phone.page.setViewportSize({ width: 360, height: 640 })
  await expect(phone.at('clock-control')).toBeEnabled()
  const place = async () => Math.round((await phone.at('clock-control').boundingBox())?.y ?? -1)
  const before = await place()
  await phone.page.route('**/entries', (route) => route.fulfill({
    status: 422, contentType: 'application/problem+json', body: JSON.stringify({ title: 'Refused', detail: 'The clock of this period cannot be started now.', refused: [] }),
  }))
  for (let i = 0; i < 2; i++) {
    const answered = phone.page.waitForResponse('**/entries')
    await phone.pressClock()
    await answered
    await expect(phone.at('clock-control')).toHaveAttribute('data-running', 'false')
  }
  await expect(phone.at('refused')).toHaveCount(1)
  await expect(phone.at('refused')).toContainText('2 posts from before were refused')
  await phone.page.screenshot({ path: 'test-results/refused-360.png' })
  expect(await place()).toBe(before)
  await phone.at('refused').getByRole('button').click()
  await expect(phone.at('refused')).toHaveCount(0)
})
