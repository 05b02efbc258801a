import { candidatesOf, describe, pack, unpack, type Way, wayOf } from './code'
import { pieces, Pieces, type Wire } from './wire'

// Two devices on one Wi-Fi speak with nobody between them: each tells the other by a code how it is reached.
// No server is asked, so nothing leads out of the network that both are in.

const again = 3000 // milliseconds between two tries while the other one is not reached
const gatheringMost = 4000 // milliseconds for the browser to find its own addresses
const queueMost = 8_000_000 // bytes that wait for a device that takes nothing

/** A wire of a data channel. */
class Channel implements Wire {
  #heard: (text: string) => void = () => undefined
  #turned: (up: boolean) => void = () => undefined
  #up = false
  #over = false
  readonly #came = new Pieces()
  readonly #channel: RTCDataChannel
  readonly #timer: ReturnType<typeof setInterval>
  #way: Way | undefined

  constructor(readonly connection: RTCPeerConnection) {
    // Both sides know the channel: nothing has to be agreed on.
    this.#channel = connection.createDataChannel('bench', { negotiated: true, id: 0 })
    this.#channel.onopen = this.#channel.onclose = () => this.#look()
    connection.oniceconnectionstatechange = () => this.#look()
    this.#channel.onmessage = ({ data }: MessageEvent<string>) => {
      try {
        const text = this.#came.take(data)
        if (text !== undefined) this.#heard(text)
      } catch {
        this.close()
      }
    }
    // A browser gives up after a while. Told the addresses once more it tries again, and the channel goes on where it was.
    this.#timer = setInterval(() => {
      if (!this.#way || ['connected', 'completed'].includes(connection.iceConnectionState)) return
      for (const one of candidatesOf(this.#way)) connection.addIceCandidate(one).catch(() => undefined)
    }, again)
  }

  get up(): boolean {
    return this.#up
  }

  /** Learns how the other device is reached. */
  async meet(way: Way, type: 'offer' | 'answer'): Promise<void> {
    await this.connection.setRemoteDescription(describe(way, type))
    this.#way = way
  }

  send(text: string): void {
    if (!this.#up) return
    if (this.#channel.bufferedAmount > queueMost) return this.close()
    for (const one of pieces(text)) this.#channel.send(one)
  }

  listen(heard: (text: string) => void, turned: (up: boolean) => void): void {
    this.#heard = heard
    this.#turned = turned
    if (this.#up) turned(true)
  }

  close(): void {
    if (this.#over) return
    this.#over = true
    clearInterval(this.#timer)
    this.connection.close()
    this.#look()
  }

  #look(): void {
    if (this.#channel.readyState === 'closed' && !this.#over) return this.close()
    const up = !this.#over && this.#channel.readyState === 'open' && ['connected', 'completed'].includes(this.connection.iceConnectionState)
    if (up === this.#up) return
    this.#up = up
    this.#turned(up)
  }
}

/** A device's own way, once its browser has found the addresses. */
async function ownWay(connection: RTCPeerConnection): Promise<Way> {
  await connection.setLocalDescription()
  await new Promise<void>((resolve) => {
    setTimeout(resolve, gatheringMost)
    connection.onicegatheringstatechange = () => {
      if (connection.iceGatheringState === 'complete') resolve()
    }
  })
  return wayOf(connection.localDescription?.sdp ?? '')
}

/** Whether this browser can speak with another device by itself. */
export const canMeet = 'RTCPeerConnection' in globalThis

/** A meeting that the bench offers: its code, and what takes the other device's. */
export interface Offered {
  code: string
  wire: Wire
  /** Takes the code of the device. False: it is no answer to this one. */
  take(answer: string): Promise<boolean>
}

export async function offerMeeting(): Promise<Offered> {
  const wire = new Channel(new RTCPeerConnection())
  const way = await ownWay(wire.connection)
  return {
    code: pack(way),
    wire,
    async take(answer) {
      const read = unpack(answer)
      if (read?.answers !== way.ufrag || wire.connection.signalingState !== 'have-local-offer') return false
      await wire.meet(read.way, 'answer')
      return true
    },
  }
}

/** Answers the code of a bench; undefined: it is none. */
export async function answerMeeting(offer: string): Promise<{ code: string; wire: Wire } | undefined> {
  const read = unpack(offer)
  if (!read || read.answers !== '') return undefined
  const wire = new Channel(new RTCPeerConnection())
  await wire.meet(read.way, 'offer')
  return { code: pack(await ownWay(wire.connection), read.way.ufrag), wire }
}
