import { execFile } from 'node:child_process'
import { createDecipheriv, createECDH, createPublicKey, type ECDH, hkdfSync, randomBytes, verify } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { createServer, type Server as Proxy } from 'node:http'
import { createServer as createSecure, type Server } from 'node:https'
import type { AddressInfo } from 'node:net'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { type BrowserContext, expect, type Page } from '@playwright/test'
import { folder } from './program.ts'

const host = 'push.harbour.example'

/** A note as it came to the push service, read as its browser would. */
export interface Pushed { text: string; contact: string; ttl: string }

/** What a device shows of a note. */
export interface Shown { title: string; body: unknown; data: unknown }

/**
 * A push service on this computer, under a name of the internet: the hub reaches it through the proxy that its
 * surroundings name, and trusts its certificate by them too. It reads what comes with the key of the one browser
 * that it has (RFC 8291), and takes nothing that is not signed by the key to which that browser bound itself (RFC 8292).
 */
export class PushService {
  readonly notes: Pushed[] = []
  readonly wrong: string[] = []
  private readonly own: ECDH
  private readonly secret = randomBytes(16)
  private bound = '' // the key that the browser was told

  private constructor(private readonly proxy: Proxy, private readonly server: Server, private readonly certificate: string) {
    this.own = createECDH('prime256v1')
    this.own.generateKeys()
  }

  static async open(): Promise<PushService> {
    const at = await folder()
    const [key, certificate] = [join(at, 'push.key'), join(at, 'push.pem')]
    await promisify(execFile)('openssl', ['req', '-x509', '-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes', '-days', '2',
      '-keyout', key, '-out', certificate, '-subj', `/CN=${host}`, '-addext', `subjectAltName=DNS:${host}`])
    const server = createSecure({ key: await readFile(key), cert: await readFile(certificate) })
    const proxy = createServer()
    proxy.on('connect', (request, socket) => {
      if (request.url !== `${host}:443`) {
        socket.end('HTTP/1.1 403 Forbidden\r\n\r\n')
        return
      }
      socket.write('HTTP/1.1 200 Connection established\r\n\r\n')
      server.emit('connection', socket)
    })
    await new Promise<void>((resolve) => proxy.listen(0, '127.0.0.1', resolve))
    const service = new PushService(proxy, server, certificate)
    server.on('request', (request, response) => {
      const parts: Buffer[] = []
      request.on('data', (part: Buffer) => parts.push(part))
      request.on('end', () => {
        try {
          const contact = service.signer(request.headers.authorization ?? '')
          service.notes.push({ text: service.read(Buffer.concat(parts)), contact, ttl: String(request.headers.ttl) })
          response.writeHead(201).end()
        } catch (reason) {
          service.wrong.push(String(reason))
          response.writeHead(400).end()
        }
      })
    })
    return service
  }

  /** What a hub needs in its surroundings to reach it. */
  get surroundings(): NodeJS.ProcessEnv {
    return { HTTPS_PROXY: `http://127.0.0.1:${(this.proxy.address() as AddressInfo).port}`, SSL_CERT_FILE: this.certificate }
  }

  /** Makes this the push service of a browser, in place of that of its maker. */
  async serve(context: BrowserContext): Promise<void> {
    await context.exposeFunction('boundTo', (key: string) => (this.bound = key))
    const [key, secret] = [this.own.getPublicKey('base64url'), this.secret.toString('base64url')]
    await context.addInitScript(({ endpoint, key, secret }) => {
      const made = (to: ArrayBuffer) => ({
        endpoint, options: { applicationServerKey: to, userVisibleOnly: true },
        toJSON: () => ({ endpoint, keys: { p256dh: key, auth: secret } }), unsubscribe: () => Promise.resolve(true),
      })
      let kept: ReturnType<typeof made> | null = null
      PushManager.prototype.getSubscription = () => Promise.resolve(kept as unknown as PushSubscription | null)
      PushManager.prototype.subscribe = async (options) => {
        const to = (options?.applicationServerKey as Uint8Array<ArrayBuffer>).slice()
        await (globalThis as unknown as { boundTo: (key: string) => Promise<void> }).boundTo(btoa(String.fromCharCode(...to)))
        kept = made(to.buffer)
        return kept as unknown as PushSubscription
      }
    }, { endpoint: `https://${host}/phone`, key, secret })
  }

  /** The contact of a token by which a sender shows who it is; throws where the signature is not of the bound key. */
  private signer(authorization: string): string {
    const [, token = '', key = ''] = /^vapid t=([^,]+), k=(.+)$/.exec(authorization) ?? []
    const point = Buffer.from(key, 'base64url')
    if (!point.equals(Buffer.from(this.bound, 'base64'))) throw new Error('another key')
    const [head = '', claims = '', signature = ''] = token.split('.')
    const signer = createPublicKey({ format: 'jwk', key: { kty: 'EC', crv: 'P-256', x: point.subarray(1, 33).toString('base64url'), y: point.subarray(33).toString('base64url') } })
    if (!verify('sha256', Buffer.from(`${head}.${claims}`), { key: signer, dsaEncoding: 'ieee-p1363' }, Buffer.from(signature, 'base64url'))) throw new Error('a wrong signature')
    const said = JSON.parse(Buffer.from(claims, 'base64url').toString()) as { aud: string; exp: number; sub: string }
    if (said.aud !== `https://${host}` || said.exp < Date.now() / 1000 || said.exp > Date.now() / 1000 + 86_400) throw new Error(JSON.stringify(said))
    return said.sub
  }

  /** Reads a message as the browser does (RFC 8291, 3.4; RFC 8188, 2.1). */
  private read(body: Buffer): string {
    const [salt, sender, sealed] = [body.subarray(0, 16), body.subarray(21, 86), body.subarray(86)]
    const derive = (key: Buffer, salt: Buffer, about: Buffer, length: number) => Buffer.from(hkdfSync('sha256', key, salt, about, length))
    const about = Buffer.concat([Buffer.from('WebPush: info\0'), this.own.getPublicKey(), sender])
    const keyed = derive(this.own.computeSecret(sender), this.secret, about, 32)
    const cipher = createDecipheriv('aes-128-gcm', derive(keyed, salt, Buffer.from('Content-Encoding: aes128gcm\0'), 16), derive(keyed, salt, Buffer.from('Content-Encoding: nonce\0'), 12))
    cipher.setAuthTag(sealed.subarray(-16))
    const plain = Buffer.concat([cipher.update(sealed.subarray(0, -16)), cipher.final()])
    const end = plain.lastIndexOf(2) // the delimiter of the last record
    if (end < 0) throw new Error('no delimiter')
    return plain.subarray(0, end).toString('utf8')
  }

  /**
   * Hands a note to the worker of a page, as the browser does when its push service calls, and returns what it shows.
   * A browser without windows shows nothing and forbids it, so what the worker asks for is taken in its place.
   */
  async deliver(page: Page, note: Pushed): Promise<Shown[]> {
    const worker = page.context().serviceWorkers().find((it) => it.url().endsWith('/reminders.js'))
    if (!worker) throw new Error('no worker shows reminders')
    await worker.evaluate(() => {
      const inside = globalThis as unknown as { shown: Shown[]; registration: ServiceWorkerRegistration }
      inside.shown = []
      inside.registration.showNotification = (title, options) => {
        inside.shown.push({ title, body: options?.body, data: options?.data })
        return Promise.resolve()
      }
    })
    const session = await page.context().newCDPSession(page)
    const found = new Promise<string>((resolve) => {
      session.on('ServiceWorker.workerRegistrationUpdated', ({ registrations }) => {
        const one = registrations.find((it) => !it.isDeleted && page.url().startsWith(it.scopeURL))
        if (one) resolve(one.registrationId)
      })
    })
    await session.send('ServiceWorker.enable')
    await session.send('ServiceWorker.deliverPushMessage', { origin: new URL(page.url()).origin, registrationId: await found, data: note.text })
    const shown = () => worker.evaluate(() => (globalThis as unknown as { shown: Shown[] }).shown)
    await expect.poll(async () => (await shown()).length).toBeGreaterThan(0)
    return shown()
  }

  async close(): Promise<void> {
    this.server.closeAllConnections()
    this.proxy.closeAllConnections()
    await new Promise((resolve) => this.proxy.close(resolve))
  }
}
