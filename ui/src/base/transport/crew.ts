import { ask } from './api'

/** A seat of a game with who sits there. */
export interface Duty {
  game: string
  seat: string
  text: string
  must: boolean
  day: string
  there: string
  start: string
  end: string
  rink: string
  teams: string
  person: string
  name: string
  family: string
  status: '' | 'not_asked' | 'waiting' | 'yes' | 'no' | 'spare'
  mark: '' | 'came' | 'missed'
  locked: boolean
  over: boolean
}

interface Named {
  id: string
  name: string
}

export interface DeskOverview {
  kept: boolean
  league: string
  season: string
  from: string
  to: string
  today: string
  people: number
  games: number
  seats: number
  filled: number
  said: boolean
  lan: string
  hub: boolean
  gone: string // the address at which the desk works now; empty: here
  since: string // the day from which on it does
  teams: Named[]
  divisions: Named[]
  rinks: Named[]
  stay: Stay
}

/** Whether people stay for a season that began. */
export interface Stay {
  season: string
  by: string
  yes: number
  no: number
  waiting: number
  was: string
  contact: number
}

export interface Span {
  from: string
  to: string
}

export interface Person {
  id: string
  name: string
  family: string
  teams: string[]
  levels: Record<string, string>
  days: string[]
  away: Span[]
  not_before: string
  day_most: number
  most: number
  age: number
  screened: string
  far: string[]
  one_free: boolean
  reach: string
  wish: '' | 'forget' | 'not_me'
  since: string
  stays: '' | 'waiting' | 'yes' | 'no' | 'spare'
}

export interface LineFinding {
  line: number
  text: string
}

export interface People {
  people: Person[]
  findings: LineFinding[]
  fresh: number
  kept: boolean
}

interface SeatRule {
  id: string
  text: string
  kind: string
  must: boolean
  for: string[]
  before: number
  age: number
  screened: boolean
  own_game: boolean
  credits: number
}

interface Pot {
  name: string
  amount: number
  seats: string[]
  from: string
  by: string
}

export interface CrewRules {
  seats: SeatRule[]
  between_rinks: number
  drive: number
  further_child_percent: number
  unit: string
  per: string
  amount: number
  most: number
  done: string[]
  other_games_only: boolean
  unsaid_is_done: boolean
  late_hours: number
  pots: Pot[]
  said: boolean
}

interface SeatedAt {
  game: string
  seat: string
  text: string
}

interface Week {
  from: string
  games: number
  seats: number
  must: number
  open: number
  few: number
  yes: number
  waits: number
}

export interface Family {
  family: string
  share: number
  done: number
  missed: number
  unmarked: number
  promised: number
  open: number
  behind: number
  left_late: number
  pots: { name: string; amount: number; done: number; promised: number; missing: number; over: boolean }[]
}

export interface Missing {
  weeks: Week[]
  few: SeatedAt[]
  families: Family[]
  new: { person: string; name: string; text: string; placed: boolean; could: SeatedAt[] }[]
}

export interface Made {
  seats: number
  empty: SeatedAt[]
  cost: number
  bound: number
  proved: boolean
  changed: number
  broken: SeatedAt[]
}

interface Choice {
  person: string
  name: string
  reach: string
  share: number
  duties: number
  cost: number
  asked: boolean
}

export interface WhySeat {
  duty: Duty
  why: string
  next: Choice[]
  swaps: { game: string; seat: string; text: string }[]
  ladder: { ask: string[]; call: string[]; text: string[] }
}

export interface Message {
  person: string
  name: string
  reach: string
  subject: string
  text: string
  again: boolean // a game of theirs was moved after they were asked
  elsewhere: boolean // a link of theirs leads to another address of the desk: this one has the new one
  failed: boolean
  perhaps: boolean // a letter may have arrived: nobody knows
  said: string // what the mail server said of the last one
  push: string // what their devices show, in place of a letter; empty: it goes to none
  mail: '' | 'yes' | 'push' | 'none' | 'left' // push: it goes to their devices; a letter can go; no address; they want none; empty: this program sends none
}

/** How mail stands, where this program sends letters. */
export interface Mail {
  from: string // empty: only devices are reminded
  by_itself: boolean
  last: string // the last line of every letter
  trouble: string
  full: boolean
  waiting: number
  devices: number // people who have reminders on a device of theirs
  mark: string // of what is to be sent: whoever presses says what they saw
}

export interface Messages {
  due: Message[]
  sent: { person: string; name: string; day: string; clock: string; state: 'sent' | 'answered' | 'failed' | 'waiting' | 'sending' | 'perhaps'; said: string; mail: boolean; push: boolean }[]
  mail?: Mail
  quiet: boolean
  lan: string
  hub: boolean // links work from anywhere, at any time
  teams: string[] // whose managers have a link to another address of the desk only
  moved: string // the day on which the desk came here from another computer, while it matters
}

export interface KeptGames {
  games: number // that were read
  fresh: object[]
  changed: object[]
  findings: { line?: number; text: string }[]
  kept: boolean
  mark: string
}

const making = 130_000 // milliseconds that a rota may take
const put = { method: 'PUT' } as const

/** The questions of the crew's desk. Each rejects with Refused or Unreachable. */
export const crewApi = {
  overview: () => ask<DeskOverview>('/crew'),
  people: () => ask<People>('/crew/people'),
  keepPeople: (text: string, check: boolean, replace: boolean) => ask<People>('/crew/people', { text, check, replace }, put),
  keepPerson: (person: Person) => ask<Person>(`/crew/people/${person.id}`, person, put),
  forget: (id: string) => ask<{ duties: number; events: number }>(`/crew/people/${id}`, undefined, { method: 'DELETE' }),
  results: (text: string) => ask<{ read: number; levels: string[]; nobody: string[]; bad: LineFinding[]; people: Person[] }>('/crew/results', { text }),
  rules: () => ask<CrewRules>('/crew/rules'),
  keepRules: (rules: CrewRules) => ask<CrewRules>('/crew/rules', rules, put),
  /** Takes games of a file into the schedule of the season, by the season's own way in. */
  games: async (file: File) => {
    const read = (keep: string) =>
      ask<KeptGames>(`/season/incoming?${new URLSearchParams({ name: file.name, keep }).toString()}`, file, { ...put, type: 'application/octet-stream', within: making })
    const { mark } = await read('')
    return read(mark === '' ? 'new' : mark)
  },
  /** Takes in a whole desk that was saved on another computer. */
  takeOver: (file: Blob) => ask<DeskOverview>('/crew/whole.json', file, { ...put, type: 'application/octet-stream', within: making }),
  gone: (address: string) => ask<DeskOverview>('/crew/gone', { address }),
  season: (act: 'begin' | 'contact', by = '') => ask<Stay>('/crew/season', { act, by }),
  making: () => ask<{ making: boolean; part: number }>('/crew/rota/making'),
  missing: () => ask<Missing>('/crew/missing', undefined, { within: 30_000 }),
  rota: (from: string, to: string) => ask<{ duties: Duty[]; today: string }>(`/crew/rota?${new URLSearchParams({ from, to }).toString()}`),
  make: (wanted: { from: string; to: string; moves: number; seed: number; fresh: boolean }) => ask<Made>('/crew/rota', wanted, { within: making }),
  why: (game: string, seat: string, person = '') =>
    ask<WhySeat>(`/crew/seats/${game}/${seat}${person === '' ? '' : `?person=${person}`}`, undefined, { within: 30_000 }),
  seat: (game: string, seat: string, act: string, person = '', anyway = false) => ask<Duty>(`/crew/seats/${game}/${seat}`, { act, person, anyway }, { within: 30_000 }),
  swap: (game: string, seat: string, with_game: string, with_seat: string) => ask<Duty>(`/crew/seats/${game}/${seat}`, { act: 'swap', with_game, with_seat }, { within: 30_000 }),
  askInstead: (game: string, seat: string, people: string[]) => ask<{ messages: Message[] }>(`/crew/seats/${game}/${seat}/ask`, { people }),
  messages: () => ask<Messages>('/crew/messages'),
  send: (people: string[], act: 'prepare' | 'sent' | 'failed') => ask<{ messages: Message[] }>('/crew/messages', { people, act }),
  mailThem: (people: string[], saw: string) => ask<object>('/crew/messages', { people, act: 'mail', saw }),
  mailByItself: (by_itself: boolean, saw: string) => ask<Messages>('/crew/mail', { by_itself, saw }, put),
  answers: (text: string) => ask<{ replies: { result: string; text: string; game: string; seat: string }[] }>('/crew/answers', { text }),
  balance: () => ask<{ families: Family[] }>('/crew/balance').then((it) => it.families),
  link: (of: { person?: string; team?: string }) => ask<{ link: string; lan: boolean; until: string; text: string }>('/crew/links', of),
}

/** A link that opens the reader's mail program with a message (RFC 6068). */
export function mailLink(message: { reach: string; subject: string; text: string }): string {
  const to = message.reach.includes('@') ? encodeURIComponent(message.reach) : ''
  return `mailto:${to}?subject=${encodeURIComponent(message.subject)}&body=${encodeURIComponent(message.text.replaceAll('\n', '\r\n'))}`
}

/** A link that opens the telephone's messages (RFC 5724); empty where no number is known. */
export function smsLink(message: { reach: string; text: string }): string {
  const number = message.reach.includes('@') ? '' : message.reach.replaceAll(/[^+\d]/g, '')
  return number === '' ? '' : `sms:${number}?body=${encodeURIComponent(message.text)}`
}

/** The seats of a list that belong to one game each, in the order of the list. */
export function byGame<D extends { game: string }>(duties: D[]): D[][] {
  const games = new Map<string, D[]>()
  for (const one of duties) games.set(one.game, [...(games.get(one.game) ?? []), one])
  return [...games.values()]
}
