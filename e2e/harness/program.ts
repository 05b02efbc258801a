import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'

export const binary = join(dirname(fileURLToPath(import.meta.url)), '../../bin/whistlestop')
// Not announced: a test is no bench that a phone nearby should find.
const onNetwork = ['--lan', '--quiet-lan']
const patience = 120_000 // milliseconds for the program to say where it is: for one that hangs, not for a slow machine

/** A running program, with a folder of its own that goes when it is closed. */
export class Program {
  private constructor(
    readonly bench: string,
    readonly wall: string,
    readonly data: string,
    private readonly child: ChildProcess,
    /** The address for devices on the network, without a path; empty where they cannot get in. */
    readonly network: string,
  ) {}

  /** The address without a path. */
  get origin(): string {
    return new URL(this.bench).origin
  }

  /** Asks an operation by its path, such as "/games". */
  async ask(method: string, path: string, body?: string): Promise<{ status: number; text: string }> {
    const answer = await fetch(`${this.origin}/api${path}`, { method, ...(body === undefined ? {} : { headers: { 'content-type': 'application/json' }, body }) })
    return { status: answer.status, text: await answer.text() }
  }

  /** Starts the program with an empty folder. */
  static async empty(): Promise<Program> {
    return Program.run(await folder(), ['bench'], '127.0.0.1:0')
  }

  /** Starts the invented game at a named moment; with a link, as a bench that is paired with a hub. */
  static async demo(moment: string, hub?: string): Promise<Program> {
    return Program.run(await folder(), ['demo', '--moment', moment, ...(hub ? ['--hub', hub] : [])], '127.0.0.1:0')
  }

  /** Starts the program for devices on the network, with an empty folder or on one. */
  static async lan(data?: string): Promise<Program> {
    return Program.run(data ?? (await folder()), ['bench', ...onNetwork], '127.0.0.1:0')
  }

  /** Starts the crew's desk for devices on the network, with an empty folder or, by `--demo`, the invented season in it. */
  static async desk(...flags: '--demo'[]): Promise<Program> {
    return Program.run(await folder(), ['desk', ...flags, ...onNetwork], '127.0.0.1:0')
  }

  private static async run(data: string, args: string[], listen: string): Promise<Program> {
    const child = spawn(binary, [...args, '--data', data, '--listen', listen], {
      stdio: ['ignore', 'pipe', 'pipe'],
    })
    try {
      const lan = args.includes('--lan')
      const found = await addresses(child, lan ? ['bench', 'wall', 'phones'] : ['bench', 'wall'])
      const network = lan ? new URL(found.get('phones') ?? '').origin : ''
      return new Program(found.get('bench') ?? '', found.get('wall') ?? '', data, child, network)
    } catch (reason) {
      child.kill('SIGKILL')
      throw reason
    }
  }

  /** Kills the program as a power cut does: nothing is told, nothing is saved. */
  async kill(): Promise<void> {
    await end(this.child, 'SIGKILL')
  }

  /** Starts again on the same folder and the same address. */
  async again(): Promise<Program> {
    return Program.run(this.data, ['bench', ...(this.network === '' ? [] : onNetwork)], new URL(this.bench).host)
  }

  /** Stops the program and removes its folder. */
  async close(): Promise<void> {
    await end(this.child, 'SIGTERM')
    await rm(this.data, { recursive: true, force: true })
  }
}

export function folder(): Promise<string> {
  return mkdtemp(join(tmpdir(), 'whistlestop-e2e-'))
}

/** Reads the first lines: "bench http://...", "wall http://..." and "phones http://name.local/...". */
async function addresses(child: ChildProcess, wanted: string[]): Promise<Map<string, string>> {
  const found = new Map<string, string>()
  let errors = ''
  child.stderr?.on('data', (chunk: Buffer) => (errors = (errors + chunk.toString()).slice(-4000)))
  const lines = createInterface({ input: child.stdout! })
  const said = new Promise<Map<string, string>>((resolve, reject) => {
    lines.on('line', (line) => {
      const [, name, address] = /^(bench|wall|phones)\s+(http:\S+)/.exec(line) ?? []
      if (name && address && (name !== 'phones' || address.includes('.local'))) found.set(name, address)
      if (wanted.every((one) => found.has(one))) resolve(found)
    })
    child.once('exit', (code) => reject(new Error(`the program stopped with ${code}: ${errors}`)))
    setTimeout(() => reject(new Error(`the program did not say where it is (${[...found.keys()]}): ${errors}`)), patience).unref()
  })
  return said
}

export async function end(child: ChildProcess, signal: NodeJS.Signals): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return
  const gone = new Promise((resolve) => child.once('exit', resolve))
  child.kill(signal)
  await gone
}
