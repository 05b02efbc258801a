import { connect } from 'node:net'
import { parentPort, workerData } from 'node:worker_threads'

// A hostile guest of the rink's Wi-Fi, in a thread of its own: hundreds of
// connections a second that ask for all kinds of things, slow headers, bodies
// that never end. It names the program as devices on the network do, so that the
// program takes it for a stranger.

const { port, host, perSecond } = workerData
const paths = ['/api/games', '/', '/api/games/01JD0000000000000000000000/ledger.jsonl', '/.env', '/wall', '/api/join/x']
const every = 20 // milliseconds between two bursts
let opened = 0
let turn = 0

function guest() {
  const socket = connect(port, '127.0.0.1')
  socket.on('error', () => undefined)
  socket.on('data', () => undefined)
  socket.setTimeout(4000, () => socket.destroy())
  turn++
  opened++
  if (turn % 20 === 0) socket.write(`GET / HTTP/1.1\r\nHost: ${host}\r\nX-Slow: `) // and no more
  else if (turn % 20 === 1) {
    socket.write(`POST /api/join HTTP/1.1\r\nHost: ${host}\r\nContent-Type: application/json\r\nContent-Length: 99999999\r\n\r\n`)
    socket.write('x'.repeat(64 << 10))
  } else {
    socket.write(`GET ${paths[turn % paths.length]} HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`)
  }
}

const timer = setInterval(() => {
  for (let i = 0; i < (perSecond * every) / 1000; i++) guest()
}, every)

parentPort?.once('message', () => {
  clearInterval(timer)
  parentPort?.postMessage(opened)
  setTimeout(() => process.exit(0), 50)
})
