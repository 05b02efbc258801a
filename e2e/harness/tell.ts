import { Bench } from './bench.ts'
import { type WallPage, test } from './fixtures.ts'
import { Hands } from './hands.ts'
import { Past } from './past.ts'
import { type Way, readStory } from './story.ts'
import { openWall } from './wall.ts'

interface Scene {
  bench: Bench
  wall: WallPage
}

interface Telling {
  /** What was entered before. */
  past: (past: Past) => Promise<void>
  /** What is on the screens before anything is put right. */
  wrong?: (scene: Scene) => Promise<void>
  /** How it is put right, by the headings of the page. */
  ways: Record<string, (scene: Scene & { hands: Hands }) => Promise<void>>
  /** What is on the screens afterwards, whichever way was taken unless it asks. */
  right: (scene: Scene, way: string) => Promise<void>
}

/** Plays a page of docs/stories on the real program, once for each of its ways, and on a phone where it is all touch. */
export function tell(name: string, telling: Telling): void {
  const story = readStory(name)
  const played = Object.keys(telling.ways).join(', ')
  const told = story.ways.map((way) => way.name).join(', ')
  if (played !== told) throw new Error(`${name} tells of ${told}; played are ${played}`)
  const phone = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true }
  const byTouch = story.ways.filter((way) => way.steps.every((step) => step.verb === 'Tap'))
  test.describe(story.title, () => each(story.ways))
  // A phone is worked by touch; it takes no more taps there.
  if (byTouch.length > 0) {
    test.describe(`${story.title}, on a phone`, () => {
      test.use(phone)
      each(byTouch)
    })
  }

  function each(ways: Way[]): void {
    for (const way of ways) {
      const play = telling.ways[way.name]
      test(`${way.name}, ${way.most} taps`, async ({ program, game, page, context }, info) => {
        await telling.past(new Past(program, game))
        const bench = new Bench(page)
        await bench.open(`${program.origin}/bench/${game}`)
        const display = await context.newPage()
        await display.setViewportSize({ width: 1920, height: 1080 })
        await openWall(display, `${program.origin}/wall/${game}`)
        await page.bringToFront()
        const wall: WallPage = {
          page: display,
          at: (hook) => display.locator(`[data-wall="${hook}"]`),
          bars: (side) => display.locator(`[data-wall=bar][data-side=${side}]`),
        }
        await telling.wrong?.({ bench, wall })
        const hands = new Hands(page, story, way, info)
        await play?.({ bench, wall, hands })
        hands.done()
        await telling.right({ bench, wall }, way.name)
      })
    }
  }
}
