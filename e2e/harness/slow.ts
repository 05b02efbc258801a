import { existsSync, mkdirSync, rmdirSync, writeFileSync } from 'node:fs'
import { chmod, writeFile } from 'node:fs/promises'
import { join } from 'node:path'

const groups = '/sys/fs/cgroup'
const period = 4_000 // microseconds: short beside a frame, so that slow does not come in lumps

/**
 * A share of the processor for a whole browser: all its processes and threads together, workers and what
 * draws included. The browser's own slowing down reaches the page's first thread alone. Linux and root are
 * needed (control groups of either version).
 */
export class Slow {
  private readonly folder: string

  private constructor(private readonly second: boolean) {
    this.folder = join(groups, second ? '' : 'cpu', `whistlestop-${process.pid}`)
    mkdirSync(this.folder, { recursive: true })
    // What others do on the machine at the same time is kept from what is measured.
    this.write(second ? 'cpu.weight' : 'cpu.shares', second ? '10000' : '262144')
  }

  static make(): Slow {
    const second = existsSync(join(groups, 'cgroup.controllers'))
    if (!second && !existsSync(join(groups, 'cpu/cgroup.procs'))) throw new Error('This machine has no control groups for the processor: figures of a slow one cannot be taken.')
    if (second) writeFileSync(join(groups, 'cgroup.subtree_control'), '+cpu')
    return new Slow(second)
  }

  /** Lets the browser have this much of one processor; no number: as much as there is. */
  to(processors?: number): void {
    const quota = processors === undefined ? undefined : Math.round(period * processors)
    if (this.second) return this.write('cpu.max', `${quota ?? 'max'} ${period}`)
    this.write('cpu.cfs_period_us', String(period))
    this.write('cpu.cfs_quota_us', String(quota ?? -1))
  }

  /** A program that starts a browser inside; it is written into a folder. */
  async wrapped(browser: string, folder: string): Promise<string> {
    const path = join(folder, 'slow-browser')
    await writeFile(path, `#!/bin/sh\necho $$ > ${join(this.folder, 'cgroup.procs')}\nexec ${browser} "$@"\n`)
    await chmod(path, 0o755)
    return path
  }

  /** When the browser has ended. */
  remove(): void {
    rmdirSync(this.folder)
  }

  private write(name: string, value: string): void {
    writeFileSync(join(this.folder, name), value)
  }
}
