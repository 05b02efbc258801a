import { expect } from '@playwright/test'
import { invite, letIn, Phone } from '../harness/phone.ts'
import { test } from '../harness/rink.ts'

test('a phone scans the code, the bench says yes, and the phone is that seat', async ({ browser, program, bench }) => {
  const phone = await Phone.fresh(browser, program, 'Anna 1')
  await phone.ask(await invite(bench, { seat: 'clock' }))
  await expect(phone.join('check')).toBeVisible()
  // Both show the same number, so that nobody lets in the wrong phone.
  const check = await phone.join('check').textContent()
  await expect(bench.at('seat-check')).toHaveText(check ?? '')
  expect(phone.page.url(), 'the key does not stay in the address').not.toContain('#')
  await letIn(bench, 'Anna 1')
  await expect(phone.at('page')).toHaveAttribute('data-name', 'clock')
  await expect(phone.at('page')).toHaveAttribute('data-link', 'heard')
  // Plain http on a network: what browsers keep for encrypted pages is not needed.
  expect(await phone.page.evaluate(() => [isSecureContext, 'subtle' in crypto, 'serviceWorker' in navigator])).toEqual([false, false, false])
  await bench.setUp('seats')
  await expect(bench.page.locator('[data-bench=seat-session][data-device="Anna 1"]')).toHaveAttribute('data-open', 'true')
  await phone.page.reload()
  await expect(phone.at('page')).toHaveAttribute('data-name', 'clock')
})

test('a typed code lets a phone ask; a wrong one, a used one and a refusal say what to do', async ({ browser, program, bench }) => {
  const phone = await Phone.fresh(browser, program, 'Bo')
  await phone.open('/join')
  await phone.type('BBBB-BBBB')
  await expect(phone.join('trouble')).toBeVisible()
  await expect(phone.join('trouble')).not.toBeEmpty()
  const link = await invite(bench, { seat: 'shots' })
  await bench.setUp('seats')
  const code = await bench.at('invite').getAttribute('data-code')
  await bench.at('seats-close').click()
  await phone.type(code ?? '')
  await expect(phone.join('check')).toBeVisible()
  await phone.page.reload()
  await expect(phone.join('check'), 'a reload goes on waiting').toBeVisible()
  await bench.at('seat-refuse').click()
  await expect(phone.join('page')).toHaveAttribute('data-step', 'over')
  await expect(phone.join('trouble')).not.toBeEmpty()

  const other = await Phone.fresh(browser, program, 'Cas')
  await other.ask(link)
  await expect(other.join('trouble'), 'one use only').toBeVisible()
  await expect(other.join('page')).toHaveAttribute('data-step', 'typing')
})

test('a seat that is taken back says so at once, and can do nothing more', async ({ browser, program, bench }) => {
  const phone = await Phone.seated(browser, program, bench, { seat: 'clock' }, 'Dee')
  await bench.begin('1st period')
  await expect(phone.at('clock-control')).toBeEnabled()
  const before = await bench.seq()
  await bench.setUp('seats')
  await bench.at('seat-remove').click()
  await expect(phone.at('gone')).toBeVisible()
  await bench.at('seats-close').click()
  expect(await bench.seq()).toBe(before)
  await phone.open('/seat')
  await expect(phone.at('none')).toBeVisible()
})

test('a stranger sees the public view: numbers, no names, nothing to press', async ({ browser, program, bench, game }) => {
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('g h 12 6')
  const phone = await Phone.fresh(browser, program, 'Eli')
  const streamed: string[] = []
  phone.page.on('response', (response) => streamed.push(new URL(response.url()).search))
  await phone.open(`/follow/${game}`)
  await expect(phone.page.locator('[data-follow=goal]')).toContainText('Kelp Bay 12')
  await expect(phone.page.locator('[data-lanes] [data-wall=score-home]')).toHaveText('1')
  const text = await phone.page.locator('body').innerText()
  for (const name of ['Rae Holm', 'Noor Abel', 'Ola Brandt']) expect(text).not.toContain(name)
  expect(await phone.page.locator('button:visible').count()).toBe(0)
  expect(streamed.some((search) => new URLSearchParams(search).get('view') === 'public')).toBe(true)
  const answer = await phone.page.evaluate(async (id) => (await fetch(`/api/games/${id}`)).text(), game)
  expect(answer).not.toContain('Rae Holm')
  expect(await phone.page.evaluate(async (id) => (await fetch(`/api/games/${id}/ledger.jsonl`)).status, game)).toBe(403)
})
