import type { Finding, Kind, Report } from '../../base/contract/contract'
import { LiveGame } from '../../game/live.svelte'
import { ask, Refused } from '../../base/transport/api'
import { t } from '../../base/words/words'

/** What the bench answers when it has sealed. */
interface Sealed {
  version: number
  fingerprint: string
}

/** ReportPage is the report of a game as it stands, and what a person can do to close it. */
export class ReportPage {
  readonly game: LiveGame
  report = $state.raw<Report | null>(null)
  findings = $state.raw<Finding[]>([])
  shared = $state(false)
  trouble = $state('')
  busy = $state(false)
  #asked = 0

  constructor(readonly id: string) {
    this.game = new LiveGame(id)
  }

  /** Asks for the report of the newest entry that was heard of. */
  async load(seq: number): Promise<void> {
    if (seq <= this.#asked) return
    this.#asked = seq
    try {
      const [report, audit, sharing] = await Promise.all([
        ask<Report>(`/games/${this.id}/report`),
        ask<{ findings: Finding[] }>(`/games/${this.id}/audit`),
        ask<{ on: boolean }>(`/games/${this.id}/sharing`),
      ])
      if (seq < this.#asked) return
      this.report = report
      this.findings = audit.findings
      this.shared = sharing.on
      this.trouble = ''
    } catch (reason) {
      this.#asked = 0
      this.trouble = reason instanceof Refused ? reason.message : t('app.unreachable')
    }
  }

  /** Posts one entry; true when the bench has taken it. */
  async enter<K extends Kind>(kind: K, body: Parameters<typeof this.game.enter<K>>[1]): Promise<boolean> {
    return this.#does(() => this.game.enter(kind, body))
  }

  async seal(missing: string): Promise<boolean> {
    return this.#does(() => ask<Sealed>(`/games/${this.id}/seal`, { missing }))
  }

  async share(on: boolean): Promise<void> {
    await this.#does(async () => {
      this.shared = (await ask<{ on: boolean }>(`/games/${this.id}/sharing`, { on }, { method: 'PUT' })).on
    })
  }

  async #does(deed: () => Promise<unknown>): Promise<boolean> {
    this.busy = true
    this.trouble = ''
    try {
      await deed()
      return true
    } catch (reason) {
      const why = reason instanceof Refused ? reason.message : t('app.unreachable')
      this.trouble = t('report.failed', { why })
      return false
    } finally {
      this.busy = false
    }
  }
}
