import type { Source } from '../../base/transport/link'
import { fromBase64, toBase64, type FromBench, type FromDevice, type Wire } from './wire'

/** The thread of the bench as a device needs it: it answers as it answers a phone on a network. */
export interface Answers {
  ask(method: string, path: string, body: Uint8Array<ArrayBuffer>, device: Device): Promise<{ status: number; media: string; name: string; body: Uint8Array; paired: string; leaves: boolean }>
  listen(path: string, device: Device): Source
  /** The hub that the bench is paired with. */
  hub(): Promise<Hub>
}

/** A device that asks: the token of its seat, and the way by which it came. */
export interface Device {
  token: string
  from: string
}

/** The hub that a bench is paired with, and the bench's secret for it; empty: none. */
export interface Hub {
  address: string
  secret: string
}

const asksMost = 16 // questions of a device that wait at once
const streamsMost = 4
const told = ['state', 'change', 'beat', 'seats', 'session', 'revoked', 'error']
const tooMany = { status: 429, media: 'application/problem+json', name: '', body: btoa('{"title":"","status":429}') }

/**
 * Answers a device over its wire, for as long as that is there. The thread holds it to what its seat may. Each time
 * it is reached it is told where the bench is at its hub; an empty room: nowhere.
 */
export function answerDevice(wire: Wire, to: Answers, from: string, where: () => { room: string; mark: string }): void {
  const sources = new Map<number, Source>()
  let open = 0
  const send = (message: FromBench) => wire.send(JSON.stringify(message))
  const deaf = (listen: number) => {
    sources.get(listen)?.close()
    sources.delete(listen)
  }
  const hear = (message: FromDevice) => {
    if ('ask' in message) {
      const { ask, method, path, body, token } = message
      if (open >= asksMost) return send({ answer: ask, ...tooMany })
      open++
      void to.ask(method, path, fromBase64(body), { token, from }).then(({ body: raw, ...answer }) => {
        open--
        send({ answer: ask, ...answer, body: toBase64(raw) })
      })
    } else if ('listen' in message) {
      const { listen, path, token } = message
      deaf(listen)
      const [oldest] = sources.keys()
      if (sources.size >= streamsMost && oldest !== undefined) deaf(oldest)
      const source = to.listen(path, { token, from })
      sources.set(listen, source)
      for (const event of told) {
        source.addEventListener(event, (said) => {
          const { data = '', lastEventId = '' } = said instanceof MessageEvent ? (said as MessageEvent<string>) : {}
          send({ heard: listen, event, data, lastEventId })
        })
      }
    } else deaf(message.deaf)
  }
  wire.listen(
    (text) => {
      try {
        hear(JSON.parse(text) as FromDevice)
      } catch {
        wire.close() // no device of ours
      }
    },
    (up) => {
      const { room, mark } = where()
      if (up && room !== '') send({ room, mark })
      if (up) return
      for (const source of sources.values()) source.close() // it asks anew when it is back
      sources.clear()
    },
  )
}
