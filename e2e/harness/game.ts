import type { Program } from './program.ts'
import { home, visitors } from './teams.ts'

/** Opens a game behind the pages' back, for journeys that are about something else. */
export async function openGame(program: Program, division: string): Promise<string> {
  const id = ulid()
  const answer = await fetch(`${program.origin}/api/games`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      id, division,
      home: { name: home.name, players: players(home.roster) },
      visitors: { name: visitors.name, players: players(visitors.roster) },
    }),
  })
  if (answer.status !== 201) throw new Error(`the game was not opened: ${answer.status} ${await answer.text()}`)
  return id
}

function players(roster: string): { number: string; name: string; goalkeeper?: boolean }[] {
  return roster.split('\n').map((line) => {
    const [number = '', ...words] = line.split(' ')
    const goalkeeper = words.at(-1) === 'G'
    if (/^[GCA]$/.test(words.at(-1) ?? '')) words.pop()
    return { number, name: words.join(' '), ...(goalkeeper ? { goalkeeper } : {}) }
  })
}

const isText = (line: string) => line.includes('"type":"whistlestop.name.')

async function exported(program: Program, game: string): Promise<string[]> {
  const answer = await fetch(`${program.origin}/api/games/${game}/ledger.jsonl`)
  if (!answer.ok) throw new Error(`no ledger: ${answer.status}`)
  return (await answer.text()).trimEnd().split('\n')
}

/** The entries of a game as they are exported, one a line, without the texts that lie beside them. */
export async function ledgerOf(program: Program, game: string): Promise<string[]> {
  return (await exported(program, game)).filter((line) => !isText(line))
}

/** The texts that lie beside the entries of a game, by what stands for them in the entries. */
export async function textsOf(program: Program, game: string): Promise<Map<string, string>> {
  const lines = (await exported(program, game)).filter(isText).map((line) => JSON.parse(line) as { id: string; data: { text: string } })
  return new Map(lines.map(({ id, data }) => [id, data.text]))
}

export function ulid(): string {
  const letters = '0123456789ABCDEFGHJKMNPQRSTVWXYZ'
  let time = Date.now()
  let text = ''
  for (let i = 0; i < 10; i++) {
    text = letters[time % 32] + text
    time = Math.floor(time / 32)
  }
  return text + Array.from({ length: 16 }, () => letters[Math.floor(Math.random() * 32)]).join('')
}
