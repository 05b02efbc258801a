import { hear, NotHeard, Pauses, type Said, Sending } from './hear'
import { markOf, newPair, readHello, Sealed, shown } from './sealed'
import { fromBase64, pieces, Pieces, toBase64, type Wire } from './wire'

/** Where a bench is at a hub: the name of its room, and the mark of its key; without one it is believed. */
export interface Where {
  room: string
  mark: string
  codes?: boolean // the bench told it to a device that was introduced by two codes
}

/** Where a device keeps that, so that it finds its bench again after a reload. */
const whereKey = 'whistlestop.device-room'
type Shelf = Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>

export function keptWhere(shelf: Shelf): Where | undefined {
  try {
    return (JSON.parse(shelf.getItem(whereKey) ?? 'null') as Where | null) ?? undefined
  } catch {
    return undefined
  }
}

/** Keeps where the bench is; nothing: forgets it. */
export function keepWhere(shelf: Shelf, where?: Where): void {
  if (where) shelf.setItem(whereKey, JSON.stringify(where))
  else shelf.removeItem(whereKey)
}

const bytesMost = 180_000 // in one message to the hub
const greetWithin = 8000 // milliseconds in which the bench answers

/** A wire to a bench by way of the hub that this page comes from. It is made anew until it is closed. */
export class HubWire implements Wire {
  up = false
  /** Why it is not up, for people: the hub is not reached, or the bench is not there. */
  why = $state<'hub' | 'bench'>('hub')
  #heard: (text: string) => void = () => undefined
  #turned: (up: boolean) => void = () => undefined
  #over = false
  #end = new AbortController()
  #out: ((text: string) => void) | undefined
  readonly #pauses = new Pauses()

  /** met is told the mark of the bench's key, once it is known. */
  constructor(private readonly where: Where, private readonly met: (mark: string) => void = () => undefined) {
    void this.#run()
  }

  send(text: string): void {
    if (this.up) for (const one of pieces(text)) this.#out?.(one)
  }
  listen(heard: (text: string) => void, turned: (up: boolean) => void): void {
    this.#heard = heard
    this.#turned = turned
    turned(this.up)
  }
  close(): void {
    this.#over = true
    this.#end.abort()
    this.#pauses.end()
  }

  #turn(up: boolean): void {
    if (up === this.up) return
    this.up = up
    this.#turned(up)
  }

  async #run(): Promise<void> {
    while (!this.#over) {
      this.#end = new AbortController()
      await this.#once(this.#end).catch((reason: unknown) => {
        this.why = reason instanceof NotHeard && reason.status === 404 ? 'bench' : 'hub'
      })
      this.#out = undefined
      this.#turn(false)
      if (!this.#over) await this.#pauses.next()
    }
  }

  /** Speaks with the bench once, until that ends. */
  async #once(end: AbortController): Promise<void> {
    const own = await newPair()
    const room = `/v1/rooms/${encodeURIComponent(this.where.room)}`
    const came = new Pieces()
    let sealed: Sealed | undefined
    let to = ''
    const sending = new Sending<string>(bytesMost, (text) => text.length, async (texts) => {
      const answer = await fetch(to, { method: 'POST', body: JSON.stringify(texts), signal: end.signal, headers: { 'content-type': 'application/json' }, credentials: 'omit' })
      if (!answer.ok) throw new NotHeard(answer.status)
    }, () => end.abort())
    const greeted = setTimeout(() => {
      if (!sealed) end.abort()
    }, greetWithin)
    let order = Promise.resolve() // what is sealed goes in the order in which it was said
    const take = async (text: string) => {
      if (sealed) {
        const whole = came.take(await sealed.open(text))
        if (whole !== undefined) this.#heard(whole)
        return
      }
      const { key, salt = '' } = readHello(text)
      const mark = await markOf(fromBase64(key))
      if (this.where.mark !== '' && this.where.mark !== mark) throw new RangeError('this is another bench')
      const agreed = await Sealed.agree(own, fromBase64(key), fromBase64(salt), 'phone')
      sealed = agreed
      this.where.mark = mark
      this.met(mark)
      this.#out = (piece) => {
        order = order.then(async () => sending.put(await agreed.seal(piece)))
      }
      this.#pauses.none()
      this.#turn(true)
    }
    let opened = Promise.resolve()
    const told = ({ name, data }: Said) => {
      if (name === 'open') {
        to = `${room}/phones/${(JSON.parse(data) as { phone: string }).phone}`
        void shown(own).then((key) => sending.put(JSON.stringify({ key: toBase64(key) })))
      } else if (name === 'texts') {
        for (const text of (JSON.parse(data) as { texts: string[] }).texts) opened = opened.then(() => take(text))
        opened.catch(() => end.abort()) // a text is missing, or somebody else's: begin anew
      }
    }
    try {
      await hear(`${room}/stream`, {}, end, told)
      this.why = 'bench' // the hub said that it is over
    } finally {
      clearTimeout(greeted)
    }
  }
}
