import { expect, type Page } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { test } from '../harness/fixtures.ts'
import { Hub } from '../harness/hub.ts'
import { Mail } from '../harness/mail.ts'
import { Program } from '../harness/program.ts'
import { PushService } from '../harness/push.ts'

async function looks(page: Page, name: string) {
  for (const [size, width, height] of [['small', 360, 640], ['phone', 390, 844], ['laptop', 1366, 768]] as const) {
    await page.setViewportSize({ width, height })
    await page.screenshot({ path: `test-results/crew-hub-${name}-${size}.png` })
    expect(await beyond(page), `${name} on a ${size}`).toBeLessThanOrEqual(0)
  }
  for (const scheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme: scheme })
    expect(await violations(page), `${name}, ${scheme}`).toEqual([])
  }
}

interface Due { person: string; reach: string; text: string }

/** Asks the desk that a page shows, as that page does. */
async function ask<A>(page: Page, path: string, what?: object): Promise<A> {
  return page.evaluate(async ([path, what]) => {
    const sent = what ? { method: 'POST', body: JSON.stringify(what), headers: { 'Content-Type': 'application/json' } } : {}
    return (await (await fetch(`api/crew/${path as string}`, sent)).json()) as A
  }, [path, what] as const)
}

const at = (page: Page, name: string) => page.locator(`[data-desk="${name}"]`)
const mine = (page: Page, name: string) => page.locator(`[data-mine="${name}"]`)

/** The desk's file with rinks where it is noon now: nobody is written to at night, and the program has the computer's clock. */
function atNoon(whole: string): string {
  const hours = new Date().getUTCHours() - 12 // the signs of these zones are turned round
  const moved = whole.replace(/zone = \\"[^"]*\\"/, `zone = \\"Etc/GMT${hours < 0 ? '' : '+'}${hours}\\"`)
  expect(moved).not.toBe(whole)
  return moved
}

test('a desk moves to the hub, letters and reminders go out, and a volunteer answers by a link while nobody sits there', async ({ page, browser }) => {
  const old = await Program.desk('--demo')
  const mail = await Mail.open()
  const push = await PushService.open()
  const hub = await Hub.empty(mail.file, push.surroundings)
  try {
    await page.goto(`${old.origin}/desk#balance`)
    await expect(at(page, 'family').first()).toBeVisible()
    const { due } = await ask<{ due: Due[] }>(page, 'messages')
    const linked = due.find((one) => one.reach.includes('@'))! // their link leads to this computer
    const reminded = due.find((one) => one !== linked && one.text.includes('you said yes') && !/do you come|you need not/.test(one.text))!
    await ask(page, 'links', { person: linked.person })
    const [saved] = await Promise.all([page.waitForEvent('download'), at(page, 'whole').click()])
    const { readFile } = await import('node:fs/promises')
    const whole = atNoon(await readFile(await saved.path(), 'utf8'))
    const people = await (await page.request.get(`${old.origin}/api/crew`)).json().then((it: { people: number }) => it.people)
    await old.close()

    await page.goto(hub.first)
    await page.getByLabel('Your name').fill('Robin Ashdown')
    await page.getByRole('button', { name: 'Sign in' }).click()
    await page.getByRole('link', { name: "Open the crew's desk" }).click()
    await expect(at(page, 'take-over')).toBeVisible()
    await looks(page, 'empty')
    await at(page, 'whole-file').setInputFiles({ name: 'crew-desk.json', mimeType: 'application/json', buffer: Buffer.from('{}') })
    await expect(at(page, 'take-over').getByRole('alert')).toContainText('Nothing was changed')
    await at(page, 'whole-file').setInputFiles({ name: 'crew-desk.json', mimeType: 'application/json', buffer: Buffer.from(whole) })
    await expect(at(page, 'counts')).toContainText(`${people} people`)
    await expect(at(page, 'take-over')).toHaveCount(0)

    await at(page, 'to-messages').click()
    await expect(at(page, 'reach')).toContainText('from anywhere')
    await expect(at(page, 'moved')).toBeVisible()
    await expect(at(page, 'elsewhere')).toContainText('another address of this desk: 1')

    // Somebody who said yes has reminders on their phone, from the moment at which the desk is here.
    const context = await browser.newContext({ viewport: { width: 360, height: 640 }, permissions: ['notifications'] })
    await push.serve(context)
    const phone = await context.newPage()
    await phone.goto((await ask<{ link: string }>(page, 'links', { person: reminded.person })).link)
    await mine(phone, 'push-on').click()
    await expect(mine(phone, 'reminders')).toHaveAttribute('data-on', 'true')
    await page.reload()
    await expect(at(page, 'push')).toHaveCount(1)
    await looks(page, 'messages')
    const shown = await at(page, 'mail-all').textContent()
    const count = Number(/\d+/.exec(shown ?? '')?.[0])
    expect(count).toBeGreaterThan(0)
    await at(page, 'mail-all').click()
    await expect(page.locator('[data-desk=out][data-state=waiting], [data-desk=out][data-state=sending], [data-desk=out][data-state=sent]').first()).toBeVisible()
    await expect.poll(() => mail.letters.length + push.notes.length, { timeout: 120_000 }).toBe(count)
    expect([push.notes.length, push.wrong]).toEqual([1, []])
    const [note] = push.notes
    expect(note).toMatchObject({ contact: 'mailto:crew@harbour.example', ttl: '43200' })
    const [seen] = await push.deliver(phone, note!)
    const { title, body, url } = JSON.parse(note!.text) as Record<string, string>
    expect(seen).toEqual({ title, body, data: url })
    expect(mail.letters.filter((one) => one.text.includes('another address now'))).toHaveLength(1)
    await expect(at(page, 'mail-waiting')).toHaveCount(0, { timeout: 30_000 })
    await at(page, 'by-itself').check()
    await expect(at(page, 'by-itself')).toBeChecked()
    await looks(page, 'sent')

    // Somebody opens the link of the letter on a phone, without an account; the desk's own computer is off.
    const links = mail.letters.flatMap((one) => /http:\S+\/crew\/[0-9a-f]+\/mine#\S+/.exec(one.text)?.[0] ?? [])
    await phone.goto('about:blank')
    await phone.goto(url!) // what a tap on the note opens
    await expect(phone.locator('[data-mine=duty][data-status=yes]').first()).toBeVisible()
    const duty = phone.locator('[data-mine=duty][data-status=waiting]').first()
    for (const link of links) { // others are reminded of what they said yes to
      await phone.goto('about:blank')
      await phone.goto(link)
      await expect(phone.locator('main h1')).toBeVisible()
      if (await duty.count() > 0) break
    }
    const [game, seat] = [await duty.getAttribute('data-game'), await duty.getAttribute('data-seat')]
    await duty.locator('[data-mine=yes]').click()
    await expect(phone.locator(`[data-mine=duty][data-game="${game}"][data-seat="${seat}"]`)).toHaveAttribute('data-status', 'yes')
    await looks(phone, 'mine')
    const feed = await mine(phone, 'calendar').getAttribute('href')
    expect(await (await phone.request.get(feed!)).text()).toContain('BEGIN:VEVENT')
    const seats = await page.request.get(`${page.url().replace(/desk.*/, '')}api/crew/seats/${game}/${seat}`)
    expect(await seats.text()).toContain('"status":"yes"')

    // They want no more letters; and the desk is not theirs to open.
    await phone.getByText('What is kept of you').click()
    await mine(phone, 'no-mail').click()
    await expect(mine(phone, 'mail')).toBeVisible()
    await phone.goto(page.url())
    await expect(phone.locator('[data-hub=message]')).toBeVisible()
    await looks(phone, 'stranger')

    // Practice opens at the seat that a link names, and the hub has the site.
    await phone.goto(`${hub.origin}/practice/#seat/box`)
    await expect(phone.locator('[data-progress=seat][data-seat=box]')).toHaveAttribute('aria-checked', 'true')

    // The season's own page, as far as it is planned here.
    await page.goto(page.url().replace(/desk.*/, 'season'))
    await expect(page.locator('[data-season=page]')).toHaveAttribute('data-page', 'schedule')
    await expect(page.locator('[data-season=to-hand_in]')).toHaveCount(0)
    await looks(page, 'season')
  } finally {
    await push.close()
    await mail.close()
    await hub.close()
  }
})
