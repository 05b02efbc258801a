import { type ChildProcess, type ChildProcessByStdio, execFile, spawn } from 'node:child_process'
import { createHash, X509Certificate } from 'node:crypto'
import { readFile, rm } from 'node:fs/promises'
import { type AddressInfo, createServer } from 'node:net'
import { createInterface } from 'node:readline'
import { join } from 'node:path'
import type { Readable } from 'node:stream'
import { promisify } from 'node:util'
import { binary, end, folder } from './program.ts'

/** A port that nobody has. */
async function freePort(): Promise<number> {
  const probe = createServer()
  await new Promise<void>((resolve) => probe.listen(0, '127.0.0.1', resolve))
  const { port } = probe.address() as AddressInfo
  await new Promise((resolve) => probe.close(resolve))
  return port
}

/** The addresses that a hub prints when it starts, by their names, up to one of them; the link for an admin may come behind. */
async function printed(child: ChildProcessByStdio<null, Readable, null>, last: string): Promise<Map<string, string>> {
  const found = new Map<string, string>()
  await new Promise<void>((resolve, reject) => {
    createInterface({ input: child.stdout }).on('line', (line) => {
      const [, name = '', address = ''] = /^(hub|admin|follow) (https?:\S+)/.exec(line) ?? []
      if (name) found.set(name, address)
      if (found.has(last)) setTimeout(resolve, found.has('admin') ? 0 : 500)
    })
    child.once('exit', (code) => reject(new Error(`the hub stopped with ${code}`)))
  })
  return found
}

/** A hub that is running, with a folder of its own that goes when it is closed. */
export class Hub {
  private constructor(
    readonly origin: string,
    /** The link that opens its pages once; empty where somebody is signed in. */
    readonly first: string,
    private readonly data: string,
    private readonly child: ChildProcess,
    private readonly more: string[],
    private readonly around: NodeJS.ProcessEnv,
  ) {}

  /** One that sends letters, where a file says how, and reminders, where its surroundings lead to a push service. */
  static async empty(mail?: string, around?: NodeJS.ProcessEnv): Promise<Hub> {
    return Hub.run(await folder(), '127.0.0.1:0', [...(mail === undefined ? [] : ['--mail', mail]), ...(around ? ['--push', 'crew@harbour.example'] : [])], around)
  }

  /** One at which another service signs people in too, as a file says. */
  static async withService(file: string): Promise<Hub> {
    return Hub.run(await folder(), '127.0.0.1:0', ['--oidc', file])
  }

  /** The invented league's, with a season in it, two benches with a game each, and a team's link. */
  static async demo(): Promise<{ hub: Hub; follow: string }> {
    const data = await folder()
    const child = spawn(binary, ['hub', 'demo', '--listen', `127.0.0.1:${await freePort()}`], { stdio: ['ignore', 'pipe', 'inherit'], env: { ...process.env, TMPDIR: data } })
    const found = await printed(child, 'follow')
    return { hub: new Hub(new URL(found.get('hub') ?? '').origin, found.get('admin') ?? '', data, child, [], {}), follow: found.get('follow') ?? '' }
  }

  /** One that is reached by a name: browsers have passkeys for localhost, and for no number. */
  static async named(): Promise<Hub> {
    const port = await freePort()
    return Hub.run(await folder(), `127.0.0.1:${port}`, ['--address', `http://localhost:${port}`])
  }

  /** One with a certificate of its own, and the mark of the certificate's key by which a browser is told to take it. */
  static async secure(): Promise<{ hub: Hub; mark: string }> {
    const data = await folder()
    const [key, certificate] = [join(data, 'hub.key'), join(data, 'hub.pem')]
    await promisify(execFile)('openssl', ['req', '-x509', '-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes', '-days', '2',
      '-keyout', key, '-out', certificate, '-subj', '/CN=hub', '-addext', 'subjectAltName=IP:127.0.0.1'])
    const known = new X509Certificate(await readFile(certificate)).publicKey.export({ type: 'spki', format: 'der' })
    const hub = await Hub.run(data, '127.0.0.1:0', ['--certificate', certificate, '--key', key])
    return { hub, mark: createHash('sha256').update(known).digest('base64') }
  }

  private static async run(data: string, listen: string, more: string[], around: NodeJS.ProcessEnv = {}): Promise<Hub> {
    const child = spawn(binary, ['hub', '--data', data, '--listen', listen, '--name', 'Harbour League', ...more], { stdio: ['ignore', 'pipe', 'inherit'], env: { ...process.env, ...around } })
    const found = await printed(child, 'hub')
    return new Hub(new URL(found.get('hub') ?? '').origin, found.get('admin') ?? '', data, child, more, around)
  }

  /** Kills the hub as a power cut does. */
  async kill(): Promise<void> {
    await end(this.child, 'SIGKILL')
  }

  /** Starts again on the same folder and the same address. */
  async again(): Promise<Hub> {
    return Hub.run(this.data, new URL(this.origin).host, this.more, this.around)
  }

  async close(): Promise<void> {
    await end(this.child, 'SIGTERM')
    await rm(this.data, { recursive: true, force: true })
  }
}
