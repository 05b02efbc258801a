import { expect } from '@playwright/test'
import { keyboardGame } from '../harness/keyboard-game.ts'
import { newGame, sameOnPaper, wallWindow } from '../harness/pocket.ts'
import { test } from '../harness/pocket-site.ts'
import { home } from '../harness/teams.ts'
import { gameBesideABoard, wholeGame } from '../harness/touch-games.ts'

// The games by which the bench on a computer is accepted, on a bench that is a page: the same hands.

test.describe('on a phone', () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true })

  test('a whole game by touch alone, with the Wall in a window, sealed, printed and verified', async ({ games, files }) => {
    const bench = await newGame(games, { division: 'harbour-u14' })
    await wholeGame(bench, await wallWindow(games))
    await sameOnPaper(games, files)
  })

  test('a card that is made on the phone is taken into use in its bench', async ({ games, host }) => {
    const made = (name: string) => games.locator(`[data-console="${name}"]`)
    await games.goto(`${host.address}#console`)
    await made('new').tap()
    await made('rink').fill('Northmole Ice House')
    if (await made('row').count() === 0) await made('add-row').tap()
    await made('row').first().fill('home star, visitors star')
    const goal = games.locator('[data-console=happening][data-when=goal]')
    await goal.locator('summary').tap()
    await goal.locator('[data-console=add-step]').tap()
    await goal.locator('[data-console=do]').fill('Touch the star of {side}.')
    await expect(goal.locator('[data-console=seen]')).toContainText('Touch the star of')

    await games.goto(`${host.address}#game`)
    const bench = await newGame(games, { division: 'harbour-u14' })
    await bench.at('help').tap()
    await bench.at('work').tap()
    await bench.at('work-beside').tap()
    await bench.posting(() => bench.at('work-post').tap())
    if (!(await bench.at('cards').isVisible())) {
      await bench.at('help').tap()
      await bench.at('work').tap()
    }
    await bench.at('card-made').tap()
    const kept = games.locator('[data-bench=card-file]').filter({ hasText: 'Northmole Ice House' })
    await bench.posting(() => kept.locator('[data-bench=card-use]').tap())
    await expect(kept).toHaveAttribute('data-used', 'true')
  })

  test("beside the rink's own board, whose clock is official", async ({ games }) => gameBesideABoard(await newGame(games, { division: 'harbour-u14' })))
})

test('a whole game by keyboard alone', async ({ games }) => {
  const bench = await newGame(games, { division: 'harbour-u14' })
  await keyboardGame(bench, await wallWindow(games), () => bench.seq())
})

test('names outside the Latin letters are on the sheet as the program writes them, also when the network went', async ({ games, files, host }) => {
  const bench = await newGame(games, { hosts: { ...home, roster: `${home.roster}\n31 Ольга Жук\n32 Ελένη Παππά\n33 東京 ひかり\n34 한별` } })
  const came = () => host.sent.filter((one) => one.path.startsWith('/faces/') && one.status === 200).length
  await expect.poll(came).toBe(3) // as soon as there were such names
  await bench.begin('1st period')
  await bench.begin('End')
  await host.close()
  await games.evaluate(() => (location.hash += '/report'))
  await expect(games.locator('[data-report="page"]')).toBeVisible()
  await sameOnPaper(games, files)
  // Loaded again without a network, from what the browser kept.
  await games.reload()
  await expect(games.locator('[data-report="page"]')).toBeVisible()
  await sameOnPaper(games, files)
})
