import { existsSync, readFileSync, readdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from '@playwright/test'
import { readStory, storyFolder, storyNames } from '../harness/story.ts'

// What the pages promise of themselves, without a browser.

const here = dirname(fileURLToPath(import.meta.url))
const table = readFileSync(join(storyFolder, 'README.md'), 'utf8').split('\n').filter((line) => line.startsWith('| ['))
const specs = readdirSync(here).filter((file) => file.endsWith('.spec.ts')).map((file) => readFileSync(join(here, file), 'utf8')).join('\n')

test('there are ten pages, each in the table', () => {
  expect(storyNames()).toHaveLength(10)
  expect(table).toHaveLength(10)
})

for (const name of storyNames()) {
  test(`the page ${name} is played, pictured, and in the table with its fewest taps`, () => {
    const story = readStory(name)
    expect(specs).toContain(`tell('${name}'`)
    expect(existsSync(join(storyFolder, story.picture)), story.picture).toBe(true)
    for (const way of story.ways) expect(way.steps, way.name).toHaveLength(way.most)
    const fewest = Math.min(...story.ways.map((way) => way.most))
    const row = table.find((line) => line.includes(`(${name}.md)`)) ?? ''
    expect(row).toContain(`[${story.title}]`)
    expect(row).toContain(`| ${fewest} |`)
    const touch = story.ways.find((way) => way.name === 'By touch')?.most
    if (touch !== undefined && touch > fewest) expect(row).toContain(`${touch} by touch`)
  })
}
