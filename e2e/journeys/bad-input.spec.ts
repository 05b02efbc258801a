import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { ledgerOf } from '../harness/game.ts'

// Bad input gets a message that says what to do, and nothing accepted is lost.
// What the referee could still mean is accepted and owed.

test('an impossible time is refused where it is typed', async ({ bench }) => {
  await bench.begin('1st period')
  for (const wrong of ['99:99', 'soon', '12:01', '-12:01', '+1']) {
    await bench.at('clock').click()
    await bench.at('clock-field').fill(wrong)
    await expect(bench.at('clock-set')).toBeDisabled()
    await expect(bench.at('clock-field')).toHaveAttribute('aria-invalid', 'true')
    await bench.page.keyboard.press('Escape')
  }
  await expect(bench.at('clock')).toHaveText(/12:00/)
})

test('a goal in a period that was not begun is refused with the reason', async ({ bench, program, game }) => {
  const before = (await ledgerOf(program, game)).length
  await bench.at('command').pressSequentially('g h 12 6')
  await expect(bench.at('sentence')).toHaveAttribute('data-refused', 'true')
  await expect(bench.at('post')).toBeDisabled()
  await bench.page.keyboard.press('Enter')
  expect((await ledgerOf(program, game)).length).toBe(before)
})

test('a third assist is not taken', async ({ bench }) => {
  await bench.begin('1st period')
  await bench.at('command').pressSequentially('g h 12 6 7 9')
  await expect(bench.at('command-below')).toContainText('9')
  await expect(bench.at('post')).toBeDisabled()
})

test('a number that is not on the roster is accepted and owed', async ({ bench, wall }) => {
  await bench.begin('1st period')
  await bench.typeCall('g h 99 -')
  await expect(wall.at('score-home')).toHaveText('1')
  await bench.at('hold-more').click()
  await expect(bench.at('owed')).toContainText('99')
})

test('a scorer who sits in the box is accepted, with a warning, and owed', async ({ bench }) => {
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('h 17 trip')
  await bench.setClock('9:30')
  await bench.at('command').pressSequentially('g h 17 -')
  await expect(bench.at('warning').first()).toContainText('17')
  await bench.posting(() => bench.page.keyboard.press('Enter'))
  await bench.at('hold-more').click()
  await expect(bench.at('owed')).toContainText('17')
})

test('Enter that comes before the sentence posts the call once it is known', async ({ bench }) => {
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.page.route('**/preview', async (route) => {
    await new Promise((later) => setTimeout(later, 700))
    await route.continue()
  })
  await bench.posting(async () => {
    await bench.at('command').pressSequentially('h 17 trip')
    await bench.page.keyboard.press('Enter')
  })
  await expect(bench.at('command')).toHaveValue('')
})

test('the bench refuses what no page sends: broken JSON, a side that does not exist', async ({ program, game }) => {
  const post = (body: string) =>
    fetch(`${program.origin}/api/games/${game}/entries`, {
      method: 'POST', headers: { 'content-type': 'application/json' }, body,
    })
  const before = await ledgerOf(program, game)
  const entry = {
    specversion: '1.0', id: '01JD0000000000000000000042', source: `/game/${game}`,
    type: 'whistlestop.penalty.v1', time: new Date().toISOString(), seat: 'solo',
    data: { at: { period: 0, elapsed_ms: 0 }, body: { side: 'referees', parts: ['minor'] } },
  }
  for (const body of ['{"entries":[', JSON.stringify({ entries: [entry] }), JSON.stringify({ entries: 7 })]) {
    const answer = await post(body)
    expect(answer.status).toBeGreaterThanOrEqual(400)
    expect(answer.status).toBeLessThan(500)
    expect(answer.headers.get('content-type')).toContain('application/problem+json')
    const problem = (await answer.json()) as { title: string; detail: string }
    expect(problem.title).toBeTruthy()
    expect(problem.detail).not.toMatch(/goroutine|\.go:|panic/)
  }
  expect(await ledgerOf(program, game)).toEqual(before)
})

test('the same entry posted twice stands once', async ({ bench, program, game }) => {
  await bench.begin('1st period')
  const answers: string[] = []
  const draft = {
    specversion: '1.0', id: '01JD0000000000000000000043', source: `/game/${game}`,
    type: 'whistlestop.note.v1', time: new Date().toISOString(), seat: 'solo',
    data: { at: { period: 0, elapsed_ms: 0 }, body: { text: 'late to the ice' } },
  }
  for (let i = 0; i < 3; i++) {
    const answer = await fetch(`${program.origin}/api/games/${game}/entries`, {
      method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ entries: [draft] }),
    })
    expect(answer.status).toBe(200)
    answers.push(JSON.stringify(((await answer.json()) as { posted: string[] }).posted))
  }
  expect(new Set(answers).size).toBe(1)
  const same = (await ledgerOf(program, game)).filter((line) => line.includes(draft.id))
  expect(same).toHaveLength(1)
})
