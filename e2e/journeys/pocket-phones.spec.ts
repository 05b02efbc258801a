import { rm } from 'node:fs/promises'
import { dirname } from 'node:path'
import { expect, type Page, test } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { Host } from '../harness/host.ts'
import { Hub } from '../harness/hub.ts'
import { code, introduced, paste } from '../harness/introduce.ts'
import { letIn } from '../harness/phone.ts'
import { newGame } from '../harness/pocket.ts'
import { SeatPage } from '../harness/seats.ts'
import { writtenSite } from '../harness/site.ts'

// Another person's phone is a seat of a bench that runs in a browser. The two are introduced by codes to
// scan, and speak with each other alone: the host of the site is gone by then.

declare global {
  interface Window {
    showToCamera?: (picture: string) => Promise<void>
    cut?: (on: boolean) => void
  }
}

/** A picture stands for what the camera sees. */
async function withCamera(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const canvas = document.createElement('canvas')
    canvas.width = 640
    canvas.height = 480
    const draw = canvas.getContext('2d')
    window.showToCamera = async (picture) => {
      const image = new Image()
      image.src = picture
      await image.decode()
      if (!draw) return
      draw.fillStyle = 'white' // the phone's screen around the code
      draw.fillRect(0, 0, canvas.width, canvas.height)
      draw.drawImage(image, 110, 30, 420, 420)
    }
    setInterval(() => draw?.fillRect(0, 0, 1, 1), 100) // a camera never stands still
    Object.defineProperty(navigator.mediaDevices, 'getUserMedia', { value: () => Promise.resolve(canvas.captureStream(10)) })
  })
}

/** A phone whose Wi-Fi can be cut: what is sent meanwhile waits, as the channel has it, and comes in order. */
async function withWiFi(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const send = Object.getOwnPropertyDescriptor(RTCDataChannel.prototype, 'send')?.value as (this: RTCDataChannel, text: string) => void
    const kept: [RTCDataChannel, string][] = []
    const held: (() => void)[] = []
    let off = false
    RTCDataChannel.prototype.send = function (this: RTCDataChannel, text: string) {
      if (off) kept.push([this, text])
      else send.call(this, text)
    } as typeof RTCDataChannel.prototype.send
    const onmessage = Object.getOwnPropertyDescriptor(RTCDataChannel.prototype, 'onmessage')
    Object.defineProperty(RTCDataChannel.prototype, 'onmessage', {
      ...onmessage,
      set(this: RTCDataChannel, hear: (event: MessageEvent) => void) {
        onmessage?.set?.call(this, (event: MessageEvent) => (off ? held.push(() => hear(event)) : hear(event)))
      },
    })
    window.cut = (on) => {
      off = on
      if (on) return
      for (const [channel, text] of kept.splice(0)) send.call(channel, text)
      for (const hear of held.splice(0)) hear()
    }
  })
}

/** Holds the code that one page shows to the camera of the other. */
async function hold(from: Page, to: Page): Promise<void> {
  const picture = (await code(from).getAttribute('src')) ?? ''
  expect((await code(from).getAttribute('data-text'))?.length, 'a code that a camera reads well').toBeLessThan(320)
  await to.evaluate((one) => window.showToCamera?.(one), picture)
}

test('two phones on one Wi-Fi are introduced by codes and play one game, over a cut and a reload', async ({ browser }) => {
  const site = await writtenSite()
  const host = await Host.open(site)
  const small = { width: 390, height: 844 }
  const context = (viewport: { width: number; height: number }) => browser.newContext({ viewport, permissions: ['camera'] })
  try {
    const page = await (await context({ width: 1366, height: 768 })).newPage()
    await withCamera(page)
    await page.goto(`${host.address}#game`)
    await expect(page.locator('[data-pocket=page]')).toHaveAttribute('data-offline', 'true', { timeout: 60_000 })
    // The phone has opened the site once before, at home.
    const phone = await (await context(small)).newPage()
    const troubles: string[] = []
    for (const one of [page, phone]) one.on('pageerror', (error) => troubles.push(error.message))
    await withWiFi(phone)
    await phone.goto(`${host.address}#join`)
    await expect(phone.locator('[data-device=scan]')).toBeVisible()
    await phone.screenshot({ path: 'test-results/pocket-phones-join.png' })
    expect(await violations(phone), 'the page to join').toEqual([])
    await expect(phone.locator('html')).toHaveAttribute('data-kept', 'true', { timeout: 60_000 })
    await host.close()

    const bench = await newGame(page)
    await bench.begin('1st period')
    await bench.setUp('seats')
    await page.locator('[data-bench=seat-invite][data-seat=book]').click()
    await expect(code(page)).toBeVisible()
    await page.screenshot({ path: 'test-results/pocket-phones-bench.png' })
    expect(await violations(page), 'the bench shows its code').toEqual([])
    await page.setViewportSize(small)
    await page.locator('[data-bench=introduce]').scrollIntoViewIfNeeded()
    await page.screenshot({ path: 'test-results/pocket-phones-bench-390.png' })
    expect(await beyond(page)).toBeLessThanOrEqual(0)
    await page.setViewportSize({ width: 1366, height: 768 })

    // The phone's own camera opens the address of the code.
    const link = (await code(page).getAttribute('data-text')) ?? ''
    await phone.goto('about:blank')
    await phone.goto(link)
    await expect(code(phone)).toBeVisible()
    expect(new URL(phone.url()).hash, 'the secret stays in no address').toBe('#join')
    await phone.screenshot({ path: 'test-results/pocket-phones-answer.png', fullPage: true })
    await hold(phone, page)
    const join = phone.locator('[data-join=page]')
    await expect(join).toHaveAttribute('data-step', 'naming')
    await phone.locator('[data-join=device]').fill("Anna's phone")
    await phone.locator('[data-join=go]').click()
    const check = await phone.locator('[data-join=check]').textContent()
    await expect(page.locator('[data-bench=seat-check]').first()).toHaveText(check ?? '')
    await page.locator('[data-bench=seat-approve]').first().click()
    const seat = new SeatPage(phone)
    await expect(seat.at('page')).toHaveAttribute('data-name', 'book')
    await expect(page.locator('[data-bench=seat-session]')).toHaveAttribute('data-open', 'true')
    await page.screenshot({ path: 'test-results/pocket-phones-linked.png' })
    await bench.at('seats-close').click()

    // What one enters, the other has.
    await bench.startClock()
    await bench.stopClock()
    await bench.tapPenalties([{ side: 'home', number: '17', call: 'tripping', length: 'minor' }])
    await expect(seat.at('page')).toHaveAttribute('data-seq', String(await bench.seq()))
    await phone.screenshot({ path: 'test-results/pocket-phones-seat.png' })

    // The Wi-Fi is cut: what the phone enters is kept, and handed over in order when it is back.
    await phone.evaluate(() => window.cut?.(true))
    await expect(seat.at('page')).toHaveAttribute('data-link', 'lost')
    const before = await bench.seq()
    const note = async (text: string) => {
      await seat.at('tab-enter').click()
      await phone.locator('[data-bench=kind-note]').click()
      await phone.locator('textarea').first().fill(text)
      await phone.locator('[data-bench=post]').click()
    }
    await note('The net came off its pegs.')
    await expect(seat.at('page')).toHaveAttribute('data-queue', '1')
    await seat.at('tab-entries').click()
    await seat.at('line').filter({ hasText: 'Kelp Bay 17' }).locator('[data-seat=strike]').click()
    await phone.locator('[data-bench=post]').click()
    await expect(seat.at('page')).toHaveAttribute('data-queue', '2')
    await phone.screenshot({ path: 'test-results/pocket-phones-cut.png' })
    // Meanwhile the bench changes the call that the phone takes out.
    await bench.act(bench.line('Kelp Bay 17'), 'amend')
    await page.locator('[data-bench=call-choice][data-call=slashing]').click()
    await bench.tapPost()
    expect(await bench.seq()).toBe(before + 1)
    await phone.evaluate(() => window.cut?.(false))
    await expect(seat.at('page')).toHaveAttribute('data-queue', '0')
    await expect(seat.at('page')).toHaveAttribute('data-link', 'heard')
    await expect.poll(() => bench.seq(), 'the note counts').toBe(before + 2)
    const card = phone.locator('[data-refused=stale]')
    await expect(card).toContainText('Somebody else changed this meanwhile')
    await expect(card.locator('[data-version=theirs]')).toContainText('Slashing')
    await phone.screenshot({ path: 'test-results/pocket-phones-stale.png' })
    await card.locator('[data-act=yours]').click()
    await expect.poll(() => bench.seq()).toBe(before + 3)

    // The phone is loaded again, without a network: its seat and what it enters stay, and a code links it again.
    await phone.evaluate(() => window.cut?.(true))
    await expect(seat.at('page')).toHaveAttribute('data-link', 'lost')
    await note('The lights went out for a minute.')
    await expect(seat.at('page')).toHaveAttribute('data-queue', '1')
    await phone.reload()
    await expect(phone.locator('[data-device=kept]')).toContainText('1')
    await phone.screenshot({ path: 'test-results/pocket-phones-away.png' })
    await bench.setUp('seats')
    await page.locator('[data-bench=seat-link]').click()
    await expect(code(page)).toBeVisible()
    await page.screenshot({ path: 'test-results/pocket-phones-again.png' })
    // Without a camera the texts do the same.
    await phone.locator('[data-device=scan]').click()
    await paste(phone, 'https://another.example/#join/x.y')
    await expect(phone.locator('[data-device=trouble]')).toContainText('no code of a bench')
    await paste(phone, (await code(page).getAttribute('data-text')) ?? '')
    await expect(code(phone)).toBeVisible()
    await paste(page, 'guessed')
    await expect(page.locator('[data-bench=introduce]')).toHaveAttribute('data-step', 'other')
    await paste(page, (await code(phone).getAttribute('data-text')) ?? '')
    await expect(page.locator('[data-bench=introduce]')).toHaveAttribute('data-step', 'linked')
    await expect(seat.at('page')).toHaveAttribute('data-queue', '0')
    await expect.poll(() => bench.seq()).toBe(before + 4)

    // The bench takes the seat away.
    await page.locator('[data-bench=seat-remove]').click()
    await expect(phone.locator('[data-seat=gone]')).toBeVisible()
    await phone.screenshot({ path: 'test-results/pocket-phones-gone.png' })
    await phone.locator('[data-seat=gone] a[href="/join"]').click()
    await expect(phone.locator('[data-device=scan]')).toBeVisible()
    expect(troubles).toEqual([])
  } finally {
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
  }
})

test('a phone comes by way of the hub, and goes on after the hub and the bench were gone', async ({ page, browser }) => {
  test.setTimeout(240_000)
  let hub = await Hub.empty()
  try {
    await page.goto(hub.first)
    await page.getByLabel('Your name').fill('Robin Ashdown')
    await page.getByRole('button', { name: 'Sign in' }).click()
    await page.getByLabel('What the bench is called').fill('The tablet at Saltworks Arena')
    await page.getByRole('button', { name: 'Pair a bench' }).click()
    const link = (await page.locator('[data-hub=link]').textContent()) ?? ''
    await page.goto('about:blank')
    await page.goto(link)
    await page.locator('[data-hub=pair-here]').click()
    await expect(page.locator('[data-hub=done]')).toContainText('Harbour League', { timeout: 120_000 })
    const bench = await newGame(page)
    await bench.begin('1st period')
    await bench.setUp('seats')
    await page.locator('[data-bench=seat-invite][data-seat=book]').click()
    const room = page.locator('[data-bench=by-hub]')
    await expect(room).toHaveAttribute('data-room', 'open')
    await expect(page.locator('[data-bench=hub-short]')).toHaveText(/^[A-Z]{4}-[A-Z]{4}$/)
    await page.screenshot({ path: 'test-results/pocket-relay-bench.png' })
    expect(await violations(page), 'the bench shows the hub\'s code').toEqual([])
    await page.setViewportSize({ width: 390, height: 844 })
    await page.locator('[data-bench=introduce]').scrollIntoViewIfNeeded()
    await page.screenshot({ path: 'test-results/pocket-relay-bench-390.png', fullPage: true })
    expect(await beyond(page)).toBeLessThanOrEqual(0)
    await page.setViewportSize({ width: 1280, height: 720 })
    const scanned = (await page.locator('[data-bench=hub-code]').getAttribute('data-text')) ?? ''
    expect(scanned.length, 'a code that a camera reads well').toBeLessThan(320)

    // Whoever scans is asked for a name at once.
    const other = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    await other.goto(scanned)
    await expect(other.locator('[data-join=page]')).toHaveAttribute('data-step', 'naming', { timeout: 60_000 })
    // Whoever has no camera types the hub's address and the short code.
    const phone = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    const troubles: string[] = []
    for (const one of [page, phone]) one.on('pageerror', (error) => troubles.push(error.message))
    await phone.goto(`${hub.origin}/seat`)
    const typed = phone.locator('[data-device=code-typed]')
    await typed.fill('bcdfghjk')
    await phone.locator('[data-device=code-go]').click()
    await expect(phone.locator('[data-device=trouble]')).toContainText('No bench has this code')
    await phone.screenshot({ path: 'test-results/pocket-relay-typed.png' })
    expect(await violations(phone), 'the page for the code').toEqual([])
    await typed.fill((await page.locator('[data-bench=hub-short]').textContent()) ?? '')
    await phone.locator('[data-device=code-go]').click()
    const join = phone.locator('[data-join=page]')
    await expect(join).toHaveAttribute('data-step', 'naming')
    await phone.locator('[data-join=device]').fill("Anna's phone")
    await phone.locator('[data-join=go]').click()
    await expect(page.locator('[data-bench=seat-check]').first()).toHaveText((await phone.locator('[data-join=check]').textContent()) ?? '')
    await page.locator('[data-bench=seat-approve]').first().click()
    const seat = new SeatPage(phone)
    await expect(seat.at('page')).toHaveAttribute('data-name', 'book')
    await expect(page.locator('[data-bench=seat-way]')).toContainText('by way of the hub')
    await page.screenshot({ path: 'test-results/pocket-relay-linked.png' })
    await bench.at('seats-close').click()
    await bench.startClock()
    await bench.stopClock()
    await bench.tapPenalties([{ side: 'home', number: '17', call: 'tripping', length: 'minor' }])
    await expect(seat.at('page')).toHaveAttribute('data-seq', String(await bench.seq()))

    // The hub's power is cut. The game goes on, and the phone keeps what is entered.
    const before = await bench.seq()
    await hub.kill()
    await expect(seat.at('page')).toHaveAttribute('data-link', 'lost')
    await expect(phone.locator('[data-device=banner]')).toContainText('The hub is not reached')
    await seat.at('tab-entries').click()
    await seat.at('line').filter({ hasText: 'Kelp Bay 17' }).locator('[data-seat=strike]').click()
    await phone.locator('[data-bench=post]').click()
    await expect(seat.at('page')).toHaveAttribute('data-queue', '1')
    await phone.screenshot({ path: 'test-results/pocket-relay-cut.png', fullPage: true })
    await bench.act(bench.line('Kelp Bay 17'), 'amend')
    await page.locator('[data-bench=call-choice][data-call=slashing]').click()
    await bench.tapPost()
    expect(await bench.seq()).toBe(before + 1)
    hub = await hub.again()
    await expect(seat.at('page')).toHaveAttribute('data-link', 'heard', { timeout: 60_000 })
    const card = phone.locator('[data-refused=stale]')
    await expect(card).toContainText('Somebody else changed this meanwhile')
    await card.locator('[data-act=yours]').click()
    await expect.poll(() => bench.seq()).toBe(before + 2)

    // Another phone is linked without the internet. The bench tells it where it is at the hub.
    const near = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    await bench.setUp('seats')
    await page.locator('[data-bench=seat-invite][data-seat=shots]').click()
    await page.locator('[data-bench=introduce-way][data-way=codes]').click()
    await introduced(page, near)
    await near.locator('[data-join=device]').fill("Ben's phone")
    await near.locator('[data-join=go]').click()
    await letIn(bench, "Ben's phone")
    const shots = new SeatPage(near)
    await expect(shots.at('page')).toHaveAttribute('data-name', 'shots')
    await bench.at('seats-close').click()

    // Both pages are loaded again: the phone is back by itself, and so is its seat.
    await page.reload()
    await expect(bench.at('page')).toBeVisible({ timeout: 60_000 })
    await expect(seat.at('page')).toHaveAttribute('data-link', 'heard', { timeout: 60_000 })
    await phone.reload()
    await expect(seat.at('page')).toHaveAttribute('data-link', 'heard', { timeout: 60_000 })
    expect(new URL(phone.url()).hash, 'the secret stays in no address').toBe('#hub')
    // The one that had come without the internet is back by way of the hub, and says so; loaded again it is, too.
    await expect(near.locator('[data-device=back]')).toContainText('by way of the hub')
    await near.screenshot({ path: 'test-results/pocket-relay-back.png' })
    expect(await violations(near), 'a phone that came back by way of the hub').toEqual([])
    await near.reload()
    await expect(shots.at('page')).toHaveAttribute('data-link', 'heard', { timeout: 60_000 })
    await bench.startClock()
    await expect(seat.at('page')).toHaveAttribute('data-seq', String(await bench.seq()))

    // The bench lets nobody in over the internet any more.
    await bench.setUp('seats')
    await page.locator('[data-bench=seat-invite][data-seat=clock]').click()
    await page.locator('[data-bench=hub-end]').click()
    await expect(room).toHaveAttribute('data-room', 'off')
    await expect(phone.locator('[data-device=banner]')).toContainText('The bench is not at the hub')
    await phone.screenshot({ path: 'test-results/pocket-relay-ended.png' })
    await page.screenshot({ path: 'test-results/pocket-relay-off.png' })
    expect(troubles).toEqual([])
  } finally {
    await hub.close()
  }
})

test('devices that a network keeps apart are told what to do', async ({ page, browser }) => {
  const site = await writtenSite()
  const host = await Host.open(site)
  try {
    await page.goto(`${host.address}#game`)
    const bench = await newGame(page)
    await bench.setUp('seats')
    await page.locator('[data-bench=seat-invite][data-seat=clock]').click()
    const phone = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    await phone.goto((await code(page).getAttribute('data-text')) ?? '')
    const answer = (await code(phone).getAttribute('data-text')) ?? ''
    await phone.close() // nobody is there any more: the same as a network that lets nothing through
    await paste(page, answer)
    const introduce = page.locator('[data-bench=introduce]')
    await expect(introduce).toHaveAttribute('data-step', 'failed')
    await expect(introduce).toContainText('hotspot')
    await page.screenshot({ path: 'test-results/pocket-phones-apart.png' })
    await page.locator('[data-bench=introduce-again]').click()
    await expect(introduce).toHaveAttribute('data-step', 'shown')
  } finally {
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
  }
})
