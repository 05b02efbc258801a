import { SvelteMap } from 'svelte/reactivity'
import type { Hub } from './answer'
import { hear, NotHeard, Pauses, type Said, Sending } from './hear'
import { type Bytes, keptPair, markOf, newPair, pairOf, readHello, Sealed, shown } from './sealed'
import { fromBase64, pieces, Pieces, toBase64, type Wire } from './wire'

/** Where the bench keeps its room at the hub, so that phones find it again after the page was loaded anew. */
const shelfKey = 'whistlestop.room'
const keptFor = 24 * 3600_000 // milliseconds: as long as a seat lasts
const bytesMost = 180_000 // in one message to the hub

interface Kept {
  salt: string
  key: JsonWebKey
  used: number // when it was opened last, in milliseconds of Unix time
}

interface ToPhone {
  phone: string
  texts: string[]
}

type Shelf = Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>

/**
 * How the room stands: not opened; being opened; open; the hub is not reached; the bench is not paired there any more; the hub
 * knows no rooms; another device opened it, with the same link of the hub.
 */
export type Standing = 'off' | 'opening' | 'open' | 'away' | 'ended' | 'unknown' | 'elsewhere'

/** A phone in the room, as a wire. */
class Phone implements Wire {
  up = false
  #heard: (text: string) => void = () => undefined
  #turned: (up: boolean) => void = () => undefined
  #sealed: Sealed | undefined
  #opened = Promise.resolve()
  #order = Promise.resolve()
  readonly #came = new Pieces()

  constructor(private readonly own: CryptoKeyPair, private readonly say: (text: string) => void, private readonly away: () => void) {}

  send(text: string): void {
    const sealed = this.#sealed
    if (!this.up || !sealed) return
    for (const piece of pieces(text)) this.#order = this.#order.then(async () => this.say(await sealed.seal(piece)))
  }
  listen(heard: (text: string) => void, turned: (up: boolean) => void): void {
    this.#heard = heard
    this.#turned = turned
    if (this.up) turned(true)
  }
  /** Sends the phone away: it comes again and begins anew. */
  close(): void {
    this.gone()
    this.away()
  }
  gone(): void {
    if (!this.up) return
    this.up = false
    this.#turned(false)
  }
  /** Takes what the phone said. The first of it is its key. */
  take(text: string): void {
    this.#opened = this.#opened.then(() => this.#take(text)).catch(() => this.close())
  }
  async #take(text: string): Promise<void> {
    if (this.#sealed) {
      const whole = this.#came.take(await this.#sealed.open(text))
      if (whole !== undefined && this.up) this.#heard(whole)
      return
    }
    const { key } = readHello(text)
    const salt: Bytes = crypto.getRandomValues(new Uint8Array(16))
    this.#sealed = await Sealed.agree(this.own, fromBase64(key), salt, 'bench')
    this.say(JSON.stringify({ key: toBase64(await shown(this.own)), salt: toBase64(salt) }))
    this.up = true
    this.#turned(true)
  }
}

/** The bench's room at its hub, through which phones come. */
export class Room {
  standing = $state<Standing>('off')
  /** What opens the room for phones; empty: it was not open yet. */
  room = $state('')
  /** By what phones know the bench. */
  mark = $state('')
  #hub: Hub | undefined
  #pair: CryptoKeyPair | undefined
  #salt = ''
  #end = new AbortController()
  #wanted = false
  readonly #pauses = new Pauses()
  readonly #phones = new SvelteMap<string, Phone>()
  readonly #sending: Sending<ToPhone>

  /** add answers a phone from now on. */
  constructor(private readonly add: (wire: Wire) => void, private readonly own?: Shelf) {
    this.#sending = new Sending<ToPhone>(
      bytesMost, ({ texts }) => texts.reduce((sum, text) => sum + text.length, 0), (all) => this.#tell(all), () => this.#end.abort(),
    )
  }

  /** Asked for when it is wanted: while this page begins, a browser that forbids it has no stand-in yet. */
  get #shelf(): Shelf {
    return this.own ?? localStorage
  }

  /** Whether the room was open lately, so that phones wait for it. */
  get kept(): boolean {
    const kept = this.#read()
    return kept !== undefined && Date.now() - kept.used < keptFor
  }

  /** Whether the room was opened at another hub, or as another bench, than this. */
  elsewhere(hub: Hub | undefined): boolean {
    return this.#hub !== undefined && this.#hub.secret !== hub?.secret
  }

  /** Opens the room and keeps it open, until close or until the hub says that it is over. */
  async open(hub: Hub): Promise<void> {
    if (this.#wanted) return
    this.#wanted = true
    this.#hub = hub
    this.standing = 'opening'
    const kept = this.#read()
    this.#pair = kept ? await pairOf(kept.key) : await newPair()
    this.#salt = kept?.salt ?? toBase64(crypto.getRandomValues(new Uint8Array(18))).replaceAll('+', '-').replaceAll('/', '_')
    this.mark = await markOf(await shown(this.#pair))
    await this.#keep()
    void this.#run(hub)
  }

  /** Ends the room. Phones that came by it are let in no more; the next one is another room. */
  close(): void {
    this.#stop('off')
    this.#shelf.removeItem(shelfKey)
    this.room = ''
  }

  /** Lets a code lead to the room, for so many milliseconds. False: the hub could not be asked, or said no. */
  async name(code: string, lasts: number): Promise<boolean> {
    try {
      return (await this.#ask('PUT', `/v1/room/codes/${encodeURIComponent(code)}`, { lasts_ms: Math.round(lasts) })).ok
    } catch {
      return false
    }
  }

  #read(): Kept | undefined {
    try {
      return (JSON.parse(this.#shelf.getItem(shelfKey) ?? 'null') as Kept | null) ?? undefined
    } catch {
      return undefined
    }
  }
  async #keep(): Promise<void> {
    if (this.#pair) this.#shelf.setItem(shelfKey, JSON.stringify({ salt: this.#salt, key: await keptPair(this.#pair), used: Date.now() } satisfies Kept))
  }

  #stop(standing: Standing): void {
    this.#wanted = false
    this.standing = standing
    this.#end.abort()
    this.#pauses.end()
  }

  #ask(method: string, path: string, body: unknown): Promise<Response> {
    return fetch(path, {
      method, body: JSON.stringify(body), headers: this.#headers({ 'content-type': 'application/json' }), signal: this.#end.signal, credentials: 'omit',
    })
  }
  #headers(more: Record<string, string> = {}): Record<string, string> {
    return { authorization: `Bearer ${this.#hub?.secret ?? ''}`, ...more }
  }

  async #run(hub: Hub): Promise<void> {
    while (this.#wanted && this.#hub === hub) {
      const end = (this.#end = new AbortController())
      try {
        await hear(`/v1/room?salt=${this.#salt}`, this.#headers(), end, (said) => this.#told(said))
      } catch (reason) {
        const status = reason instanceof NotHeard ? reason.status : 0
        if (status === 401) this.#stop('ended')
        else if (status === 404) this.#stop('unknown')
      }
      for (const phone of this.#phones.values()) phone.gone()
      this.#phones.clear()
      this.#sending.drop()
      if (!this.#wanted) return
      this.standing = 'away'
      await this.#pauses.next()
    }
  }

  #told({ name, data }: Said): void {
    if (name === 'beat') return
    const said = JSON.parse(data) as { room?: string; phone?: string; texts?: string[]; why?: string }
    const { phone = '', texts = [] } = said
    if (name === 'open') {
      this.room = said.room ?? ''
      this.standing = 'open'
      this.#pauses.none()
      void this.#keep()
    } else if (name === 'here' && this.#pair) {
      const one = new Phone(this.#pair, (text) => this.#sending.put({ phone, texts: [text] }), () => this.#sending.put({ phone, texts: [] }))
      this.#phones.set(phone, one)
      this.add(one)
    } else if (name === 'texts') for (const text of texts) this.#phones.get(phone)?.take(text)
    else if (name === 'gone') this.#gone(phone)
    else if (name === 'over' && said.why === 'replaced') this.#stop('elsewhere')
    else if (name === 'over' && said.why === 'idle') this.#stop('off')
  }

  #gone(phone: string): void {
    this.#phones.get(phone)?.gone()
    this.#phones.delete(phone)
  }

  /** Says what waits for phones, that of each together. */
  async #tell(all: ToPhone[]): Promise<void> {
    const each: ToPhone[] = []
    for (const { phone, texts } of all) {
      const one = each.filter((other) => other.phone === phone).at(-1)
      if (one && one.texts.length > 0 && texts.length > 0) one.texts.push(...texts)
      else each.push({ phone, texts: [...texts] })
    }
    const answer = await this.#ask('POST', '/v1/room', each)
    if (!answer.ok) throw new NotHeard(answer.status)
    for (const phone of ((await answer.json()) as { gone: string[] }).gone) this.#gone(phone)
  }
}
