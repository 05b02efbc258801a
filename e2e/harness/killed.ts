import { readdirSync, readFileSync } from 'node:fs'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type BrowserContext, chromium, type Page } from '@playwright/test'

type Options = NonNullable<Parameters<typeof chromium.launchPersistentContext>[1]>

/** A browser with a folder of its own, whose processes can be killed and which can be started anew. */
export class Killable {
  private context: BrowserContext | undefined

  private constructor(private readonly folder: string, private readonly options: Options) {}

  static async make(options: Options): Promise<Killable> {
    return new Killable(await mkdtemp(join(tmpdir(), 'whistlestop-browser-')), options)
  }

  /** Starts the browser, and gives its page. */
  async start(): Promise<Page> {
    this.context = await chromium.launchPersistentContext(this.folder, this.options)
    return this.context.pages()[0] ?? this.context.newPage()
  }

  /** Kills every process of the browser at once, as a power cut does to them. */
  async kill(): Promise<void> {
    const gone = new Promise((resolve) => this.context?.once('close', resolve))
    for (const id of this.processes()) {
      try {
        process.kill(id, 'SIGKILL')
      } catch {
        // It went with the one before.
      }
    }
    await gone
  }

  /**
   * What the pages of the browser hold that nothing else does and that no file has, in MB: what the renderers have
   * written, a page's threads included. The browser's own program, which lies in a file, is not in it.
   */
  memory(): number {
    const file = (id: number, name: string) => {
      try {
        return readFileSync(`/proc/${id}/${name}`, 'utf8')
      } catch {
        return '' // it went
      }
    }
    const all = readdirSync('/proc').filter((id) => /^\d+$/.test(id)).map(Number)
    const parents = new Map(all.map((id) => [id, Number(/^PPid:\s+(\d+)/m.exec(file(id, 'status'))?.[1])]))
    const own = new Set(this.processes())
    const belongs = (id: number | undefined): boolean => id !== undefined && id > 1 && (own.has(id) || belongs(parents.get(id)))
    const pages = all.filter((id) => file(id, 'cmdline').includes('--type=renderer') && belongs(id))
    const held = pages.flatMap((id) => [...file(id, 'smaps_rollup').matchAll(/^(?:Private_Dirty|Swap):\s+(\d+) kB/gm)].map((one) => Number(one[1])))
    return Math.round(held.reduce((sum, one) => sum + one, 0) / 1024)
  }

  /** Closes it as people do; its folder stays for the next start. */
  async close(): Promise<void> {
    await this.context?.close()
  }

  async end(): Promise<void> {
    await this.close()
    await rm(this.folder, { recursive: true, force: true, maxRetries: 5 })
  }

  /** The processes that were started with this browser's folder. */
  private processes(): number[] {
    const mine = (id: string) => {
      try {
        return readFileSync(`/proc/${id}/cmdline`, 'utf8').includes(this.folder)
      } catch {
        return false
      }
    }
    return readdirSync('/proc').filter((id) => /^\d+$/.test(id) && mine(id)).map(Number)
  }
}
