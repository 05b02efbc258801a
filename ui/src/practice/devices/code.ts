// What two devices have to know of each other to speak without anybody between them, in as few bytes as
// a code to scan holds well: the parts of a session description (RFC 8866, RFC 8829) that differ.

/** How a device is reached, and by what the other one knows it. */
export interface Way {
  ufrag: string // ICE credentials (RFC 8839)
  pwd: string
  fingerprint: Uint8Array // SHA-256 of its certificate (RFC 8122)
  addresses: { host: string; port: number }[]
}

const version = 1
const addressesMost = 4
const kinds = { name: 0, mdns: 1, ipv4: 4, ipv6: 6 }
const mdns = /^([0-9a-f]{8})-([0-9a-f]{4})-([0-9a-f]{4})-([0-9a-f]{4})-([0-9a-f]{12})\.local$/

/** Reads a way out of a description that a browser made. */
export function wayOf(sdp: string): Way {
  const value = (name: string) => new RegExp(`^a=${name}:(.*?)\\r?$`, 'm').exec(sdp)?.[1] ?? ''
  const bytes = value('fingerprint').replace(/^sha-256 /i, '').split(':').map((pair) => parseInt(pair, 16))
  const found = [...sdp.matchAll(/^a=candidate:\S+ 1 udp \d+ (\S+) (\d+) typ host/gim)].map(([, host = '', port]) => ({ host, port: Number(port) }))
  // Nearly every Wi-Fi has the older addresses; of each kind the first ones are the browser's best.
  const addresses = found.sort((a, b) => Number(a.host.includes(':')) - Number(b.host.includes(':'))).slice(0, addressesMost)
  return { ufrag: value('ice-ufrag'), pwd: value('ice-pwd'), fingerprint: Uint8Array.from(bytes), addresses }
}

/** The addresses of a way as a browser takes them one by one. */
export function candidatesOf({ addresses }: Way): RTCIceCandidateInit[] {
  return addresses.map(({ host, port }, i) => ({ candidate: `candidate:${i + 1} 1 udp ${2122260223 - i} ${host} ${port} typ host`, sdpMid: '0' }))
}

/** Makes a description of a way that a browser takes as the other device's. */
export function describe(way: Way, type: 'offer' | 'answer'): RTCSessionDescriptionInit {
  const fingerprint = [...way.fingerprint].map((byte) => byte.toString(16).padStart(2, '0').toUpperCase()).join(':')
  const lines = [
    'v=0', 'o=- 1 1 IN IP4 127.0.0.1', 's=-', 't=0 0', 'a=group:BUNDLE 0', 'm=application 9 UDP/DTLS/SCTP webrtc-datachannel', 'c=IN IP4 0.0.0.0',
    ...candidatesOf(way).map(({ candidate }) => `a=${candidate}`), `a=ice-ufrag:${way.ufrag}`, `a=ice-pwd:${way.pwd}`, 'a=ice-options:trickle',
    `a=fingerprint:sha-256 ${fingerprint}`, `a=setup:${type === 'offer' ? 'actpass' : 'active'}`, 'a=mid:0', 'a=sctp-port:5000', 'a=max-message-size:65536',
  ]
  return { type, sdp: lines.join('\r\n') + '\r\n' }
}

/** Packs a way, with the name of the other device's that it answers; empty: it is the first. */
export function pack(way: Way, answers = ''): string {
  const out: number[] = [version]
  const text = (what: string) => out.push(what.length, ...Array.from(what, (one) => one.charCodeAt(0) & 0xff))
  text(answers)
  text(way.ufrag)
  text(way.pwd)
  out.push(...way.fingerprint, way.addresses.length)
  for (const { host, port } of way.addresses) {
    const hex = mdns.exec(host)
    const four = host.split('.').map(Number)
    const six = host.includes(':') ? hextets(host) : []
    if (hex) out.push(kinds.mdns, ...bytesOf(hex.slice(1).join('')))
    else if (four.length === 4 && four.every((one) => one >= 0 && one < 256)) out.push(kinds.ipv4, ...four)
    else if (six.length === 8) out.push(kinds.ipv6, ...six.flatMap((one) => [one >> 8, one & 0xff]))
    else {
      out.push(kinds.name)
      text(host)
    }
    out.push(port >> 8, port & 0xff)
  }
  return btoa(String.fromCharCode(...out)).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '')
}

/** Reads what was packed; undefined: it is something else, or not whole. */
export function unpack(code: string): { way: Way; answers: string } | undefined {
  let at = 0
  try {
    const all = Uint8Array.from(atob(code.replaceAll('-', '+').replaceAll('_', '/')), (one) => one.charCodeAt(0))
    const take = (count: number) => {
      if (at + count > all.length) throw new RangeError('it ends too soon')
      return all.subarray(at, (at += count))
    }
    const byte = () => take(1)[0] ?? 0
    const text = () => String.fromCharCode(...take(byte()))
    if (byte() !== version) return undefined
    const [answers, ufrag, pwd] = [text(), text(), text()]
    const fingerprint = take(32).slice()
    const addresses: Way['addresses'] = []
    for (let left = Math.min(byte(), addressesMost); left > 0; left--) {
      const host = hostOf(byte(), take, text)
      addresses.push({ host, port: byte() * 256 + byte() })
    }
    const safe = [answers, ufrag, pwd].every((one) => /^[\w+/-]*$/.test(one)) && addresses.every(({ host }) => /^[\w.:-]+$/.test(host))
    return safe && ufrag !== '' && pwd !== '' ? { way: { ufrag, pwd, fingerprint, addresses }, answers } : undefined
  } catch {
    return undefined
  }
}

function hostOf(kind: number, take: (count: number) => Uint8Array, text: () => string): string {
  const hex = (bytes: Uint8Array) => Array.from(bytes, (one) => one.toString(16).padStart(2, '0')).join('')
  if (kind === kinds.ipv4) return take(4).join('.')
  if (kind === kinds.ipv6) return hex(take(16)).replace(/(.{4})(?!$)/g, '$1:')
  if (kind === kinds.mdns) return hex(take(16)).replace(/^(.{8})(.{4})(.{4})(.{4})/, '$1-$2-$3-$4-') + '.local'
  return text()
}

function bytesOf(hex: string): number[] {
  return (hex.match(/../g) ?? []).map((pair) => parseInt(pair, 16))
}

/** The eight parts of an address of IPv6, its gap filled. */
function hextets(host: string): number[] {
  const [front = '', back] = host.split('::')
  const parts = (text = '') => (text === '' ? [] : text.split(':').map((one) => parseInt(one, 16)))
  const [one, two] = [parts(front), parts(back)]
  return back === undefined ? one : [...one, ...Array.from({ length: 8 - one.length - two.length }, () => 0), ...two]
}
