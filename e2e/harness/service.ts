import { createSign, generateKeyPairSync, randomBytes } from 'node:crypto'
import { writeFile } from 'node:fs/promises'
import { createServer, type Server } from 'node:http'
import { dirname, join } from 'node:path'
import { folder } from './program.ts'

const packed = (value: object | Buffer) => (Buffer.isBuffer(value) ? value : Buffer.from(JSON.stringify(value))).toString('base64url')

/** A service on this computer that signs everybody in as one person, without a question (OpenID Connect Core 1.0, code flow). */
export class Service {
  private constructor(private readonly server: Server, readonly file: string) {}

  static async open(subject: string): Promise<Service> {
    const { publicKey, privateKey } = generateKeyPairSync('rsa', { modulusLength: 2048 })
    const nonces = new Map<string, string>()
    let issuer = ''
    const server = createServer((request, response) => {
      const at = new URL(request.url ?? '/', issuer)
      const send = (value: object) => response.setHeader('Content-Type', 'application/json').end(JSON.stringify(value))
      if (at.pathname === '/.well-known/openid-configuration') {
        send({
          issuer, authorization_endpoint: `${issuer}/in`, token_endpoint: `${issuer}/token`, jwks_uri: `${issuer}/keys`,
          response_types_supported: ['code'], subject_types_supported: ['public'], id_token_signing_alg_values_supported: ['RS256'],
        })
      } else if (at.pathname === '/keys') {
        send({ keys: [{ ...publicKey.export({ format: 'jwk' }), kid: '1', use: 'sig', alg: 'RS256' }] })
      } else if (at.pathname === '/in') {
        const code = randomBytes(16).toString('hex')
        nonces.set(code, at.searchParams.get('nonce') ?? '')
        const back = new URL(at.searchParams.get('redirect_uri') ?? '')
        back.searchParams.set('code', code)
        back.searchParams.set('state', at.searchParams.get('state') ?? '')
        response.writeHead(302, { Location: back.href }).end()
      } else {
        let body = ''
        request.on('data', (piece: Buffer) => (body += piece.toString())).on('end', () => {
          const code = new URLSearchParams(body).get('code') ?? ''
          const now = Math.floor(Date.now() / 1000)
          const said = { iss: issuer, sub: subject, aud: 'whistlestop', iat: now, exp: now + 600, nonce: nonces.get(code) }
          const text = `${packed({ alg: 'RS256', kid: '1' })}.${packed(said)}`
          send({ access_token: 'none', token_type: 'Bearer', id_token: `${text}.${packed(createSign('RSA-SHA256').update(text).sign(privateKey))}` })
        })
      }
    })
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    const address = server.address()
    issuer = `http://127.0.0.1:${typeof address === 'object' && address ? address.port : 0}`
    const file = join(await folder(), 'oidc.toml')
    await writeFile(join(dirname(file), 'secret.txt'), 'a secret\n')
    await writeFile(file, `name = "Club login"\nissuer = "${issuer}"\nclient = "whistlestop"\nsecret_file = "secret.txt"\n`)
    return new Service(server, file)
  }

  async close(): Promise<void> {
    this.server.closeAllConnections()
    await new Promise((resolve) => this.server.close(resolve))
  }
}
