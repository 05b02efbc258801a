import { expect, type Page } from '@playwright/test'
import { openBare, postBare } from '../harness/bare.ts'
import { test } from '../harness/fixtures.ts'
import { openGame } from '../harness/game.ts'
import { fromPressToPaint, postGoal, seen, share, watchEnter, watchScore } from '../harness/paint.ts'
import { Past } from '../harness/past.ts'
import { openWall } from '../harness/wall.ts'

test.use({ trace: 'off' })

const posts = 120

// How long a press takes until it is seen is as much the machine's as ours. So a bare page of the same
// server is pressed in turn with the bench: what it takes, the machine takes, and the ratio is ours.
test('from the press on Post to the paint, on the bench and on the Wall, beside a bare page', async ({ bench, program, game, browser }, info) => {
  // Browsers of their own: two pages of one browser share its input and its frames.
  const others = await Promise.all([0, 1].map(() => browser.browserType().launch(info.project.use.launchOptions)))
  const [wall, bare] = (await Promise.all(others.map((one) => one.newPage({ viewport: { width: 1920, height: 1080 } })))) as [Page, Page]
  await openWall(wall, `${program.origin}/wall/${game}`)
  const other = await openGame(program, 'harbour-u14')
  await new Past(program, other).begin('period', 1)
  await openBare(bare, program.origin, other)
  await bench.begin('1st period')
  await watchScore(bench.page, '[data-bench=score-home]')
  await watchScore(wall, '[data-wall=score-home]')
  await watchScore(bare, '#score')
  await watchEnter(bench.page)
  await watchEnter(bare)
  for (let i = 1; i <= posts; i++) {
    await postBare(bare, i)
    await postGoal(bench, i)
    await seen(wall, i)
  }
  const least = await fromPressToPaint(bare, bare, posts)
  for (const [name, pressed, page] of [['bare page', bare, bare], ['bench', bench.page, bench.page], ['Wall', bench.page, wall]] as const) {
    const took = await fromPressToPaint(pressed, page, posts)
    const figure = (of: number) => `${share(took, of).toFixed(1)} ms (${(share(took, of) / share(least, of)).toFixed(2)})`
    console.log(`post to paint, ${name}: median ${figure(0.5)}, p99 ${figure(0.99)}, most ${figure(1)} of ${posts} posts; in brackets: times the bare page`)
    // A figure, not a race: the machine that runs this may be busy with other things.
    expect(share(took, 0.5)).toBeLessThan(500)
  }
  await Promise.all(others.map((one) => one.close()))
})
