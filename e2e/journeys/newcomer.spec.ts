import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { newcomersGame } from '../harness/newcomer.ts'
import { Past } from '../harness/past.ts'

// At every moment of a game the heaviest control must be something that may be done next.

for (const [width, height, colorScheme] of [[1366, 768, 'light'], [390, 844, 'light'], [1366, 768, 'dark'], [390, 844, 'dark'], [768, 1024, 'light']] as const) {
  test(`at ${width}x${height}, ${colorScheme}, the heaviest control is always something that may come next, through a game`, async ({ bench, program, game }) => {
    await bench.page.emulateMedia({ colorScheme })
    await bench.page.setViewportSize({ width, height })
    expect(await newcomersGame(bench, new Past(program, game))).toEqual([])
  })
}
