import { type AddressInfo, connect, createServer, type Server, type Socket } from 'node:net'
import type { Program } from './program.ts'

/**
 * The way between a phone and the program, which can be cut. Nobody is told: what
 * was sent waits, as on a radio that is out of reach, and comes when it is healed.
 */
export class Wire {
  readonly #sockets = new Set<Socket>()
  #cut = false

  private constructor(readonly origin: string, private readonly server: Server) {}

  static async to(program: Program): Promise<Wire> {
    const { hostname, port } = new URL(program.network)
    const server = createServer()
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    const wire = new Wire(`http://${hostname}:${(server.address() as AddressInfo).port}`, server)
    server.on('connection', (near) => wire.#join(near, connect(Number(port), '127.0.0.1')))
    return wire
  }

  cut(): void {
    this.#cut = true
    for (const socket of this.#sockets) socket.pause()
  }

  heal(): void {
    this.#cut = false
    for (const socket of this.#sockets) socket.resume()
  }

  close(): void {
    for (const socket of this.#sockets) socket.destroy()
    this.server.close()
  }

  #join(near: Socket, far: Socket): void {
    for (const [from, to] of [[near, far], [far, near]] as const) {
      this.#sockets.add(from)
      from.on('data', (piece) => void to.write(piece))
      from.on('error', () => to.destroy())
      from.on('close', () => {
        this.#sockets.delete(from)
        to.destroy()
      })
      if (this.#cut) from.pause()
    }
  }
}
