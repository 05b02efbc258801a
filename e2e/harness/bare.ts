import type { Page } from '@playwright/test'
import { seen } from './paint.ts'

/**
 * The least that a page of this server can be, to measure others beside it: one button, one number. It
 * posts what the bench posts for a goal, and shows the number when the answer is there. It is served for
 * the measurement only.
 */
export async function openBare(page: Page, origin: string, game: string): Promise<void> {
  await page.route(`${origin}/bare`, (route) => route.fulfill({ contentType: 'text/html', body: bare(game) }))
  await page.goto(`${origin}/bare`)
  await page.locator('#post').focus()
}

/** Presses the button, and waits until the number is there. */
export async function postBare(page: Page, score: number): Promise<void> {
  await page.keyboard.press('Enter')
  await seen(page, score)
}

function bare(game: string): string {
  return `<!doctype html><meta charset="utf-8"><title>bare</title>
<button id="post">post</button> <b id="score">0</b>
<script>
  const letters = '0123456789ABCDEFGHJKMNPQRSTVWXYZ'
  const ulid = () => {
    let time = Date.now(), text = ''
    for (let i = 0; i < 10; i++) { text = letters[time % 32] + text; time = Math.floor(time / 32) }
    return text + Array.from({ length: 16 }, () => letters[Math.floor(Math.random() * 32)]).join('')
  }
  let has = {}, score = 0
  document.querySelector('#post').onclick = async () => {
    const entry = {
      specversion: '1.0', id: ulid(), source: '/game/${game}', type: 'whistlestop.goal.v1', time: new Date().toISOString(), seat: 'solo',
      data: { at: { period: 0, elapsed_ms: 0 }, body: { side: 'home', scorer: '12', assists: ['6'] } },
    }
    const answer = await fetch('/api/games/${game}/entries', {
      method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ entries: [entry], ...has }), cache: 'no-store',
    })
    const { state, change, run } = await answer.json()
    if (!answer.ok) throw new Error('not posted')
    has = { have: (change ?? state).seq, run }
    document.querySelector('#score').textContent = String(++score)
  }
</script>`
}
