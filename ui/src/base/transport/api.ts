import type { Announcement, Code, Division, Entry, Preview, Refusal, RinkCardView, RosterFinding, RosterTeam, Say, Stage, State } from '../contract/contract'
import type { Change } from './change'
import { type Answered, type Link, network } from './link'
import { language } from '../words/words'

/** A game as it was at an instant of the bench's time: its state, or what changed in it. */
export interface Snapshot {
  state?: State
  change?: Change
  card?: RinkCardView // the rink card, where one is in use
  run?: string // of the bench: with another one nothing goes on from what a page has
  now_ms: number
}

/** Which state a page has, so that the bench sends only what changed. */
export interface Has {
  have?: number
  run?: string
}

/** What a post was answered with. The notes are things that the bench changed and people should know. */
export interface Answer extends Snapshot {
  posted: string[]
  notes?: Say[]
}

/** A game in the list of games. */
export interface GameTitle {
  id: string
  home: string
  visitors: string
  division?: string
  venue?: string
  date?: string
  number?: string
  opened_ms: number
  score: [number, number]
  stage: Stage
  damaged?: boolean // its ledger cannot be read
  reading?: boolean // its ledger is still to be read: ask again
  ahead_ms?: number // by which its newest entry is dated after now
}

/** A roster that was read, with what is wrong or odd in it. */
export interface RosterRead {
  team: RosterTeam
  usable: boolean
  findings: RosterFinding[]
}

/** A game to be opened. `id` is a ULID made here. */
export interface NewGame {
  id: string
  division: string
  home: RosterTeam
  visitors: RosterTeam
  number?: string
  venue?: string
  date?: string
  schedule?: string // the id of the game in its league's schedule
  slot_end_ms?: number // when its ice ends
}

/** Two people changed the same entry: what this page wanted, and what came first. */
export interface Stale {
  of: string // the entry that both changed
  yours: Entry
  theirs: Entry
}

/** The bench answered, and the answer is no. Nothing was posted. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly title: string,
    readonly detail: string,
    readonly refused: Refusal[],
    readonly stale?: Stale,
  ) {
    super(detail || title)
  }
}

/** No answer came, or none that makes sense: nobody knows whether the bench heard us. */
export class Unreachable extends Error {}

/** What a page asks to see: all that it may, or only what everybody may. */
export type View = '' | 'public'

const patience = 8000 // milliseconds until a question counts as unanswered
const nearPatience = 60_000 // the same of a bench in this page: nothing is lost on the way, but a device may be slow

/** What a question may have beside its path and body. */
interface Asking {
  method?: 'GET' | 'POST' | 'PUT' | 'DELETE'
  signal?: AbortSignal
  within?: number // milliseconds until it counts as unanswered
  type?: string // of a body that is sent as it is; JSON otherwise
  over?: Link // the network, if not said
}

/** Asks the bench, and gives its answer as it came. Rejects with Refused or Unreachable. */
export async function fetchFrom(path: string, body?: unknown, { method, signal, within = patience, type, over = network }: Asking = {}): Promise<Answered> {
  // `AbortSignal.any` is too new for the phones that people bring (Safari before 17.4), and a browser keeps one of
  // `AbortSignal.timeout` until its time is over, with all that its listeners hold: screens that were left long ago.
  const ends = new AbortController()
  const end = () => ends.abort(signal?.reason)
  if (signal?.aborted) end()
  signal?.addEventListener('abort', end)
  const limit = setTimeout(() => ends.abort(new DOMException('no answer in time', 'TimeoutError')), over.near ? Math.max(within, nearPatience) : within)
  let response: Answered
  try {
    response = await over.fetch(path, {
      method: method ?? (body === undefined ? 'GET' : 'POST'),
      headers: { 'accept-language': language(), ...(body !== undefined && { 'content-type': type ?? 'application/json' }) },
      body: body === undefined ? undefined : body instanceof Blob || type !== undefined ? (body as Blob | string) : JSON.stringify(body),
      cache: 'no-store',
      signal: ends.signal,
    })
    if (response.ok) return response
  } catch (reason) {
    throw new Unreachable(String(reason))
  } finally {
    if (over.near) { // over a network the limit is for reading the answer as well
      clearTimeout(limit)
      signal?.removeEventListener('abort', end)
    }
  }
  if (response.status >= 500) throw new Unreachable(response.statusText)
  const problem = (await response.json().catch(() => ({}))) as {
    title?: string
    detail?: string
    refused?: Refusal[] | null
    stale?: Stale
  }
  throw new Refused(
    response.status,
    problem.title ?? response.statusText,
    problem.detail ?? '',
    problem.refused ?? [],
    problem.stale,
  )
}

/** The same for answers in JSON. */
export async function ask<T>(path: string, body?: unknown, more?: Asking): Promise<T> {
  const response = await fetchFrom(path, body, more)
  try {
    return (await response.json()) as T
  } catch (reason) {
    throw new Unreachable(String(reason))
  }
}

/** The questions that a page asks the bench over a link. Each rejects with Refused or Unreachable. */
export function apiOver(link: Link) {
  const from = <T>(path: string, body?: unknown, more?: Asking) => ask<T>(path, body, { ...more, over: link })
  return {
    divisions: () => from<{ divisions: Division[]; own?: string[]; damaged?: { file: string; why: string }[] }>('/divisions'),
    keepDivision: (made: { from: string; division: Division; source: string; replace: boolean; check?: boolean }) =>
      from<Division>('/divisions', made, { method: 'PUT' }),
    codes: () => from<{ codes: Code[] }>('/codes').then((it) => it.codes),
    games: () => from<{ games: GameTitle[] }>('/games').then((it) => it.games),
    open: (game: NewGame) => from<{ id: string }>('/games', game),
    game: (id: string) => from<Snapshot>(`/games/${id}`),
    time: (sent: number) =>
      from<{ received_ms: number; sent_ms: number }>(`/time?sent=${Math.round(sent)}`),
    preview: (id: string, entries: Entry[], has: Has, signal?: AbortSignal) =>
      from<Omit<Preview, 'state'> & Pick<Snapshot, 'state' | 'change'>>(`/games/${id}/preview`, { entries, ...has }, { signal }),
    /** Reads a roster as a league sends it: a file, or the text of one. `of` says what to hold it against. */
    readRoster: (file: Blob, of: Record<string, string>) =>
      from<RosterRead>(`/rosters/read?${new URLSearchParams(of).toString()}`, file, { type: 'application/octet-stream', within: 20_000 }),
    teams: () => from<{ teams: RosterTeam[] }>('/teams').then((it) => it.teams),
    keepTeam: (team: RosterTeam) => from<{ teams: RosterTeam[] }>('/teams', { team }, { method: 'PUT' }),
    /** What is to be said; with `since` only what is due at that moment of play or later. */
    announcements: (id: string, since = 0) =>
      from<{ announcements: Announcement[]; seq: number }>(`/games/${id}/announcements${since > 0 ? `?from=${since}` : ''}`),
    /** `saw` is the number of the newest entry that an edit was made from; 0 is not said. */
    post: (id: string, entries: Entry[], saw: number, has: Has = {}) =>
      from<Answer>(`/games/${id}/entries`, { entries, ...(saw > 0 ? { saw } : {}), ...has }),
    stream: (id: string, view: View = '') => `/games/${id}/stream?changes=yes${view === '' ? '' : `&view=${view}`}`,
    ledgerAddress: (id: string) => `/api/games/${id}/ledger.jsonl`,
  }
}

/** The same over the network, for pages that have no other link. */
export const api = apiOver(network)
