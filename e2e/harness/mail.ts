import { createServer, type Server, type Socket } from 'node:net'
import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { folder } from './program.ts'

/** A letter that came: its address and its text, as it travels. */
export interface Letter { to: string; text: string }

/** A server of mail on this computer that takes every letter (RFC 5321), for programs that are told of it by a file. */
export class Mail {
  readonly letters: Letter[] = []

  private constructor(private readonly server: Server, readonly file: string) {}

  static async open(): Promise<Mail> {
    const server = createServer()
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    const at = server.address()
    const port = typeof at === 'object' && at ? at.port : 0
    const file = join(await folder(), 'mail.toml')
    await writeFile(file, `server = "127.0.0.1"\nport = ${port}\nsecurity = "none"\nfrom = "Harbour League crew <crew@harbour.example>"\n`)
    const mail = new Mail(server, file)
    server.on('connection', (socket) => mail.talk(socket))
    return mail
  }

  private talk(socket: Socket): void {
    let rest = ''
    let to = ''
    let letter: string[] | null = null
    const say = (text: string) => socket.write(`${text}\r\n`)
    say('220 mail.harbour.example')
    socket.on('error', () => undefined)
    socket.on('data', (piece) => {
      const lines = (rest + piece.toString('utf8')).split('\r\n')
      rest = lines.pop() ?? ''
      for (const line of lines) {
        if (letter) {
          if (line !== '.') {
            letter.push(line.startsWith('.') ? line.slice(1) : line)
            continue
          }
          this.letters.push({ to, text: letter.join('\n').replaceAll('=\n', '').replaceAll('=3D', '=') })
          letter = null
          say('250 taken')
        } else if (/^rcpt to:/i.test(line)) {
          to = /<(.*)>/.exec(line)?.[1] ?? ''
          say('250 yes')
        } else if (/^data/i.test(line)) {
          letter = []
          say('354 go on')
        } else if (/^quit/i.test(line)) {
          say('221 bye')
          socket.end()
        } else say('250 mail.harbour.example')
      }
    })
  }

  async close(): Promise<void> {
    await new Promise((resolve) => this.server.close(resolve))
  }
}
