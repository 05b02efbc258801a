import { expect, test } from '@playwright/test'
import { Program } from '../harness/program.ts'
import { pictures, seasoned } from '../harness/season.ts'

test('a game is changed: what it touches and who then misses which game is said first, every state can be had, and the history stays', async ({ page }) => {
  const program = await Program.empty()
  const at = (name: string) => page.locator(`[data-season="${name}"]`)
  try {
    const { office, next } = await seasoned(program)
    const all = await office.games()
    const third = all.find((one) => one.id !== next.id && (one.place?.day ?? '') > (next.place?.day ?? ''))
    if (!third) throw new Error('the team has no third game')
    await page.goto(`${program.origin}/season#schedule`)
    const row = page.locator(`[data-season=game][data-game="${next.id}"]`)
    const change = async (state: string, why: string) => {
      await row.locator('[data-season=change]').click()
      await at('state').selectOption(state)
      await at('why').fill(why)
      await at('look').click()
      await expect(at('touches')).toBeVisible()
    }

    // Whoever is out of the next game misses another one when it is postponed.
    await change('postponed', 'no ice after a power cut')
    await expect(at('change-people')).toContainText('Tove Marsh')
    await pictures(page, 'change-people')
    await at('act').click()
    await expect(row).toHaveAttribute('data-state', 'postponed')
    await expect(row).toContainText('no ice after a power cut')

    // It is placed again, onto another game of the same team: both games are named, and it is done only in spite of it.
    await row.locator('[data-season=change]').click()
    await at('state').selectOption('scheduled')
    await at('rink').selectOption('saltworks')
    await at('day').fill(third.place?.day ?? '')
    await at('start').fill(third.place?.start ?? '')
    await at('why').fill('the other rink is free')
    await at('look').click()
    await expect(at('touches').locator('[data-hard=true]').first()).toBeVisible()
    await expect(at('touches')).toContainText(third.id)
    await pictures(page, 'change-clash')
    await expect(at('act')).toContainText('all the same')
    await at('act').click()
    await expect(row).toHaveAttribute('data-state', 'scheduled')

    for (const [state, why] of [['cancelled', 'the league said so'], ['forfeited', 'nobody came'], ['abandoned', 'fog']] as const) {
      await change(state, why)
      await at('act').click()
      await expect(row).toHaveAttribute('data-state', state)
    }
    for (const why of ['no ice after a power cut', 'the other rink is free', 'the league said so', 'nobody came', 'fog']) await expect(row).toContainText(why)
    await page.reload()
    await expect(row).toContainText('no ice after a power cut')
    await pictures(page, 'change-history')
  } finally {
    await program.close()
  }
})
