import { expect, test } from 'vitest'
import type { Link } from '../../base/transport/link'
import { answerWindows, linkToWindow } from './windows'

const game = '01JD0000000000000000GAME01'

/** A bench that notes what it was asked. */
function bench(): { link: Link; asked: string[]; source: EventTarget } {
  const asked: string[] = []
  const source = Object.assign(new EventTarget(), { readyState: 1, close: () => asked.push('closed') })
  const link: Link = {
    can: { seats: false, copies: false, pages: true, keeps: true, shares: false },
    fetch: (path) => {
      asked.push(path)
      return Promise.resolve(new Response('{"now_ms":5}', { status: 200, headers: { 'content-type': 'application/json' } }))
    },
    listen: (path) => {
      asked.push(path)
      return source
    },
  }
  return { link, asked, source }
}

/** A channel that only one test hears. */
const channel = (name: string) => new BroadcastChannel(`test ${name}`)

test('a window asks for the time and for a game as anybody sees it, and for nothing else', async () => {
  const { link, asked } = bench()
  const end = answerWindows(link, channel('asks'))
  const other = linkToWindow(channel('asks'))
  expect(await (await other.fetch('/time', {})).json()).toEqual({ now_ms: 5 })
  expect((await other.fetch(`/games/${game}?view=seat`, {})).status).toBe(200)
  for (const path of [`/games/${game}/ledger.jsonl`, `/games/${game}/report.pdf`, '/proposals', '/games']) {
    expect((await other.fetch(path, {})).status, path).toBe(404)
  }
  expect(asked).toEqual(['/time', `/games/${game}?view=public`])
  end()
})

test('a window hears the game, is told when the games are elsewhere, and can leave', async () => {
  const { link, asked, source } = bench()
  const end = answerWindows(link, channel('hears'))
  const heard: string[] = []
  const stream = linkToWindow(channel('hears')).listen(`/games/${game}/stream?view=`)
  for (const name of ['state', 'error']) stream.addEventListener(name, (event) => heard.push(`${name} ${(event as MessageEvent<string>).data ?? ''}`))
  await expect.poll(() => asked).toEqual([`/games/${game}/stream?view=public`])
  source.dispatchEvent(new MessageEvent('state', { data: 'one', lastEventId: '1' }))
  await expect.poll(() => heard).toEqual(['state one'])

  const endOther = answerWindows(bench().link, channel('hears')) // the page was loaded again
  await expect.poll(() => heard).toEqual(['state one', 'error '])
  expect(stream.readyState).toBe(2)
  stream.close()
  await expect.poll(() => asked.at(-1)).toBe('closed')
  end()
  endOther()
})
