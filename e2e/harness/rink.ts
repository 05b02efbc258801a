import { test as base } from './fixtures.ts'
import { Program } from './program.ts'

/** A program that phones can reach, with a new Under 14 game and its bench. */
export const test = base.extend({
  program: async ({}, use) => {
    const program = await Program.lan()
    await use(program)
    await program.close()
  },
})
