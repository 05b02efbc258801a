import type { RosterTeam, Side, Stage } from '../contract/contract'
import { ask } from './api'
import type { Finding } from './finding'
import type { KeptForm, LeagueEdit, LeagueForm } from './league-form'

interface SeasonTeam {
  id: string
  name: string
  home?: string
}

interface SeasonDivision {
  id: string
  name: string
  plays: string
  teams: SeasonTeam[]
}

/** What the season is made of. */
export interface Overview {
  league: string // empty: there is none
  season?: string
  from?: string
  to?: string
  today?: string
  rinks: { id: string; name: string; sheets: number }[]
  divisions: SeasonDivision[]
  scheduled: boolean
  trouble?: string
}

export type GameState = 'to_be_confirmed' | 'scheduled' | 'postponed' | 'cancelled' | 'forfeited' | 'abandoned' | 'played'

/** When and where a game is. */
export interface Place {
  rink: string
  sheet: number
  day: string
  start: string
  minutes: number
}

/** A game of the schedule. */
export interface Scheduled {
  id: string
  division: string
  round: number
  home: string
  visitors: string
  state: GameState
  place?: Place
  was?: { state: GameState; place?: Place; why: string }[]
  game?: string // of the bench
  score?: [number, number]
  finished?: boolean
}

export interface Schedule {
  games: Scheduled[]
  mark: string
  today: string
}

export interface Clash {
  kind: string
  hard: boolean
  games: string[]
  team?: string
  who?: string
  why?: string
}

/** A team's line of a table. */
export interface TableLine {
  team: string
  name: string
  place: number
  equal?: boolean
  played: number
  won: number
  drawn: number
  lost: number
  for: number
  against: number
  points: number
  to_come: number
  taken?: number // of the points: given or taken by the league
  taken_whys?: string[]
}

export interface Table {
  id: string
  name: string
  ranked: boolean
  played: number
  to_come: number
  places: TableLine[]
  reasons: string[]
  equal: string[]
  /** Games that count for nothing until somebody does something. */
  open: string[]
}

/** A game that stands behind a number. */
export interface BehindGame {
  id: string
  day?: string
  home: string
  visitors: string
  goals: [number, number]
  how: string
  from: string
  why?: string
  ledger?: string
}

/** A game of a team's line with what it adds to each number. */
export interface Counted extends Record<Adds, number> {
  game: string
}

/** The numbers of a line that games add up to. */
export type Adds = 'played' | 'won' | 'drawn' | 'lost' | 'for' | 'against' | 'points'

/** What stands behind a team's line of the table. */
export interface LineWhy {
  line: TableLine
  games: Counted[]
  ties: { text: string; games: string[] }[]
  of: BehindGame[]
}

/** An entry of a ledger: when it was, and for the bench its sentence. */
export interface BehindEntry {
  entry: string
  stage?: Stage
  elapsed_ms: number
  text?: string
}

/** One thing that a figure counts. */
export interface FigureCount {
  figure: string
  game: string
  count: number
  entry?: BehindEntry
}

/** What stands behind somebody's figures. */
export interface FiguresWhy {
  name: string
  counts: FigureCount[]
  of: BehindGame[]
}

export interface Suspended {
  who?: string
  name: string
  team: string
  coach?: boolean
  game?: string
  why?: string
  games: number
  ruling?: boolean
  ledger?: string
  entries: BehindEntry[]
  served: { game: string; listed: boolean }[]
  next: string[]
  owed: number
}

export interface Skater {
  who?: string // for the bench
  name: string
  team: string
  division: string
  played: number
  goals: number
  assists: number
  points: number
  minutes: number
  plus_minus: number
  power_play: number
  short_handed: number
  winning: number
}

export interface Keeper {
  who?: string
  name: string
  team: string
  division: string
  played: number
  wins: number
  losses: number
  shutouts: number
  shots: number
  against: number
  saved?: number
  average?: number
}

/** The best of a division by one figure; shares and averages in thousandths. */
export interface Leaders {
  division: string
  by: 'points' | 'goals' | 'assists' | 'plus_minus' | 'save_share' | 'average' | 'won' | 'shutouts'
  least?: number
  rows: { place: number; equal?: boolean; who?: string; name: string; teams: string[]; value: number; played: number }[]
}

/** A file of the season as text, with what is wrong with it. */
export interface FileText {
  text: string
  mark: string
  kept: boolean
  findings: Finding[]
}

export interface KeptSchedule {
  games: number
  unplaced: string[]
  cost?: number
  bound?: number
  kept: boolean
  findings: Finding[]
}

/** What a file with games says, and what it would change or changed. */
export interface Incoming {
  games: number
  columns: { title: string; holds: string }[]
  findings: Finding[]
  fresh: Scheduled[]
  changed: Scheduled[]
  gone: string[]
  clashes: Clash[]
  kept: boolean
  mark: string
}

interface Out {
  side: Side
  name: string
  coach?: boolean
  why: string
  game?: string
  ruling?: boolean
  at_least: boolean
}

/** What is known of a game before it is opened. */
export interface Lineup {
  scheduled: Scheduled
  division: string
  known: boolean
  home: RosterTeam
  visitors: RosterTeam
  out: Out[]
  slot_end_ms?: number
}

/** A game that the league must have. Days and times are the rinks', as "2026-10-04 18:30". */
export interface ToHandIn {
  of: BehindGame
  sealed: boolean
  incidents: number
  suspensions: number
  hours: number
  by?: string
  late: boolean
  handed?: { at: string; late: boolean; sha256: string; receipt?: string }
  changed: boolean
}

/** What the league must have, and has. */
export interface HandIns {
  hours: number
  incident_hours: number
  games: ToHandIn[]
  weeks: { monday: string; games: number; open: number }[]
}

/** One game or one week. */
export type HandInChoice = { game: string } | { week: string }

/** What a package holds. */
export interface HandInReceipt {
  sha256: string
  at_ms: number
  games: { id: string; by_ms: number; hours: number; late: boolean }[]
  held: { id: string; ledger: string; sealed: boolean; fingerprint?: string; incidents: number; suspensions: number }[]
  bytes: number
}

/** A change of a game: what it would be, or is to be. */
export interface Change {
  state: GameState
  place?: Place
  why: string
  act?: boolean
  anyway?: boolean
  saw: string
}

/** Lets somebody play who is suspended. */
export interface Plays {
  side: Side
  number: string
  note: string
}

const octets = 'application/octet-stream'
const making = 60_000 // milliseconds that a schedule may take

/** The questions about the season. Each rejects with Refused or Unreachable. */
export const seasonApi = {
  overview: () => ask<Overview>('/season'),
  schedule: (of: Record<string, string> = {}) => ask<Schedule>(`/season/schedule?${new URLSearchParams(of).toString()}`),
  clashes: () => ask<{ clashes: Clash[] }>('/season/clashes').then((it) => it.clashes),
  make: (seed: number, replace: boolean) => ask<KeptSchedule>('/season/schedule', { seed, replace }, { within: making }),
  readSchedule: (text: Blob) => ask<KeptSchedule>('/season/schedule', text, { method: 'PUT', type: octets, within: making }),
  /** Without keep it is only looked at; keep is the mark of the schedule that takes it. */
  incoming: (file: File, keep = '') =>
    ask<Incoming>(`/season/incoming?${new URLSearchParams({ name: file.name, ...(keep === '' ? {} : { keep }) }).toString()}`, file, { method: 'PUT', type: octets, within: making }),
  change: (game: string, change: Change) => ask<{ game: Scheduled; touches: Clash[]; changes: string[]; duties: string[]; done: boolean; mark: string }>(`/season/schedule/${game}`, change),
  lineup: (game: string) => ask<Lineup>(`/season/schedule/${game}/lineup`),
  open: (game: string, opening: { id: string; home: RosterTeam; visitors: RosterTeam; plays: Plays[] }) =>
    ask<{ id: string }>(`/season/schedule/${game}/open`, opening),
  standings: (at = '') => ask<{ divisions: Table[] }>(`/season/standings${at === '' ? '' : `?at=${at}`}`).then((it) => it.divisions),
  lineWhy: (team: string, at: string) => ask<LineWhy>(`/season/standings/${team}${at === '' ? '' : `?at=${at}`}`),
  figuresWhy: (of: { team: string; division: string; name: string; who?: string; all?: boolean }) =>
    ask<FiguresWhy>(`/season/figures/${of.team}?${new URLSearchParams({ division: of.division, ...(of.who ? { who: of.who } : { name: of.name }), ...(of.all ? { all: 'yes' } : {}) }).toString()}`),
  whatIf: (division: string, picks: { game: string; goals: [number, number]; how: string }[]) =>
    ask<{ table: Table; chances: string[] }>('/season/what-if', { division, picks }, { within: making }),
  suspensions: (of: Record<string, string> = {}) =>
    ask<{ suspended: Suspended[]; at_least: boolean; findings: { text: string; ledger?: string }[] }>(`/season/suspensions?${new URLSearchParams(of).toString()}`),
  figures: (of: Record<string, string> = {}) => ask<{ skaters: Skater[]; keepers: Keeper[]; leaders: Leaders[] }>(`/season/figures?${new URLSearchParams(of).toString()}`),
  amendments: () => ask<{ games: { game: string; ledger: string; sealed: boolean; changes: string[] }[] }>('/season/amendments').then((it) => it.games),
  form: () => ask<LeagueForm>('/season/league/form'),
  keepForm: (edits: LeagueEdit[], saw: string, keep: boolean) => ask<KeptForm>('/season/league/form', { edits, saw, keep }, { method: 'PUT', within: making }),
  handIns: () => ask<HandIns>('/season/hand-in'),
  handInReceipt: (of: HandInChoice) => ask<HandInReceipt>(`/season/hand-in/receipt?${new URLSearchParams({ ...of }).toString()}`, undefined, { within: making }),
  handInNote: (of: HandInChoice, sha256: string, receipt: string) => ask<HandIns>('/season/hand-in', { ...of, sha256, receipt }, { within: making }),
  file: (name: 'league' | 'decisions') => ask<FileText>(`/season/${name}`),
  keepFile: (name: 'league' | 'decisions', text: string, saw: string, check: boolean) =>
    ask<FileText>(`/season/${name}`, { text, check, ...(saw === '' ? {} : { saw }) }, { method: 'PUT' }),
}
