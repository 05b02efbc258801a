import { test as base } from '@playwright/test'
import { Bench } from './bench.ts'
import { openGame } from './game.ts'
import { Program } from './program.ts'

interface Rink {
  program: Program
  game: string
  bench: Bench
}

/** A program that phones can reach, with a new Under 14 game and its bench. */
export const test = base.extend<Rink>({
  program: async ({}, use) => {
    const program = await Program.lan()
    await use(program)
    await program.close()
  },
  game: async ({ program }, use) => {
    await use(await openGame(program, 'harbour-u14'))
  },
  bench: async ({ page, program, game }, use) => {
    const bench = new Bench(page)
    await bench.open(`${program.origin}/bench/${game}`)
    await use(bench)
  },
})
