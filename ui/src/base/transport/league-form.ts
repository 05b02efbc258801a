import type { Finding } from './finding'

/** A ready-made ladder. */
export interface ReadyLadder {
  id: string
  source: string
  points: Record<string, number>
  first: string
  two: string[]
  more: string[]
  way: string
  direct_if_met: boolean
}

/** A ready-made book of suspensions, as the settings of a league's own. */
export interface ReadyBook {
  id: string
  source: string
  settings: FormSetting[]
}

/** A setting of the league file; its value is JSON. */
export interface FormSetting {
  table: string
  at: number
  key: string
  value: string
}

/** The league file as settings, with what may be chosen. */
export interface LeagueForm {
  mark: string
  settings: FormSetting[]
  procedures: ReadyLadder[]
  steps: string[]
  ways: string[]
  books: ReadyBook[]
  parts: string[]
  questions: { setting: string; answers: string[] }[]
  plays: { id: string; source: string }[]
  findings: Finding[]
}

/** A change of a setting. */
export interface LeagueEdit {
  table: string
  at: number
  key?: string
  value?: string
  remove?: boolean
}

/** What changes of the league file do, or did. */
export interface KeptForm {
  text: string
  kept: boolean
  mark: string
  findings: Finding[]
  lines: string[]
  lost: string[]
  changes: string[]
}
