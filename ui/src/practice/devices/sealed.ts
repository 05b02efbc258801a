import { fromBase64, toBase64 } from './wire'

// What a phone and a bench say to each other by way of a hub, so that the hub cannot read it: a key that both
// agree on anew each time they meet (ECDH on P-256, HKDF and AES-GCM, all of Web Cryptography), and a count
// in each text, so that one that is missing, doubled or out of its order is found.

const curve = { name: 'ECDH', namedCurve: 'P-256' }
const markBytes = 16 // of a key's hash: so much nobody makes another key for

export type Bytes = Uint8Array<ArrayBuffer>

/** A pair of keys; with that of a bench it is known again. */
export async function newPair(): Promise<CryptoKeyPair> {
  return crypto.subtle.generateKey(curve, true, ['deriveBits'])
}

/** A bench's pair as it is kept. */
export async function keptPair(pair: CryptoKeyPair): Promise<JsonWebKey> {
  return crypto.subtle.exportKey('jwk', pair.privateKey)
}

export async function pairOf(kept: JsonWebKey): Promise<CryptoKeyPair> {
  const open: JsonWebKey = { ...kept, key_ops: [] }
  delete open.d
  return {
    privateKey: await crypto.subtle.importKey('jwk', kept, curve, true, ['deriveBits']),
    publicKey: await crypto.subtle.importKey('jwk', open, curve, true, []),
  }
}

/** The key that the other one may have, as bytes. */
export async function shown(pair: CryptoKeyPair): Promise<Bytes> {
  return new Uint8Array(await crypto.subtle.exportKey('raw', pair.publicKey))
}

/** By what a key is known: it stands in the link that a bench shows. */
export async function markOf(key: Bytes): Promise<string> {
  const sum = new Uint8Array(await crypto.subtle.digest('SHA-256', key))
  return toBase64(sum.subarray(0, markBytes)).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '')
}

/** One side of what two agreed on. */
export class Sealed {
  #out = 0
  #in = 0
  private constructor(private readonly ours: CryptoKey, private readonly theirs: CryptoKey) {}

  /** Agrees with the other side. Both give the same salt, which the bench makes anew each time. */
  static async agree(own: CryptoKeyPair, other: Bytes, salt: Bytes, side: 'bench' | 'phone'): Promise<Sealed> {
    const key = await crypto.subtle.importKey('raw', other, curve, false, [])
    const secret = await crypto.subtle.deriveBits({ name: 'ECDH', public: key }, own.privateKey, 256)
    const base = await crypto.subtle.importKey('raw', secret, 'HKDF', false, ['deriveKey'])
    const derived = (from: string) =>
      crypto.subtle.deriveKey(
        { name: 'HKDF', hash: 'SHA-256', salt, info: new TextEncoder().encode(`whistlestop ${from}`) }, base,
        { name: 'AES-GCM', length: 256 }, false, ['encrypt', 'decrypt'],
      )
    const [bench, phone] = await Promise.all([derived('bench'), derived('phone')])
    return side === 'bench' ? new Sealed(bench, phone) : new Sealed(phone, bench)
  }

  /** Seals the next text. */
  async seal(text: string): Promise<string> {
    const iv = counted(this.#out++)
    return toBase64(new Uint8Array(await crypto.subtle.encrypt({ name: 'AES-GCM', iv }, this.ours, new TextEncoder().encode(text))))
  }

  /** Opens the next text. Rejects what the other side did not seal as its next one. */
  async open(sealed: string): Promise<string> {
    const iv = counted(this.#in++)
    return new TextDecoder().decode(await crypto.subtle.decrypt({ name: 'AES-GCM', iv }, this.theirs, fromBase64(sealed)))
  }
}

/** A count as the value that makes each text's sealing another one: no two texts of a key have the same. */
function counted(count: number): Bytes {
  const iv = new Uint8Array(12)
  new DataView(iv.buffer).setBigUint64(4, BigInt(count))
  return iv
}

/** What both say first, openly: their key, and of the bench the salt too. */
export interface Hello {
  key: string
  salt?: string
}

export function readHello(text: string): Hello {
  const said = JSON.parse(text) as Partial<Hello>
  if (typeof said.key !== 'string') throw new RangeError('no greeting')
  return said as Hello
}
