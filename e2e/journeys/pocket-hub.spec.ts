import { expect } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { test } from '../harness/fixtures.ts'
import { Hub } from '../harness/hub.ts'
import { newGame } from '../harness/pocket.ts'

// A phone that has nothing but the hub's link runs a real game, and families follow it.

test('a phone is paired by the hub\'s link, and its game is at the hub while it is played', async ({ page, browser }) => {
  let hub = await Hub.empty()
  try {
    await page.goto(hub.first)
    await page.getByLabel('Your name').fill('Robin Ashdown')
    await page.getByRole('button', { name: 'Sign in' }).click()
    await page.getByLabel('What the bench is called').fill('The phone at Saltworks Arena')
    await page.getByRole('button', { name: 'Pair a bench' }).click()
    const link = (await page.locator('[data-hub=link]').textContent()) ?? ''
    await page.goto(`${hub.origin}/admin`)
    await page.getByLabel('The team').fill('Kelp Bay')
    await page.getByRole('button', { name: 'Make a link' }).click()
    const follow = (await page.locator('[data-hub=link]').textContent()) ?? ''

    const phone = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    await phone.goto(link.replace(/#.*/, ''))
    await expect(phone.locator('[data-hub=pair-here]')).toBeHidden()
    await expect(phone.getByText('The link was cut off')).toBeVisible()
    await phone.goto('about:blank')
    await phone.goto(link)
    await phone.screenshot({ path: 'test-results/pocket-hub-pair.png' })
    expect(await violations(phone), 'the page of the link').toEqual([])
    await phone.locator('[data-hub=pair-here]').click()
    await expect(phone.locator('[data-hub=done]')).toContainText('Harbour League', { timeout: 120_000 })
    await expect(phone.locator('[data-hub=state]')).toHaveAttribute('data-state', 'up_to_date')
    await phone.locator('[data-start=hub]').scrollIntoViewIfNeeded()
    await phone.screenshot({ path: 'test-results/pocket-hub-paired.png' })
    expect(await beyond(phone)).toBeLessThanOrEqual(0)

    const bench = await newGame(phone)
    const family = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    await family.goto(follow)
    await expect(family.locator('[data-follow=page]')).toBeVisible()
    await bench.begin('1st period')
    await bench.startClock()
    await expect(family.locator('[data-follow=clock]')).toHaveAttribute('data-running', 'true')

    // The hub's power is cut: the game goes on, and the hub has it all when it is back.
    await hub.kill()
    await bench.stopClock()
    await bench.tapGoal('home', '9', [])
    await bench.begin('1st intermission')
    const copies = phone.locator('[data-pocket=break-copies]')
    await expect(copies.locator('[data-pocket=hub]')).toContainText('cannot be reached')
    await phone.screenshot({ path: 'test-results/pocket-hub-away.png' })
    hub = await hub.again()
    await expect(copies.locator('[data-pocket=hub]')).toHaveAttribute('data-state', 'up_to_date', { timeout: 120_000 })
    await expect(copies).toContainText('Two copies')
    await phone.screenshot({ path: 'test-results/pocket-hub-copy.png' })
    const seq = await bench.seq()
    await expect(family.locator('[data-follow=page]')).toHaveAttribute('data-seq', String(seq), { timeout: 120_000 })
    await expect(family.locator('body')).not.toContainText('Saltworks')

    // After a reload the phone still sends; ended by a tap, it sends no more.
    await phone.goto(`${hub.origin}/practice/#game`)
    await expect(phone.locator('[data-hub=state]')).toHaveAttribute('data-state', 'up_to_date', { timeout: 120_000 })
    await phone.locator('[data-hub=ask-end]').click()
    await phone.locator('[data-hub=end]').click()
    await expect(phone.locator('[data-hub=link]')).toBeVisible()
    await phone.locator('[data-hub=link]').fill(`${hub.origin}/pair#guessed`)
    await phone.locator('[data-hub=pair]').click()
    await expect(phone.locator('[data-hub=trouble]')).toContainText('does not know this link')
  } finally {
    await hub.close()
  }
})

// Two people scanned a code that is for one game: the first game that comes is the one.

test('a link for one game takes the first that is sent, and says so to the phone with another', async ({ page, browser }) => {
  const hub = await Hub.empty()
  const sizes = async (of: typeof page, name: string) => {
    for (const [width, height] of [[390, 844], [1280, 800], [1920, 1080]] as const) {
      await of.setViewportSize({ width, height })
      await of.screenshot({ path: `test-results/one-game-${name}-${width}.png`, fullPage: true })
      expect(await violations(of), `${name} at ${width}`).toEqual([])
      expect(await beyond(of), `${name} at ${width}`).toBeLessThanOrEqual(0)
    }
    await of.setViewportSize({ width: 390, height: 844 })
  }
  try {
    await page.goto(hub.first)
    await page.getByLabel('Your name').fill('Robin Ashdown')
    await page.getByRole('button', { name: 'Sign in' }).click()
    await page.getByLabel('What the bench is called').fill('A phone of Kelp Bay')
    await page.getByLabel('That day').selectOption('One game only')
    await page.getByRole('button', { name: 'Pair a bench' }).click()
    await expect(page.locator('body')).toContainText('needs the day of that game')
    await page.goto(`${hub.origin}/admin`)
    await page.getByLabel('What the bench is called').fill('A phone of Kelp Bay')
    await page.getByLabel('One day only').fill(new Date().toISOString().slice(0, 10))
    await page.getByLabel('That day').selectOption('One game only')
    await sizes(page, 'form')
    await page.getByRole('button', { name: 'Pair a bench' }).click()
    await expect(page.locator('[data-hub=one-game]')).toContainText('one game only')
    await sizes(page, 'link')
    const link = (await page.locator('[data-hub=link]').textContent()) ?? ''
    await page.goto(`${hub.origin}/admin`)
    await expect(page.locator('[data-hub=one-game]')).toContainText('not sent yet')

    const phones = []
    for (const _ of ['first', 'second']) {
      const phone = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
      await phone.goto(link)
      await phone.locator('[data-hub=pair-here]').click()
      await expect(phone.locator('[data-hub=done]')).toContainText('Harbour League', { timeout: 120_000 })
      phones.push(phone)
    }
    const [first, second] = phones
    const state = async (phone: typeof page, is: string) => {
      await phone.goto(`${hub.origin}/practice/#game`)
      await expect(phone.locator('[data-hub=state]')).toHaveAttribute('data-state', is, { timeout: 120_000 })
    }
    await newGame(first!)
    await page.goto(`${hub.origin}/admin`)
    await expect.poll(async () => { await page.reload(); return page.locator('[data-hub=one-game]').textContent() }, { timeout: 120_000 }).toContain('–')
    await sizes(page, 'admin')
    await state(first!, 'up_to_date')

    const bench = await newGame(second!)
    await bench.begin('1st period')
    await state(second!, 'failing')
    await expect(second!.locator('[data-hub=state]')).toContainText('for one game only')
    await expect(second!.locator('[data-hub=state]')).toContainText('the game goes on')
    await sizes(second!, 'refused')
    await expect(page.locator('[data-hub=game]')).toHaveCount(1)
  } finally {
    await hub.close()
  }
})
