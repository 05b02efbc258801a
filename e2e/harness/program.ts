import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'

const binary = join(dirname(fileURLToPath(import.meta.url)), '../../bin/whistlestop')
const patience = 15_000 // milliseconds for the program to say where it is

/** A running program, with a folder of its own that goes when it is closed. */
export class Program {
  private constructor(
    readonly bench: string,
    readonly wall: string,
    readonly data: string,
    private readonly child: ChildProcess,
  ) {}

  /** The address without a path. */
  get origin(): string {
    return new URL(this.bench).origin
  }

  /** Starts the program with an empty folder. */
  static async empty(): Promise<Program> {
    return Program.run(await folder(), ['bench'], '127.0.0.1:0')
  }

  /** Starts the invented game at a named moment. */
  static async demo(moment: string): Promise<Program> {
    return Program.run(await folder(), ['demo', '--moment', moment], '127.0.0.1:0')
  }

  private static async run(data: string, args: string[], listen: string): Promise<Program> {
    const child = spawn(binary, [...args, '--data', data, '--listen', listen], {
      stdio: ['ignore', 'pipe', 'pipe'],
    })
    try {
      const [bench, wall] = await addresses(child)
      return new Program(bench, wall, data, child)
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
    return Program.run(this.data, ['bench'], new URL(this.bench).host)
  }

  /** Stops the program and removes its folder. */
  async close(): Promise<void> {
    await end(this.child, 'SIGTERM')
    await rm(this.data, { recursive: true, force: true })
  }
}

function folder(): Promise<string> {
  return mkdtemp(join(tmpdir(), 'whistlestop-e2e-'))
}

/** Reads the first lines: "bench http://..." and "wall http://...". */
async function addresses(child: ChildProcess): Promise<[string, string]> {
  const found = new Map<string, string>()
  let errors = ''
  child.stderr?.on('data', (chunk: Buffer) => (errors = (errors + chunk.toString()).slice(-4000)))
  const lines = createInterface({ input: child.stdout! })
  const said = new Promise<[string, string]>((resolve, reject) => {
    lines.on('line', (line) => {
      const [, name, address] = /^(bench|wall)\s+(http:\S+)/.exec(line) ?? []
      if (name && address) found.set(name, address)
      const bench = found.get('bench')
      const wall = found.get('wall')
      if (bench && wall) resolve([bench, wall])
    })
    child.once('exit', (code) => reject(new Error(`the program stopped with ${code}: ${errors}`)))
    setTimeout(() => reject(new Error(`the program did not say where it is: ${errors}`)), patience).unref()
  })
  return said
}

async function end(child: ChildProcess, signal: NodeJS.Signals): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return
  const gone = new Promise((resolve) => child.once('exit', resolve))
  child.kill(signal)
  await gone
}
