import fc from 'fast-check'
import { expect, test } from 'vitest'
import { candidatesOf, describe as described, pack, unpack, type Way, wayOf } from './code'

const sdp = [
  'v=0', 'o=- 8045054013234538660 2 IN IP4 127.0.0.1', 's=-', 't=0 0', 'a=group:BUNDLE 0', 'm=application 46378 UDP/DTLS/SCTP webrtc-datachannel', 'c=IN IP4 192.0.2.2',
  'a=candidate:504729551 1 udp 2122265343 fd00::2 58702 typ host generation 0 network-id 2',
  'a=candidate:3581103663 1 udp 2122194687 192.0.2.2 46378 typ host generation 0 network-id 1',
  'a=candidate:735681211 1 tcp 1518214911 192.0.2.2 9 typ host tcptype active generation 0 network-id 1',
  'a=candidate:1723964047 1 udp 2113937151 e5f08934-d0d0-4827-81d1-693c82ad0d0a.local 34143 typ host generation 0 network-cost 999',
  'a=ice-ufrag:aA2J', 'a=ice-pwd:01gB/i3w7SPw3Lhxv/PYb0vd', 'a=ice-options:trickle', `a=fingerprint:sha-256 ${Array.from({ length: 32 }, (_, i) => (i * 7).toString(16).padStart(2, '0').toUpperCase()).join(':')}`,
  'a=setup:actpass', 'a=mid:0', 'a=sctp-port:5000', 'a=max-message-size:262144', '',
].join('\r\n')

test('what a browser says of itself fits into a code, and comes out of it whole', () => {
  const way = wayOf(sdp)
  expect(way.addresses).toEqual([
    { host: '192.0.2.2', port: 46378 }, { host: 'e5f08934-d0d0-4827-81d1-693c82ad0d0a.local', port: 34143 }, { host: 'fd00::2', port: 58702 },
  ])
  const code = pack(way, 'abcd')
  expect(code.length).toBeLessThan(180)
  const read = unpack(code)
  expect(read?.answers).toBe('abcd')
  const other = described(read?.way ?? way, 'answer').sdp ?? ''
  for (const line of ['a=ice-ufrag:aA2J', 'a=ice-pwd:01gB/i3w7SPw3Lhxv/PYb0vd', 'a=setup:active']) expect(other).toContain(`${line}\r\n`)
  expect(wayOf(other).fingerprint).toEqual(way.fingerprint)
  expect(candidatesOf(read?.way ?? way)[2]?.candidate).toContain(' fd00:0000:0000:0000:0000:0000:0000:0002 58702 typ host')
})

test('every way comes back from its code', () => {
  const host = fc.oneof(fc.ipV4(), fc.uuid().map((id) => `${id}.local`), fc.domain().filter((name) => name.length < 200))
  const word = (least: number) => fc.string({ unit: fc.constantFrom(...'abcXYZ019+/'), minLength: least, maxLength: 40 })
  fc.assert(fc.property(
    fc.record({
      ufrag: word(4), pwd: word(22), fingerprint: fc.uint8Array({ minLength: 32, maxLength: 32 }),
      addresses: fc.array(fc.record({ host, port: fc.integer({ min: 1, max: 65535 }) }), { maxLength: 4 }),
    }), word(0), (way: Way, answers) => {
      expect(unpack(pack(way, answers))).toEqual({ way, answers })
    }))
})

test('what is no code, or not all of one, is not read', () => {
  const code = pack(wayOf(sdp))
  for (let cut = 0; cut < code.length - 1; cut++) expect(unpack(code.slice(0, cut)), String(cut)).toBeUndefined()
  fc.assert(fc.property(fc.string(), (text) => {
    unpack(text) // and throws nothing
  }))
  // Nothing that a code says becomes a line of its own.
  expect(unpack(pack({ ...wayOf(sdp), ufrag: 'a\r\na=x' }))).toBeUndefined()
  expect(unpack(pack({ ...wayOf(sdp), addresses: [{ host: 'x y', port: 1 }] }))).toBeUndefined()
})
