import { readFile, stat } from 'node:fs/promises'
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { extname, join, normalize } from 'node:path'
import { gzipSync } from 'node:zlib'

const types: Record<string, string> = {
  '.html': 'text/html', '.js': 'text/javascript', '.css': 'text/css', '.svg': 'image/svg+xml', '.woff2': 'font/woff2', '.txt': 'text/plain', '.wasm': 'application/wasm',
}

/**
 * A web host as plain as they come: it gives out the files of a folder below a path, packs nothing,
 * sets no headers but type, length and date, and knows nothing about what it has.
 */
export class Host {
  /** What was asked for and sent, in order: path, status and bytes of the bodies. */
  readonly sent: { path: string; status: number; bytes: number }[] = []
  /** Where the folder is, also when the host is closed. */
  address = ''
  private readonly server: Server

  private constructor(readonly folder: string, readonly path: string) {
    this.server = createServer((request, response) => {
      const { pathname } = new URL(request.url ?? '/', 'http://host')
      const end = (status: number, body = Buffer.alloc(0)) => {
        this.sent.push({ path: pathname, status, bytes: body.length })
        response.statusCode = status
        if (status !== 304) response.setHeader('Content-Length', body.length)
        response.end(body)
      }
      this.find(pathname).then(({ name, body, changed }) => {
        response.setHeader('Last-Modified', changed)
        if (request.headers['if-modified-since'] === changed) {
          end(304)
          return
        }
        response.setHeader('Content-Type', types[extname(name)] ?? 'application/octet-stream')
        this.packed += Math.min(body.length, gzipSync(body).length)
        end(200, body)
      }, () => end(404))
    })
  }

  static async open(folder: string, path = '/'): Promise<Host> {
    const host = new Host(folder, path)
    await new Promise<void>((resolve) => host.server.listen(0, '127.0.0.1', resolve))
    host.address = `http://127.0.0.1:${(host.server.address() as AddressInfo).port}${path}`
    return host
  }

  /** How many bytes a host would have sent that packs text, as most do. */
  packed = 0

  /** How many bytes were sent so far. */
  get bytes(): number {
    return this.sent.reduce((sum, one) => sum + one.bytes, 0)
  }

  async close(): Promise<void> {
    this.server.closeAllConnections()
    await new Promise((resolve) => this.server.close(resolve))
  }

  private async find(pathname: string) {
    if (!pathname.startsWith(this.path)) throw new Error('not here')
    const name = normalize(pathname.slice(this.path.length)) === '.' ? 'index.html' : normalize(pathname.slice(this.path.length))
    if (name.startsWith('..')) throw new Error('not here')
    const file = join(this.folder, name)
    return { name, body: await readFile(file), changed: (await stat(file)).mtime.toUTCString() }
  }
}
